"""Pushrod length by the checking pushrod: go after go on each marked valve, until its mark is right; then the order.

A go is the locked length of the checker and what the rocker left on the stem; `checker` says what follows from it.
"""

from .. import checker, checker_findings, checker_guide, checker_values, pushrod_order
from ..checker import GOES
from ..work import Caution, Group, Place
from .common import YES_NO

ID = "pushrod_length"
TITLE = "Pushrod length"
STAGE = "pushrod_order"
NEEDS = ()
STYLE = "goes"
PURPOSE = (
    "The length at which the mark on the valve stem is right, found with the adjustable checking pushrod, and from it "
    "the length to order."
)
#: Edges and lines are read to 0.005 in by loupe, photo or caliper: any gauge for sizes is fine enough.
INSTRUMENTS = ()
SOURCES = (
    "Travel of the contact, pivot height and ball ends: geometry of the rocker in its plane.",
    "Widths, margins, length steps and the number of valves are common practice.",
)
CAUTIONS = (
    Caution(
        "checker",
        "Light checking springs only, and the checker's lock nut tight? It is weak and unwinds: never run it.",
        "tap",
    ),
    Caution("hands", "Hands clear of springs and rockers when the engine is turned: bar on the crank, never starter."),
    Caution("retainer", "Stop turning if a rocker touches a retainer."),
    Caution("real_springs", "The real springs come in only with the real pushrods, for the final marks."),
)
LIFTERS = (
    (pushrod_order.SOLID_CHECKER, "Solid checking lifter"),
    ("locked", "Hydraulic lifter that cannot collapse"),
    ("free", "Hydraulic lifter as it is"),
)
CAPS = (
    ("none", "No lash caps in this job"),
    ("on", "Lash caps are on the valves"),
    ("off", "Lash caps belong to this job and are not on"),
)
#: Place, answer, and the places on call that it brings.
CALLED_BY = (
    ("lifter", pushrod_order.SOLID_CHECKER, ("cup_checker", "cup_real")),
    ("basis", pushrod_order.GAUGE, ("gauge_circle",)),
    ("changes", "yes", tuple([place for place, _ in pushrod_order.CHANGES])),
    ("count", "both", ("base",)),
)
COUNTS = (("both", "Turns counted, then the caliper"), ("caliper", "Caliper alone"))
EIGHTH_KEYS = tuple([(str(n), str(n) + "/8" if n else "None") for n in range(checker.EIGHTHS)])
#: Kinds of the places by the last part of their id: which of them there are is the engine's affair.
KINDS = {
    "method": "choice", "springs": "flag", "lifter": "choice", "caps": "choice", "gasket": "flag", "basis": "choice",
    "count": "choice", "eighths": "choice", "turns": "count",
    "changes": "flag", "bore_angle": "angle",
}  # fmt: skip
LENGTHS = (
    "deck_cut", "head_mill", "gasket_marked", "gasket_final", "base_smaller", "tip_higher", "tip_lower",
    "cup_checker", "cup_real", "preload", "base", "ball", "flat", "gauge_circle", "lift", "lobe", "shim", "milled",
    "cal", "closed", "open", "closed2", "open2", "inner", "outer", "inner2", "outer2", "slot", "retainer", "hole",
)  # fmt: skip


def kind_of(place_id):
    """Kind of a place of this step; None for one that this version does not know."""
    last = place_id.split(".")[-1]
    return "length" if last in LENGTHS else KINDS.get(last)


def applies(engine):
    """An engine whose rockers are named: it has pushrods."""
    return engine.text("rocker_kind") is not None


# --- places ---


def groups(engine):
    """How it is marked; each valve with its goes and clearances; what the order needs."""
    if not applies(engine):
        return []
    found = [Group("how", "How it is marked", _how(engine))]
    for n, side in checker.marked(engine):
        found.extend(_valve_groups(engine, n, side))
    return found + [Group("order", "For the order", _order(engine))]


def _length(id, words, short, required=True, **more):
    return Place(id, words, short, required=required, **more)


def _how(engine):
    places = [
        Place("method", "How the length is found", "method", kind="choice", choices=checker.METHODS),
        Place("springs", "Light checking springs on the valves to be marked", "light springs", "flag", choices=YES_NO),
        Place("gasket", "Head gasket of the thickness measured for this job", "gasket", "flag", choices=YES_NO),
        Place("caps", "Lash caps", "lash caps", kind="choice", choices=CAPS),
    ]
    if engine.text("lifter_kind") in pushrod_order.HYDRAULIC:
        places.append(Place("lifter", "Lifter under the checker", "lifter", kind="choice", choices=LIFTERS))
        for id, words in (("cup_checker", "Checking lifter, foot to cup"), ("cup_real", "Real lifter, foot to cup")):
            hint = "The real one with its plunger up against its stop." if id == "cup_real" else None
            places.append(_length(id, words, words, False, on_call=True, hint=hint))
    places.append(Place("count", "How the checker's length is read", "read by", kind="choice", choices=COUNTS))
    return places + [_length("base", "Checker screwed together, over its ends", "closed checker", False, on_call=True)]


