"""Solid lash: set each valve on its base circle to the target, cold at assembly, hot after the heat cycle."""

from .. import plain, quantity, uncertainty
from ..geometry import valve_order
from ..metal import lash
from ..slips import Expectation
from ..work import Caution, Finding, Group, Place, Value
from . import common

ID = "solid_lash"
TITLE = "Valve lash, solid lifters"
STAGE = "release_for_priming"
NEEDS = ()
STYLE = "guided"
PURPOSE = "Each valve on the base circle of its lobe. The blade of the target slides with a light drag, the next one refuses."
INSTRUMENTS = ("feeler_gauges", "thermometer")
SOURCES = ("Targets come from the cam card; cold corrections and bands are common practice.",)
CAUTIONS = (
    Caution("hands", "Turning the engine against its springs: hands clear?", "tap"),
    Caution("hot", "Hot check: hot parts; disable the ignition."),
    Caution("wrench", "Turn by hand with a bar on the crank, never with the starter."),
)
COLD, HOT = "cold", "hot"
STATES = ((COLD, "Cold"), (HOT, "Hot"))
ONE_BY_ONE, TWO_POSITIONS, OWN_TDC = "one_by_one", "two_positions", "own_tdc"
METHODS = (
    (ONE_BY_ONE, "One valve at a time, in one turn-through"),
    (TWO_POSITIONS, "Two crank positions"),
    (OWN_TDC, "Each cylinder at its own firing top dead centre"),
)
SIDES = (("I", "intake", "lash_hot_intake"), ("E", "exhaust", "lash_hot_exhaust"))
EVENTS = ("intake_opens", "intake_closes", "exhaust_opens", "exhaust_closes")
#: Thickness of the blade by micrometer (common practice), for a go blade.
BLADE_TRUST = 0.0003 * 25.4
SAME = 0.0005 * 25.4


def applies(engine):
    """Only solid lifters have a lash to set."""
    return engine.text("lifter_kind") in ("flat_solid", "roller_solid")


def _valve(n, side):
    return str(n) + side + ".lash"


def _words(n, side_words):
    return "Cylinder " + str(n) + " " + side_words


def groups(engine):
    """How it is set, then two valves per cylinder."""
    top = [
        Place("state", "Engine cold or hot", "cold or hot", kind="choice", choices=STATES),
        Place("method", "Setting order", "order", kind="choice", choices=METHODS),
        Place("metal_temperature", "Metal temperature at the rocker cover rail", "metal temperature", kind="temperature", required=False),
    ]
    if not applies(engine):
        return []
    return [Group("how", "How it is set", top)] + [_cylinder(n) for n in engine.cylinder_numbers()]


def _cylinder(n):
    places = [Place(_valve(n, side), _words(n, words) + ", lash", words, set_or_found="set", family=side) for side, words, _ in SIDES]
    return Group("C" + str(n), "Cylinder " + str(n), places)


def target(bench, side):
    """(target lash, None) for a side in the declared state, or (None, words of what is missing)."""
    field = [f for s, _, f in SIDES if s == side][0]
    hot, state = bench.engine.number(field), bench.text("state")
    if hot is None:
        return None, bench.engine.words(field)
    if state is None:
        return None, "engine cold or hot"
    if state == HOT:
        return hot, None
    addend = bench.limits.addend("cold_lash_addend", bench.engine)
    if addend is None:
        return None, "the cold correction for these metals, from the cam card or the lead"
    return lash.cold(hot, addend[0]), None


def derive(bench):
    """How far each valve is off its target."""
    return [_off_target(bench, n, side, words) for n in bench.engine.cylinder_numbers() for side, words, _ in SIDES]


def _off_target(bench, n, side, words):
    place = _valve(n, side)
    aim, lacking = target(bench, side)
    missing = list(bench.missing([place], {place: _words(n, words) + ", lash"})) + ([lacking] if lacking else [])
    number = None if missing else bench.number(place) - aim
    return Value(
        place + ".off", _words(n, words) + ", off its target", "off target", "C" + str(n), number, [place], "lash_off_target",
        missing, BLADE_TRUST, "blade measured by micrometer", set_or_found="set",
    )  # fmt: skip


def findings(bench):
    """Targets exchanged or of the other state, an order that this cam refuses, the hot check to come."""
    found = _method_findings(bench)
    for n in bench.engine.cylinder_numbers():
        for side, words, field in SIDES:
            found.extend(_valve_findings(bench, n, side, words, field))
    if bench.text("state") == COLD and bench.engine.cylinder_numbers() and _all_set(bench):
        found.append(Finding("hot_check", "NOTE", "Set cold. The hot check after the first heat cycle is still to come.", None, "missing"))
    return found


def _all_set(bench):
    return None not in [bench.number(_valve(n, side)) for n in bench.engine.cylinder_numbers() for side, _, _ in SIDES]


def _method_findings(bench):
    method = bench.text("method")
    if method is None:
        return []
    try:
        order(bench.engine, method)
    except plain.Refusal as refusal:
        return [Finding("method", "WARN", refusal.message, "method", "order")]
    return []


def _valve_findings(bench, n, side, words, field):
    number, (aim, _) = bench.number(_valve(n, side)), target(bench, side)
    if number is None or aim is None or abs(number - aim) <= 2 * SAME:
        return []
    other, _ = target(bench, "E" if side == "I" else "I")
    place, name = _valve(n, side), _words(n, words) + ": "
    if other is not None and abs(number - other) <= SAME:
        return [Finding("sides." + place, "WARN", name + "this is the other side's target; were intake and exhaust exchanged?", place)]
    if bench.text("state") == COLD and abs(number - bench.engine.number(field)) <= SAME:
        return [Finding("hot_used." + place, "WARN", name + "this is the hot figure, and the engine is cold.", place)]
    return []


