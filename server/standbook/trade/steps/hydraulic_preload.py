"""Hydraulic preload: from zero lash so far that the plunger stands as deep as the lifter card says.

The depth is judged; turns are only the way there (common practice; depth from turns is derived, lever geometry).
"""

from .. import adjusters, bleed_down, plain, quantity, uncertainty, valve_guide, valve_setting
from ..adjusters import FIXED
from ..bleed_down import BLED, FELT, FULL, STATES, TURNED
from ..slips import Expectation
from ..valve_setting import SIDES
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from .common import YES_NO

ID = "hydraulic_preload"
TITLE = "Hydraulic preload"
STAGE = "release_for_priming"
NEEDS = ()
STYLE = "guided"
PURPOSE = (
    "Each valve on the base circle of its lobe: down to zero lash, then on until the plunger stands as deep as its "
    "card says. The depth is judged, the turns are only the way there."
)
INSTRUMENTS = ("dial_indicator",)
SOURCES = (
    "Depth and travel come from the lifter card; 0.020 to 0.060 in and the wait are common practice.",
    "Depth from turns: lever geometry of the rocker.",
)
CAUTIONS = (
    Caution("hands", "Turning the engine against its springs: hands clear?", "tap"),
    Caution("bottomed", "A lifter pushed to its bottom holds its valve open: the piston may meet it."),
    Caution("wrench", "Ignition off, plugs out. Turn by hand with a bar on the crank, never with the starter."),
)
ZEROS = (("up_down", "Pushrod just stops moving up and down"), ("spin", "Pushrod stops spinning"))
LAST = "Now the last checks: turn the engine slowly by hand twice through 720\u00b0, feel two valves again."
ZERO_HINT = "Zero lash: the pushrod just stops moving up and down."
#: Half of what a hand counts to (common practice).
COUNT_TRUST = 0.5 / adjusters.COUNTED
COUNT_WORDS = "turns counted by the eighth"
#: A dial indicator on pushrod or plunger (common practice), and how far two such looks at one depth differ.
DIAL_TRUST = 0.001 * 25.4
PLAY = 2.0 * DIAL_TRUST


def applies(engine):
    """Only hydraulic lifters are preloaded."""
    return engine.text("lifter_kind") in ("flat_hydraulic", "roller_hydraulic")


def cautions(bench):
    """A lifter full of oil gives way slowly: the valve just set stands open meanwhile."""
    if bench.text("state") != FULL:
        return []
    line = "Full lifters: wait for them before each turn of the crank?"
    return [Caution("full", line, "tap")]


def _turns(n, side):
    return valve_setting.named(_turns_name, n, side)


def _turns_name(n, side):
    return str(n) + side + ".turns"


def _depth(n, side):
    return valve_setting.named(_depth_name, n, side)


def _depth_name(n, side):
    return str(n) + side + ".depth"


def _place_of(bench):
    """Where the setting of a valve stands: its turns, or its measured depth where nothing can be turned."""
    return _depth if bench.text("adjuster") == FIXED else _turns


def groups(engine):
    """How it is set, two valves per cylinder, and what follows the last one."""
    if not applies(engine):
        return []
    how = [
        Place("state", "The lifters now", "lifters", kind="choice", choices=STATES),
        Place("method", "Setting order", "order", kind="choice", choices=valve_guide.METHODS),
    ]
    how.extend(adjusters.places(True, adjusters.CHOICES))
    how.append(Place("zero", "Zero lash is felt when", "zero lash", kind="choice", choices=ZEROS))
    how.append(valve_setting.changed())
    cylinders = [_cylinder(n) for n in engine.cylinder_numbers()]
    return [Group("how", "How it is set", how)] + cylinders + [_after()] + valve_setting.groups(engine)


def _cylinder(n):
    turns = [
        Place(
            _turns(n, side),
            valve_setting.words(n, said) + ", turns",
            said,
            kind="turns",
            set_or_found="set",
            family="turns",
        )
        for side, said in SIDES
    ]
    depths = [
        Place(_depth(n, side), valve_setting.words(n, said) + ", depth measured", said + ", measured", family="depth")
        for side, said in SIDES
    ]
    return Group(valve_setting.cylinder(n), "Cylinder " + str(n), turns + depths)