def _order(engine):
    places = [
        _length("ball", "Ball of the pushrod's ends", "ball"),
        _length("flat", "Flat or oil hole at the ball's crown", "flat"),
        Place("basis", "What the maker means by length", "basis", kind="choice", choices=pushrod_order.BASES),
        _length("gauge_circle", "Contact circle of the length gauge", "gauge circle", False, on_call=True),
        Place("changes", "Deck, head, gasket, cam or tips change after the marks", "changes", "flag", choices=YES_NO),
    ]
    for id, words in pushrod_order.CHANGES:
        kind, hint = KINDS.get(id, "length"), None if id[:4] in ("gask", "bore") else "0 where nothing does."
        short = words[:1].lower() + words[1:]
        places.append(Place(id, words, short, kind, False, on_call=True, hint=hint))
    if engine.text("lifter_kind") in pushrod_order.HYDRAULIC:
        places.append(_length("preload", "Preload depth, by the lifter card", "preload", set_or_found="set"))
    return places


def _valve_groups(engine, n, side):
    valve, name = str(n) + side, checker.valve_words(n, side)
    rockers = checker.rockers(engine)
    top = [
        _length(
            valve + ".lift",
            name + ", valve lift at full lift",
            "valve lift",
            hint="On the retainer, dial along the stem.",
        ),
        _length(valve + ".lobe", name + ", lobe lift at full lift", "lobe lift", False),
    ]
    found = [Group(valve, name, top)]
    for number in range(1, GOES + 1):
        found.append(Group(valve + ".g" + str(number), name + ", go " + str(number), _go(valve, name, number, rockers)))
    clear = [
        _called(valve + "." + id, name + ": " + words, short, hint)
        for id, words, short, hint, _ in checker_values.clearances_of(rockers)
    ]
    return found + [Group(valve + ".clear", name + ", clearances", clear)]


FROM_INBOARD = "From the inboard edge of the stem."
BLIND = "Inked anew, without a look at the first."


def _go(valve, name, number, rockers):
    at, words = valve + "." + str(number) + ".", name + ", go " + str(number) + ": "
    stand = [("shim", "shims under the stand", "shims"), ("milled", "milled off the stand", "milled")]
    if rockers.pad:
        marks = [("inner", "inner edge", "inner edge"), ("outer", "outer edge", "outer edge")]
        again = [
            ("inner2", "inner edge, read again", "inner again"),
            ("outer2", "outer edge, read again", "outer again"),
        ]
    else:
        marks = [("closed", "contact, valve closed", "closed"), ("open", "contact, full lift", "full lift")]
        again = [("closed2", "contact closed, read again", "closed again")]
        again += [("open2", "contact at full lift, read again", "full lift again")]
    edges = [] if rockers.pad else [("inner", "inner edge", "inner edge")]
    edges += [] if rockers.pad else [("outer", "outer edge", "outer edge")]
    places = [_called(at + id, words + text, short, None) for id, text, short in (stand if rockers.fixed else [])]
    places.append(
        Place(at + "turns", words + "whole turns out", "turns", "count", False, "set", on_call=True,
              hint="From the closed checker; the rest in eighths, next.")
    )  # fmt: skip
    places.append(
        Place(
            at + "eighths",
            words + "eighths of a turn more",
            "eighths",
            "choice",
            False,
            "set",
            EIGHTH_KEYS,
            on_call=True,
        )
    )
    places.append(_called(at + "cal", words + "length", "caliper", "Lock nut tight, over the ends by caliper."))
    places += [_called(at + id, words + text, short, FROM_INBOARD) for id, text, short in marks]
    places += [_called(at + id, words + text, short, BLIND, blind=True) for id, text, short in again]
    return places + [_called(at + id, words + text, short, FROM_INBOARD) for id, text, short in edges]


def _called(id, words, short, hint, **more):
    return _length(id, words, short, False, on_call=True, hint=hint, **more)


def calls(bench):
    """Places that are wanted by now: the goes so far and the next one, clearances of a valve whose length is found."""
    found = {}
    for place, answer, called in CALLED_BY:
        if bench.text(place) == answer:
            found.update(dict.fromkeys(called, True))
    for valve in checker.valves_on(bench):
        found.update(_calls_of(valve, "base" in found))
    return found


def _calls_of(valve, counted):
    """Every go that counts and the one under the hand; one that was struck out is not asked for again."""
    skipped = ("milled",) if counted else ("milled", "turns", "eighths")
    last = valve.next_go() or (valve.last.number if valve.last else 1)
    goes = [go for go in valve.goes[:last] if go in valve.usable or go.number == last]
    places = [place for go in goes for place in _go(valve.id, "", go.number, valve.rockers)]
    found = {place.id: True for place in places if place.short not in skipped}
    if valve.good:
        found.update({valve.id + "." + row[0]: True for row in checker_values.clearances_of(valve.rockers)})
    return found


derive = checker_values.derive
findings = checker_findings.findings


def expect(_bench, _place_id):
    """None for all: count and caliper, first and second contact are read without a look at one another."""


def guide(bench, status):
    """What follows from the last go (`Goes` of the screens)."""
    return checker_guide.guide(bench, status, ID, groups(bench.engine), calls(bench))
