"""The guide for setting valves: methods, the engine's own order, when each valve is due, and the valves as they lie.

Lash and preload are set in the same order; the step gives its targets.
"""

from . import plain
from .geometry import valve_order

ONE_BY_ONE, TWO_POSITIONS, OWN_TDC = "one_by_one", "two_positions", "own_tdc"
METHODS = (
    (ONE_BY_ONE, "One valve at a time, in one turn-through"),
    (TWO_POSITIONS, "Two crank positions"),
    (OWN_TDC, "Each cylinder at its own firing top dead centre"),
)
EVENTS = ("intake_opens", "intake_closes", "exhaust_opens", "exhaust_closes")


def valve_words(cylinder, side):
    """INTAKE 2, EXHAUST 2: large on the screen."""
    return ("INTAKE " if side == "I" else "EXHAUST ") + str(cylinder)


def events_of(bench):
    """The seat events of the cam card; None where one is missing."""
    figures = [bench.engine.number(name) for name in EVENTS]
    return None if None in figures else valve_order.SeatEvents(*figures)


def margin(bench):
    """Degrees beyond the seat events in which a valve is left alone, for the basis of this cam's figures."""
    usual = bench.limits.number("valve_setting_margin", "low", "set")
    return valve_order.margin_for(bench.engine.number("seat_basis"), usual)


def order(bench, method):
    """[(engine angle, cylinder, side)] for a method. Raises Refusal where this cam does not allow it."""
    events, firing_order = events_of(bench), bench.engine.get("firing_order")
    if events is None or firing_order is None:
        raise plain.Refusal(
            "setting_order_unknown",
            "The setting order needs the firing order and the seat figures of the cam card.",
            {},
        )
    if method == TWO_POSITIONS:
        return valve_order.two_positions(firing_order, events, margin(bench))
    if method == OWN_TDC:
        return valve_order.own_firing_tdc(firing_order, events, margin(bench))
    return valve_order.one_turn_through(firing_order, events, margin=margin(bench))


def methods(bench):
    """The methods with the reason why this engine refuses one."""
    found = []
    for method, words in METHODS:
        try:
            order(bench, method)
            refused = None
        except plain.Refusal as refusal:
            refused = refusal.message
        found.append({"id": method, "words": words, "refused": refused})
    return found


def crank_words(bench, angle):
    """Where the crank then stands; degrees count from the first cylinder of the firing order."""
    first = str(bench.engine.get("firing_order")[0])
    return "crank " + plain.number_text(angle, 0) + "\u00b0 of 720\u00b0 after " + first + " fires"


def when(bench, method, cylinder, side, angle):
    """At which sign a valve is due, in words."""
    if method == TWO_POSITIONS:
        first = str(bench.engine.get("firing_order")[0])
        turn = (
            "at cylinder " + first + "'s firing top dead centre"
            if angle == 0.0
            else "one whole turn further, 360\u00b0"
        )
        return "with the crank " + turn
    if method == OWN_TDC:
        return "with cylinder " + str(cylinder) + " at its own firing top dead centre"
    if side == "I":
        return "when EXHAUST " + str(cylinder) + " just starts to open"
    return "when INTAKE " + str(cylinder) + " is nearly closed"


def progress(bench, method, place_of, status, last):
    """(the guide without its `now`, the next (angle, cylinder, side) or None).

    `place_of(cylinder, side)` names a valve's place; `status(place)` gives its state ("done", "open", "couldn't"),
    its worst severity or None, and why it could not be done or None. `last`: what to do when all are set.
    """
    known = methods(bench)
    refused = [m["refused"] for m in known if m["id"] == method]
    listed = order(bench, method) if method is not None and not refused[0] else []
    valves = _valves(listed, place_of, status)
    left = [item for item, valve in zip(listed, valves) if valve["state"] == "next"]
    upcoming = left[0] if left else None
    guide = {
        "method": dict(METHODS)[method] if method else None,
        "methods": known,
        "refused": refused[0] if refused else None,
        "done": len([valve for valve in valves if valve["state"] == "done"]),
        "of": len(valves),
        "list": valves,
        "plan": _plan(bench.engine, place_of, status, upcoming),
        "after": _after(valves, last),
        "wait": None,
    }
    return guide, upcoming


def _valves(listed, place_of, status):
    valves = []
    for angle, cylinder, side in listed:
        valves.append(_valve(cylinder, side, place_of, status, plain.number_text(angle, 0) + "\u00b0"))
    for valve in valves:
        if valve["state"] == "open":
            valve["state"] = "next"
            break
    return valves


def _valve(cylinder, side, place_of, status, angle):
    place = place_of(cylinder, side)
    state, severity, reason = status(place)
    return {
        "place": place,
        "words": valve_words(cylinder, side),
        "angle": angle,
        "state": state,
        "flag": severity,
        "reason": reason,
    }


def _plan(engine, place_of, status, now):
    rows = engine.get("numbering") or []
    names = ["Left bank", "Right bank"] if len(rows) == 2 else ["Front to rear"] * len(rows)
    plan = []
    for name, row in zip(names, rows):
        cylinders = [
            {
                "number": n,
                "intake": _lying(n, "I", place_of, status, now),
                "exhaust": _lying(n, "E", place_of, status, now),
            }
            for n in row
        ]
        plan.append({"bank": name, "cylinders": cylinders})
    return plan


def _lying(n, side, place_of, status, now):
    valve = _valve(n, side, place_of, status, "")
    if now is not None and (now[1], now[2]) == (n, side):
        valve["state"] = "next"
    return valve


def _after(valves, last):
    if not valves or any(valve["state"] in ("next", "open") for valve in valves):
        return None
    left = [valve["words"] + ", " + valve["reason"] for valve in valves if valve["state"] == "couldn't"]
    if left:
        return "Not complete. Could not be set: " + "; ".join(left) + "."
    flagged = len([valve for valve in valves if valve["flag"] in ("STOP", "HOLD", "WARN")])
    still = str(flagged) + " of them still want a look. " if flagged else ""
    return "All gone through. " + still + last