def _after():
    places = [
        Place(BLED, "Waited until the lifters have bled down", "bled down", kind="flag", choices=YES_NO),
        Place(
            TURNED,
            "Turned slowly by hand twice through 720\u00b0, no resistance",
            "turned by hand",
            kind="flag",
            choices=YES_NO,
            hint="Stop at any resistance: a lifter on its bottom holds its valve open.",
        ),
        Place(FELT, "Zero lash felt again on two valves, as set", "felt again", kind="flag", choices=YES_NO),
        valve_setting.locks_all(True),
    ]
    return Group("after", "After the last valve", places)


def not_needed(bench):
    """What the answers make needless: turns where nothing turns, depths where turns count, a wait for dry lifters."""
    fixed = bench.text("adjuster") == FIXED
    left = _turns if fixed else _depth
    needless = [left(n, side) for n, side, _ in valve_setting.valves(bench)] + (["thread", "zero"] if fixed else [])
    return needless + ([] if bench.text("state") == FULL else [BLED]) + (["locks"] if fixed else [])


# --- depth ---


def limit(bench):
    """(low, high) of the depth in force, canonical, an end may be None; None where nothing judges it."""
    found = bench.limits.in_force("preload_depth", bench.engine, "set")
    return (found[0]["low"], found[0]["high"]) if found else None


def _no_limit(bench):
    """Words of what is missing to judge a depth."""
    if bench.engine.text("lifter_travel") is None:
        return "the lifter card's preload, or the " + bench.engine.words("lifter_travel").lower()
    return "a preload limit: the lead freezes this engine's limits anew"


def derive(bench, only=None):
    """How deep each plunger stands, and the spread of the depths."""
    adjuster = adjusters.Adjuster(bench)
    found = []
    for n, side, said in valve_setting.valves(bench):
        if wants(only, valve_setting.cylinder(n)):
            found.append(_preload(bench, adjuster, n, side, said))
    return found + (_spread(bench, adjuster) if wants(only, FAMILY) else [])


def depth_at(bench, adjuster, n, side):
    """(depth, place that it rests on, u, why u) of a valve; a measured depth goes before counted turns."""
    measured, place = bench.number(_depth(n, side)), _depth(n, side)
    if measured is not None:
        return measured, place, uncertainty.single(bench, place, DIAL_TRUST), "measured"
    turns, place = bench.number(_turns(n, side)), _turns(n, side)
    if turns is None or adjuster.kind == FIXED or adjuster.missing:
        return None, place, 0.0, ""
    return adjuster.depth(turns), place, adjuster.depth(COUNT_TRUST), COUNT_WORDS


def _preload(bench, adjuster, n, side, said):
    depth, place, u, trust = depth_at(bench, adjuster, n, side)
    name = valve_setting.words(n, said)
    missing = []
    if depth is None:
        place = _place_of(bench)(n, side)
        what = ", depth measured" if adjuster.kind == FIXED else ", turns"
        missing = list(bench.missing([place], {place: name + what}))
        missing.extend([] if adjuster.kind == FIXED else adjuster.missing)
    if limit(bench) is None:
        depth, missing = None, missing + [_no_limit(bench)]
    turned = bench.number(_turns(n, side))
    return Value(
        str(n) + side + ".preload",
        name + ", preload depth",
        said + " depth",
        valve_setting.cylinder(n),
        depth,
        [place],
        "preload_depth",
        missing,
        u,
        trust,
        set_or_found="set",
        # Turns counted by the eighth know no ten-thousandth.
        extra_decimals=0 if trust == "measured" else -1,
        lead_in="" if depth is None or turned is None else adjusters.turn_words(turned) + " past zero. ",
    )


def _spread(bench, adjuster):
    stood = [depth_at(bench, adjuster, n, side) for n, side, _ in valve_setting.valves(bench)]
    known = [one for one in stood if one[0] is not None]
    if len(known) < 2:
        return []
    depths = [one[0] for one in known]
    u = max([one[2] for one in known])
    return [
        Value(
            "preload_spread",
            "Spread of the preload depths",
            "spread",
            None,
            max(depths) - min(depths),
            [one[1] for one in known],
            "preload_spread",
            (),
            u,
            known[0][3],
            set_or_found="set",
            extra_decimals=0 if "measured" in [one[3] for one in known] else -1,
        )
    ]


