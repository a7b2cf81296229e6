"""Solid lash: set each valve on its base circle to the target, cold at assembly, hot after the heat cycle."""

from .. import adjusters, plain, quantity, valve_guide, valve_setting
from ..metal import lash
from ..slips import Expectation
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants

ID = "solid_lash"
TITLE = "Valve lash, solid lifters"
STAGE = "release_for_priming"
NEEDS = ()
STYLE = "guided"
PURPOSE = (
    "Each valve on the base circle of its lobe. The blade of the target slides with a light drag, the next one refuses."
)
INSTRUMENTS = ("feeler_gauges", "thermometer")
SOURCES = ("Targets come from the cam card; cold corrections and bands are common practice.",)
CAUTIONS = (
    Caution("hands", "Turning the engine against its springs: hands clear?", "tap"),
    Caution("wrench", "Ignition off, plugs out. Turn by hand with a bar on the crank, never with the starter."),
)
COLD, HOT = "cold", "hot"
STATES = ((COLD, "Cold"), (HOT, "Hot"))
SIDES = (
    ("I", "intake", "lash_hot_intake", "lash_cold_intake"),
    ("E", "exhaust", "lash_hot_exhaust", "lash_cold_exhaust"),
)
LAST = "Turn the engine by hand twice through 720\u00b0, feel two valves again, check the locks."
#: Thickness of the blade by micrometer (common practice), for a go blade.
BLADE_TRUST = 0.0003 * 25.4
SAME = 0.0005 * 25.4


def cautions(bench):
    """On a hot engine the hand is about to touch hot parts."""
    return [Caution("hot", "Hot parts, and the ignition is disabled?", "tap")] if bench.text("state") == HOT else []


def applies(engine):
    """Only solid lifters have a lash to set."""
    return engine.text("lifter_kind") in ("flat_solid", "roller_solid")


def place_of(n, side):
    """Where a valve's setting stands."""
    return valve_setting.named(_place_name, n, side)


def _place_name(n, side):
    return str(n) + side + ".lash"


def groups(engine):
    """How it is set, then two valves per cylinder."""
    top = [
        Place("state", "Engine cold or hot", "cold or hot", kind="choice", choices=STATES),
        Place("method", "Setting order", "order", kind="choice", choices=valve_guide.METHODS),
        Place(
            "metal_temperature",
            "Metal temperature at the rocker cover rail",
            "metal temperature",
            kind="temperature",
            required=False,
        ),
    ]
    if not applies(engine):
        return []
    top.extend(adjusters.places(False, adjusters.TURNED) + [valve_setting.changed(), valve_setting.locks_all(False)])
    cylinders = [_cylinder(n) for n in engine.cylinder_numbers()]
    return [Group("how", "How it is set", top)] + cylinders + valve_setting.groups(engine)


def _cylinder(n):
    places = [
        Place(place_of(n, side), valve_setting.words(n, words) + ", lash", words, set_or_found="set", family=side)
        for side, words, _, _ in SIDES
    ]
    return Group(valve_setting.cylinder(n), "Cylinder " + str(n), places)


def target(bench, side):
    """(target lash, None) for a side in the declared state, or (None, words of what is missing)."""
    return target_in(bench, side, bench.text("state"))


def target_in(bench, side, state):
    """The same for a state that somebody asks about."""
    field = next(hot for s, _, hot, _ in SIDES if s == side)
    hot = bench.engine.number(field)
    if state == COLD:
        return cold_target(bench, side)
    if hot is None:
        return None, bench.engine.words(field)
    return (hot, None) if state == HOT else (None, "engine cold or hot")


def cold_target(bench, side):
    """The same for a cold engine: the cam card's own figure, else the hot one with the correction for the metals."""
    field, cold_field = next((hot, cold) for s, _, hot, cold in SIDES if s == side)
    hot, given = bench.engine.number(field), bench.engine.number(cold_field)
    if given is not None:
        return given, None
    if hot is None:
        return None, bench.engine.words(field)
    addend = bench.limits.addend("cold_lash_addend", bench.engine)
    if addend is None:
        return None, "the cold correction for these metals, from the cam card or the lead"
    cold, least = lash.cold(hot, addend[0]), window(bench)[0]
    if cold < least:
        return None, "the cold figure from the cam card: the usual correction would leave no lash"
    return cold, None


def window(bench):
    """Lash as it can be typed, and as a running engine can have it."""
    ends = [bench.limits.number("lash_window", end, "set") for end in ("low", "high")]
    return [quantity.to_canonical("length", end, "in") for end in ends]


def derive(bench, only=None):
    """How far each valve is off its target."""
    numbers = [n for n in bench.engine.cylinder_numbers() if wants(only, valve_setting.cylinder(n))]
    return [_off_target(bench, n, side, words) for n in numbers for side, words, _, _ in SIDES]


def _off_target(bench, n, side, words):
    place = place_of(n, side)
    aim, lacking = target(bench, side)
    missing = list(bench.missing([place], {place: valve_setting.words(n, words) + ", lash"})) + (
        [lacking] if lacking else []
    )
    number = None if missing or aim is None else bench.number(place) - aim
    return Value(
        place + ".off",
        valve_setting.words(n, words) + ", off its target",
        words + ", off target",
        valve_setting.cylinder(n),
        number,
        [place],
        "lash_off_target",
        missing,
        BLADE_TRUST,
        "blade measured by micrometer",
        set_or_found="set",
        lead_in="" if number is None else _lead_in(bench.at(place).typed, aim),
    )


