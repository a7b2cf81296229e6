"""Lash found again after a heat cycle: what changed since it was set, by valve, and what that means.

Limits and meanings are common practice. Each heat cycle has its own places, so that nothing found is ever lost.
"""

from .. import judge, plain, quantity, valve_setting
from ..slips import Expectation
from ..valve_setting import SIDES
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from . import solid_lash

ID = "lash_again"
TITLE = "Valve lash found again"
STAGE = "first_load"
NEEDS = ("solid_lash",)
STYLE = "grid"
PURPOSE = "Each valve found as it is before anything is set: what changed since it was set tells what wears."
INSTRUMENTS = ("feeler_gauges", "thermometer")
SOURCES = ("How far lash may change over a heat cycle, and what it means: common practice.",)
CAUTIONS = (
    Caution("hands", "Turning the engine against its springs: hands clear?", "tap"),
    Caution("wrench", "Ignition off, plugs out. Turn by hand with a bar on the crank, never with the starter."),
    Caution("first_find", "Find all of them before one is set: a lash set again tells nothing any more."),
)
#: So many heat cycles have their places; only the first is asked for.
CYCLES = (1, 2, 3)
GROWN = "Grown: wear of lobe, lifter, pushrod end or rocker, or a nut that backs off. "
SHRUNK = "Shrunk: the valve sinks into its seat, or stretches. "


def applies(engine):
    return solid_lash.applies(engine)


def cautions(bench):
    """On a hot engine the hand is about to touch hot parts."""
    hot = [cycle for cycle in CYCLES if bench.text(_state(cycle)) == solid_lash.HOT]
    return [Caution("hot", "Hot parts, and the ignition is disabled?", "tap")] if hot else []


def _group(cycle):
    return "H" + str(cycle)


def _state(cycle):
    return valve_setting.named(_state_name, cycle)


def _state_name(cycle):
    return _group(cycle) + ".state"


def _found(cycle, n, side):
    return valve_setting.named(_found_name, cycle, n, side)


def _found_name(cycle, n, side):
    return _group(cycle) + "." + str(n) + side + ".found"


def _lash(n, side):
    return solid_lash.place_of(n, side)


def groups(engine):
    """For each heat cycle its state, then two valves per cylinder."""
    if not applies(engine):
        return []
    return [_cycle(cycle, engine.cylinder_numbers()) for cycle in CYCLES]


def _cycle(cycle, numbers):
    title, first = "Heat cycle " + str(cycle), cycle == CYCLES[0]
    places = [
        Place(_state(cycle), title + ", engine cold or hot", "cold or hot", "choice", first, choices=solid_lash.STATES)
    ]
    for n in numbers:
        for side, said in SIDES:
            words = valve_setting.words(n, said)
            places.append(Place(_found(cycle, n, side), words + ", found", str(n) + " " + said, required=first))
    return Group(_group(cycle), title, places, not first)


# --- the change ---


def _set_before(bench, place, found):
    """The lash as it was set when this one was found, and in which state; None where it was not."""
    settings = bench.of(solid_lash.ID)
    if found.rank is None:
        return settings.at(place)
    return settings.before(place, found.rank)


def change(bench, cycle, n, side):
    """(change or None, the setting or None, words of what is missing)."""
    found = bench.at(_found(cycle, n, side))
    name = valve_setting.words(n, dict(SIDES)[side])
    if found is None:
        return None, None, [name + ", found"]
    was = _set_before(bench, _lash(n, side), found)
    if was is None:
        return None, None, [name + ", lash as it was set"]
    state, then = bench.text(_state(cycle)), bench.of(solid_lash.ID).text("state")
    if state is None or then is None:
        return None, was, ["engine cold or hot, now and when it was set"]
    if state != then:
        return None, was, ["the lash found " + then + ", as it was set: a " + state + " one cannot be compared with it"]
    return found.number - was.number, was, []


def derive(bench, only=None):
    """The change of each valve, and the mean of every heat cycle."""
    found = []
    for cycle in CYCLES:
        if wants(only, _group(cycle)):
            found.extend([_changed(bench, cycle, n, side, said) for n, side, said in _looked_at(bench, cycle)])
            found.extend(_off_target(bench, cycle))
        if wants(only, FAMILY):
            found.extend(_mean(bench, cycle))
    return found