# --- what else there is to notice ---


def findings(bench, only=None):
    """A lifter on its bottom, another thread, zero felt late, an adjuster that cannot be there, the last checks."""
    adjuster, place_of = adjusters.Adjuster(bench), _place_of(bench)
    found = valve_setting.findings(bench, only, place_of)
    for n, side, said in valve_setting.valves(bench):
        if wants(only, valve_setting.cylinder(n)):
            found.extend(_valve_findings(bench, adjuster, n, side, said))
    if wants(only, FAMILY):
        settings = bleed_down.Settings(bench, place_of)
        found.extend(adjusters.findings(bench) + _how_findings(bench, adjuster) + _after_findings(bench, settings))
        found.extend(_wait_findings(bench, settings))
    return found


def _wait_findings(bench, settings):
    """What was done before full lifters had time to bleed down."""
    found = bleed_down.while_setting(bench, settings)
    for valve in valve_setting.valves(bench):
        found.extend(bleed_down.sinking(bench, settings, valve, _depth(valve[0], valve[1])))
    return found + bleed_down.after_the_last(bench, settings)


def _valve_findings(bench, adjuster, n, side, said):
    depth, place, _, _ = depth_at(bench, adjuster, n, side)
    if depth is None:
        return []
    name, found = valve_setting.words(n, said) + ": ", []
    travel = bench.engine.number("lifter_total_travel")
    if travel is not None and depth >= travel:
        words = (
            name + "deeper than the plunger's whole travel: the lifter stands on its bottom and holds the valve open."
        )
        found.append(Finding("bottomed." + place, "STOP", words + " Back it off.", place, "out"))
    turns, measured = bench.number(_turns(n, side)), bench.number(_depth(n, side))
    if turns is None or measured is None or adjuster.kind == FIXED or adjuster.missing:
        return found
    thread = adjuster.likelier_thread(turns, measured, PLAY)
    if thread is not None:
        words = name + "so many turns of " + thread + " make this depth: look at the thread."
        found.append(Finding("thread." + place, "WARN", words, place))
    return found


def _how_findings(bench, adjuster):
    found = []
    if bench.text("zero") == "spin":
        words = "With the dry spring of a lifter the pushrod stops spinning late: feel zero lash up and down."
        found.append(Finding("zero", "WARN", words, "zero", "order"))
    if bench.text("state") == FULL:
        words = (
            "Lifters full of oil: on one that is pumped up zero lash is felt too high. Bleed each down before its zero."
        )
        found.append(Finding("pumped_up", "NOTE", words, "state", "order"))
    lacking = [] if adjuster.kind == FIXED else list(adjuster.missing)
    lacking = lacking + ([_no_limit(bench)] if limit(bench) is None else [])
    if bench.text("adjuster") is not None and bench.text("method") is not None and lacking:
        words = "Preload cannot be judged here: missing " + "; ".join(lacking) + ". The lead gives it."
        found.append(Finding("no_target", "HOLD", words, "state", "missing"))
    return found


def _after_findings(bench, settings):
    found = []
    if bench.text(TURNED) == "no":
        words = "Resistance while turning by hand: stop. A valve stands open or meets a piston; find out which."
        found.append(Finding("resistance", "STOP", words, TURNED, "out"))
    elif bench.text(TURNED) == "yes":
        found.extend(_turned_too_early(bench, settings.last()))
    if bench.text(FELT) == "no":
        words = "Two valves felt again were not as set: set all of them again."
        found.append(Finding("felt", "WARN", words, FELT, "order"))
    return found


def _turned_too_early(bench, last):
    """Turned through before the last valve was set."""
    turned = bench.at(TURNED)
    if last is None or turned.rank is None or last.rank is None or last.rank < turned.rank:
        return []
    words = "Valves were set after the engine was turned: turn it slowly by hand twice through 720\u00b0 again."
    return [Finding("turned_early", "WARN", words, TURNED, "order")]


# --- what is expected, and the guide ---