def _lead_in(typed, aim):
    decimals = plain.decimals_of(typed["text"])
    set_to = quantity.with_unit(typed["text"], typed["unit"])
    wanted = quantity.with_unit(quantity.text_in("length", aim, typed["unit"], decimals), typed["unit"])
    return "Lash " + set_to + ", target " + wanted + ". "


def findings(bench, only=None):
    """Targets exchanged or of the other state, an order that this cam refuses, the hot check to come."""
    found = valve_setting.findings(bench, only, place_of)
    if wants(only, FAMILY):
        found = found + adjusters.findings(bench)
    for n in bench.engine.cylinder_numbers():
        if wants(only, valve_setting.cylinder(n)):
            for side, words, field, _ in SIDES:
                found.extend(_valve_findings(bench, n, side, words, field))
    return found + (_target_findings(bench) + _hot_check(bench) if wants(only, FAMILY) else [])


def _hot_check(bench):
    if bench.text("state") != COLD or not bench.engine.cylinder_numbers() or not _all_set(bench):
        return []
    words = "Set cold. The hot check after the first heat cycle is still to come."
    return [Finding("hot_check", "NOTE", words, None, "missing")]


def _target_findings(bench):
    """A valve set by no known target is nobody's work to accept."""
    lacking = [target(bench, side)[1] for side, _, _, _ in SIDES]
    if bench.text("state") is None or not any(lacking):
        return []
    words = "Lash has no target here: missing " + (lacking[0] or lacking[1]) + ". The lead gives it."
    return [Finding("no_target", "HOLD", words, "state", "missing")]


def _all_set(bench):
    return None not in [
        bench.number(place_of(n, side)) for n in bench.engine.cylinder_numbers() for side, _, _, _ in SIDES
    ]


def _valve_findings(bench, n, side, words, field):
    number, (aim, _) = bench.number(place_of(n, side)), target(bench, side)
    if number is None or aim is None or abs(number - aim) <= 2 * SAME:
        return []
    other, _ = target(bench, "E" if side == "I" else "I")
    place, name = place_of(n, side), valve_setting.words(n, words) + ": "
    if other is not None and abs(number - other) <= SAME:
        return [
            Finding(
                "sides." + place,
                "WARN",
                name + "this is the other side's target; were intake and exhaust exchanged?",
                place,
            )
        ]
    hot = bench.engine.number(field)
    if bench.text("state") == COLD and hot is not None and abs(number - hot) <= SAME:
        return [Finding("hot_used." + place, "WARN", name + "this is the hot figure, and the engine is cold.", place)]
    cold = cold_target(bench, side)[0]
    if bench.text("state") == HOT and cold is not None and abs(number - cold) <= SAME:
        return [Finding("cold_used." + place, "WARN", name + "this is the cold figure, and the engine is hot.", place)]
    return []


def expect(bench, place_id):
    """A lash lies near its target, inside the window in which lash can be typed."""
    valve, _, what = place_id.partition(".")
    if what != "lash":
        return None
    aim, _ = target(bench, valve[-1])
    ends = window(bench)
    return None if aim is None else Expectation(aim, ends[0], ends[1])


def guide(bench, status):
    """The next valve with its target, the whole order, and the valves as they lie (`Guide` of the screens)."""
    method = bench.text("method")
    told = valve_setting.status(bench, place_of, status)
    found, upcoming = valve_guide.progress(bench, method, place_of, told, LAST)
    found["step"] = ID
    found["now"] = _now(bench, method, upcoming) if upcoming else None
    if upcoming and found["now"] is None:
        found["refused"] = "No target yet: missing " + target(bench, upcoming[2])[1] + "."
    return found


def _now(bench, method, item):
    angle, cylinder, side = item
    aim, _lacking = target(bench, side)
    if aim is None:
        return None
    unit = bench.engine.usual_unit("lash_hot_intake") or "in"
    decimals = 3 if unit == "in" else None
    shown = quantity.show("length", aim, unit, decimals)
    return {
        "place": place_of(cylinder, side),
        "set": "Set " + valve_guide.valve_words(cylinder, side),
        "when": valve_guide.when(bench, method, cylinder, side, angle),
        "angle": valve_guide.crank_words(bench, angle),
        "target": shown,
        "large": quantity.with_unit(shown["text"], unit) + " " + bench.text("state"),
        "band": _band(bench, aim, unit, decimals),
        "hint": _turn_words(bench, unit),
        "act": "set",
    }


def _turn_words(bench, unit):
    """What an eighth of a turn does to the lash, where the adjuster is declared: the blade decides, not the turns."""
    adjuster = adjusters.Adjuster(bench)
    if adjuster.missing:
        return None
    change = quantity.with_unit(quantity.text_in("length", adjuster.lash(1.0 / adjusters.COUNTED), unit), unit)
    return "1/8 turn of this adjuster is " + change + " of lash; the blade decides."


def _band(bench, aim, unit, decimals):
    """The width of the target in words; open at the end that a card leaves open."""
    limits = bench.limits.in_force("lash_off_target", bench.engine, "set")
    ends = [limit[end] for limit in limits[:1] for end in ("low", "high")] or [None, None]
    low, high = ["" if end is None else quantity.text_in("length", aim + end, unit, decimals) for end in ends]
    if low and high:
        return low + " to " + quantity.with_unit(high, unit)
    if low:
        return "at least " + quantity.with_unit(low, unit)
    return "up to " + quantity.with_unit(high, unit) if high else ""