def expect(bench, place_id):
    """A lash lies near its target, inside the window in which lash can be typed."""
    valve, _, what = place_id.partition(".")
    if what != "lash":
        return None
    aim, _ = target(bench, valve[-1])
    ends = [quantity.to_canonical("length", bench.limits.number("lash_window", end, "set"), "in") for end in ("low", "high")]
    return Expectation(aim if aim is not None else (ends[0] + ends[1]) / 2.0, ends[0], ends[1])


# --- the guide -------------------------------------------------------------------------------------------------


def order(engine, method):
    """[(engine angle, cylinder, side)] for a method. Raises Refusal where this cam or specification does not allow it."""
    figures = [engine.number(name) for name in EVENTS]
    firing_order = engine.get("firing_order")
    if None in figures or firing_order is None:
        raise plain.Refusal("setting_order_unknown", "The setting order needs the firing order and the seat figures of the cam card.", {})
    events = valve_order.SeatEvents(*figures)
    if method == TWO_POSITIONS:
        return valve_order.two_positions(firing_order, events)
    if method == OWN_TDC:
        return valve_order.own_firing_tdc(firing_order, events)
    return valve_order.one_turn_through(firing_order, events)


def _methods(engine):
    found = []
    for method, words in METHODS:
        try:
            order(engine, method)
            refused = None
        except plain.Refusal as refusal:
            refused = refusal.message
        found.append({"id": method, "words": words, "refused": refused})
    return found


def _when(method, cylinder, side, angle):
    if method == TWO_POSITIONS:
        turn = "at cylinder 1's firing top dead centre" if angle == 0.0 else "one whole turn further, 360\u00b0"
        return "with the crank " + turn
    if method == OWN_TDC:
        return "with cylinder " + str(cylinder) + " at its own firing top dead centre"
    if side == "I":
        return "when EXHAUST " + str(cylinder) + " just starts to open"
    return "when INTAKE " + str(cylinder) + " is nearly closed"


def guide(bench, status):
    """The next valve, the whole order, and the valves as they lie.

    `status(place)` gives ("done" | "open" | "couldn't", severity or None).
    """
    method = bench.text("method")
    methods = _methods(bench.engine)
    refused = [m["refused"] for m in methods if m["id"] == method]
    listed = order(bench.engine, method) if method is not None and not refused[0] else []
    valves = _valves(listed, status)
    left = [item for item, valve in zip(listed, valves) if valve["state"] == "next"]
    done = len([valve for valve in valves if valve["state"] == "done"])
    return {
        "step": ID, "method": dict(METHODS)[method] if method else None, "methods": methods, "refused": refused[0] if refused else None,
        "now": _now(bench, method, left[0]) if left else None, "done": done, "of": len(valves), "list": valves,
        "plan": _plan(bench.engine, status, left[0] if left else None), "after": _after(valves),
    }  # fmt: skip


def _valves(listed, status):
    valves = []
    for angle, cylinder, side in listed:
        valves.append(_guide_valve(cylinder, side, status, plain.number_text(angle, 0) + "\u00b0"))
    for valve in valves:
        if valve["state"] == "open":
            valve["state"] = "next"
            break
    return valves


def _guide_valve(cylinder, side, status, angle):
    state, severity = status(_valve(cylinder, side))
    words = ("INTAKE " if side == "I" else "EXHAUST ") + str(cylinder)
    return {"place": _valve(cylinder, side), "words": words, "angle": angle, "state": state, "flag": severity}


def _now(bench, method, item):
    angle, cylinder, side = item
    aim, lacking = target(bench, side)
    if aim is None:
        return None
    unit = bench.engine.usual_unit("lash_hot_intake") or "in"
    decimals = 3 if unit == "in" else None
    limit = bench.limits.in_force("lash_off_target", bench.engine, "set")[0]
    ends = [quantity.text_in("length", aim + limit[end], unit, decimals) for end in ("low", "high")]
    return {
        "place": _valve(cylinder, side), "set": "Set " + ("INTAKE " if side == "I" else "EXHAUST ") + str(cylinder),
        "when": _when(method, cylinder, side, angle), "angle": "crank at " + plain.number_text(angle, 0) + "\u00b0 of 720\u00b0",
        "target": quantity.show("length", aim, unit, decimals), "band": ends[0] + " to " + quantity.with_unit(ends[1], unit),
        "state": bench.text("state"),
    }  # fmt: skip


def _plan(engine, status, now):
    rows = engine.get("numbering") or []
    names = ["Left bank", "Right bank"] if len(rows) == 2 else ["Front to rear"] * len(rows)
    plan = []
    for name, row in zip(names, rows):
        cylinders = [{"number": n, "intake": _lying(n, "I", status, now), "exhaust": _lying(n, "E", status, now)} for n in row]
        plan.append({"bank": name, "cylinders": cylinders})
    return plan


def _lying(n, side, status, now):
    valve = _guide_valve(n, side, status, "")
    if now is not None and (now[1], now[2]) == (n, side):
        valve["state"] = "next"
    return valve


def _after(valves):
    if not valves or any([valve["state"] in ("next", "open") for valve in valves]):
        return None
    return "All gone through. Turn the engine slowly by hand twice through 720\u00b0, feel two valves again, and check the locks."