def expect(bench, place_id):
    """Turns lie near the target; any that leave the plunger inside the usual travels are plausible."""
    what = place_id.partition(".")[2]
    band = limit(bench)
    if band is None or what not in ("turns", "depth"):
        return None
    farthest = quantity.to_canonical("length", bench.limits.number("lifter_total_travel", "high"), "in")
    if what == "depth":
        return Expectation(_middle(band), 0.0, farthest, is_size=False)
    adjuster = adjusters.Adjuster(bench)
    if adjuster.kind == FIXED or adjuster.missing:
        return None
    aim = target(bench, adjuster)
    ends = [end if end is None else adjuster.turns(end) for end in band]
    known = None if None in ends else (ends[0], ends[1])
    return None if aim is None else Expectation(aim, 0.0, adjuster.turns(farthest), known)


def _middle(band):
    return plain.mean([end for end in band if end is not None])


def target(bench, adjuster):
    """Turns past zero lash to set: countable, and in the middle of the band; None where none can be counted."""
    low, high = limit(bench)
    return adjusters.countable(0.0 if low is None else low, low if high is None else high, adjuster)


def guide(bench, status):
    """The next valve with its turns and depth, the order, and the valves as they lie (`Guide` of the screens)."""
    method, place_of = bench.text("method"), _place_of(bench)
    told = valve_setting.status(bench, place_of, status)
    found, upcoming = valve_guide.progress(bench, method, place_of, told, LAST)
    found["step"] = ID
    found["now"] = _now(bench, method, upcoming) if upcoming else None
    settings = bleed_down.Settings(bench, place_of)
    found["wait"] = bleed_down.view(bench, settings, upcoming, found["now"] and found["now"]["place"])
    if bench.text(TURNED) == "yes" and bench.text(FELT) == "yes" and found["done"] == found["of"]:
        found["after"] = None
    if upcoming and found["now"] is None:
        found["refused"] = _why_not(bench)
    return found


def _why_not(bench):
    adjuster = adjusters.Adjuster(bench)
    lacking = [] if adjuster.kind == FIXED else list(adjuster.missing)
    lacking = lacking + ([_no_limit(bench)] if limit(bench) is None else [])
    if lacking:
        return "No target yet: missing " + "; ".join(lacking) + "."
    return "No turns that a hand can count lie inside " + _band(bench, "in") + ": measure the depth."


def _now(bench, method, item):
    angle, cylinder, side = item
    adjuster = adjusters.Adjuster(bench)
    if limit(bench) is None or (adjuster.kind != FIXED and adjuster.missing):
        return None
    now = {
        "place": _place_of(bench)(cylinder, side),
        "when": valve_guide.when(bench, method, cylinder, side, angle),
        "angle": valve_guide.crank_words(bench, angle),
    }
    unit = "mm" if bench.engine.usual_unit("bore") == "mm" else "in"
    how = _measured(bench, unit) if adjuster.kind == FIXED else _by_turns(bench, adjuster, unit)
    if how is None:
        return None
    now["set"] = ("Measure " if adjuster.kind == FIXED else "Set ") + valve_guide.valve_words(cylinder, side)
    now.update(how)
    return now


def _measured(bench, unit):
    return {
        "target": quantity.show("length", _middle(limit(bench)), unit),
        "large": _band(bench, unit),
        "band": "preload depth",
        "hint": "Dial indicator, or marks on the pushrod: from zero lash to the rocker at full torque.",
        "act": "measure",
    }


def _by_turns(bench, adjuster, unit):
    turns = target(bench, adjuster)
    if turns is None:
        return None
    shown = quantity.show("length", adjuster.depth(turns), unit, 3 if unit == "in" else 2)
    return {
        "target": {
            "text": adjusters.turns_text(turns),
            "unit": "turn",
            "echo": "",
            "words": adjusters.turn_words(turns),
        },
        "large": adjusters.turn_words(turns),
        "band": quantity.with_unit(shown["text"], unit) + " past zero, limit " + _band(bench, unit),
        "hint": ZERO_HINT,
        "act": "set",
    }


def _band(bench, unit):
    """The depth in force in words."""
    low, high = [
        "" if end is None else quantity.text_in("length", end, unit, 3 if unit == "in" else 2) for end in limit(bench)
    ]
    if low and high:
        return low + " to " + quantity.with_unit(high, unit)
    return ("at least " if low else "up to ") + quantity.with_unit(low or high, unit)