def _looked_at(bench, cycle):
    """Every valve of the first cycle, of later ones those that were found."""
    valves = valve_setting.valves(bench)
    return [v for v in valves if cycle == CYCLES[0] or bench.at(_found(cycle, v[0], v[1])) is not None]


def _changed(bench, cycle, n, side, said):
    place = _found(cycle, n, side)
    number, was, missing = change(bench, cycle, n, side)
    name = valve_setting.words(n, said)
    return Value(
        place + ".change",
        name + ", change over heat cycle " + str(cycle),
        str(n) + " " + said + ", change",
        _group(cycle),
        number,
        [place],
        "lash_change_one_valve",
        missing,
        judge.combined(solid_lash.BLADE_TRUST, solid_lash.BLADE_TRUST),
        "two blades",
        lead_in="" if number is None else _lead_in(bench, bench.at(place), was, number),
    )


def _lead_in(bench, found, was, number):
    said = [quantity.with_unit(one.typed["text"], one.typed["unit"]) for one in (found, was)]
    words = "Found " + said[0] + ", set " + said[1] + ". "
    if number > _most(bench):
        return words + GROWN
    return words + (SHRUNK if number < -_most(bench) else "")


def _most(bench):
    """How far the lash of one valve may change, canonical."""
    limits = bench.limits.in_force("lash_change_one_valve", bench.engine, "found")
    ends = [limit["high"] for limit in limits if limit["high"] is not None]
    return min(ends) if ends else float("inf")


def _off_target(bench, cycle):
    """Found in another state than it was set in: how far off that state's target, shown only."""
    state, settings = bench.text(_state(cycle)), bench.of(solid_lash.ID)
    if state is None or settings.text("state") in (None, state):
        return []
    found = []
    for n, side, said in _looked_at(bench, cycle):
        place = _found(cycle, n, side)
        aim = solid_lash.target_in(settings, side, state)[0]
        if aim is not None and bench.number(place) is not None:
            name = valve_setting.words(n, said) + ", off its " + state + " target"
            number = bench.number(place) - aim
            found.append(Value(place + ".off", name, str(n) + " " + said + ", off", _group(cycle), number, [place]))
    return found


def _changes(bench, cycle):
    """[(change, cylinder, side, side in words)] of the valves that can be compared."""
    told = [(change(bench, cycle, n, side)[0], n, side, said) for n, side, said in valve_setting.valves(bench)]
    return [one for one in told if one[0] is not None]


def _mean(bench, cycle):
    known = _changes(bench, cycle)
    if len(known) < 2:
        return []
    return [
        Value(
            _group(cycle) + ".mean_change",
            "Mean change over heat cycle " + str(cycle),
            "mean change",
            None,
            plain.mean([one[0] for one in known]),
            [_found(cycle, n, side) for _, n, side, _ in known],
            "lash_change_mean",
            (),
            0.0,
            extra_decimals=1,
        )
    ]


def findings(bench, only=None):
    """One valve alone that grew on a flat cam: its lobe is going."""
    if not wants(only, FAMILY) or bench.engine.text("lifter_kind") != "flat_solid":
        return []
    return [finding for cycle in CYCLES for finding in _lone(bench, cycle)]


def _lone(bench, cycle):
    known, most = _changes(bench, cycle), _most(bench)
    grown = [one for one in known if one[0] > most + 1e-9]
    if len(grown) != 1 or len(known) < 2:
        return []
    _, n, side, said = grown[0]
    words = (
        valve_setting.words(n, said) + ": of all that were found this one alone grew. On a flat cam its lobe is going: "
    )
    words = words + "stop, look at lobe and lifter."
    return [Finding("lone." + _found(cycle, n, side), "STOP", words, _found(cycle, n, side), "out")]


def expect(bench, place_id):
    """A lash lies near what was set, inside the window in which lash can be typed."""
    valve, _, what = place_id.partition(".")[2].partition(".")
    if what != "found":
        return None
    settings = bench.of(solid_lash.ID)
    was = settings.number(valve + ".lash")
    ends = solid_lash.window(settings)
    return None if was is None else Expectation(was, ends[0], ends[1], is_size=False)
