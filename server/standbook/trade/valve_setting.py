"""What setting lash and setting preload share beside the order: where the crank stood, what changed since, the locks.

A valve that was set before a part was changed wants a re-check; the guide then leads through it again.
"""

from . import plain, valve_guide
from .geometry import valve_order
from .work import FAMILY, Finding, Group, Place, wants

SIDES = (("I", "intake"), ("E", "exhaust"))
CHANGES = (
    ("rocker", "A rocker"),
    ("stud", "A rocker stud"),
    ("pushrod", "A pushrod"),
    ("lifter", "A lifter"),
    ("valve_job", "Valve job"),
    ("cam", "The camshaft"),
    ("head_gasket", "Head gasket"),
    ("head_milling", "Heads milled"),
    ("spring_seat", "Spring seats"),
)
LOCKED = (
    ("all", "All: screw seated, nut and screw turned together, felt again"),
    ("self", "No locking screw: nuts or screws hold by themselves"),
    ("some", "Some are not locked yet"),
)
LOCK = (("locked", "Locked"), ("open", "Not locked"))


#: Names that were made: an engine has few valves, and each is named again and again.
_names = {}


def named(make, *parts):
    """What `make` calls a thing by these parts of its name, made once."""
    asked = (make, parts)
    if asked not in _names:
        _names[asked] = make(*parts)
    return _names[asked]


def words(n, side_words):
    return named(_words, n, side_words)


def _words(n, side_words):
    return "Cylinder " + str(n) + " " + side_words


def valves(bench):
    """[(cylinder, side, side in words)] of the engine, in the order of their numbers."""
    return bench.engine.once(_valves)


def _valves(engine):
    return [(n, side, said) for n in engine.cylinder_numbers() for side, said in SIDES]


def cylinder(n):
    """The group of a cylinder's valves."""
    return named(_cylinder, n)


def _cylinder(n):
    return "C" + str(n)


def crank(n, side):
    """The place of where the crank stood for a valve, where it was set out of the order."""
    return named(_crank, n, side)


def _crank(n, side):
    return str(n) + side + ".crank"


def lock(n, side):
    return named(_lock, n, side)


def _lock(n, side):
    return str(n) + side + ".lock"


def changed():
    return Place(
        "changed",
        "A part changed since the valves were set",
        "changed since",
        kind="choice",
        required=False,
        choices=CHANGES,
        hint="Every valve set before it wants a re-check.",
    )


def locks_all(required):
    return Place("locks", "Locks of the adjusters", "locks", kind="choice", required=required, choices=LOCKED)


def groups(engine):
    """The optional places of each valve: the crank where it was stated, the lock where one differs from the rest."""
    numbers = [(n, side, said) for n in engine.cylinder_numbers() for side, said in SIDES]
    cranks = [
        Place(
            crank(n, side),
            words(n, said) + ", crank after the order's start",
            words(n, said),
            kind="angle",
            required=False,
            set_or_found="set",
            hint="Only where a valve was set out of the order: 0 to 720\u00b0 from the first cylinder's firing point.",
        )
        for n, side, said in numbers
    ]
    locks = [
        Place(lock(n, side), words(n, said) + ", lock", words(n, said), kind="choice", required=False, choices=LOCK)
        for n, side, said in numbers
    ]
    aside = (("cranks", "Crank position, where it was another", cranks), ("locks", "Locks, where one differs", locks))
    return [Group(id, title, places, True) for id, title, places in aside]


def findings(bench, only, place_of):
    """What the settings of any lifter have to say. `place_of(cylinder, side)`: where a valve's setting stands."""
    if wants(only, "cranks"):
        found = [one for n, side, said in valves(bench) for one in _on_its_lobe(bench, n, side, said)]
    else:
        found = []
    if wants(only, FAMILY):
        found = found + method_findings(bench) + _out_of_place(bench, place_of)
        found = found + _since_changed(bench, place_of) + _locks(bench)
    return found


def method_findings(bench):
    """An order that this cam refuses."""
    method = bench.text("method")
    if method is None:
        return []
    try:
        valve_guide.order(bench, method)
    except plain.Refusal as refusal:
        return [Finding("method", "WARN", refusal.message, "method", "order")]
    return []


def _on_its_lobe(bench, n, side, said):
    """A valve set where the stated crank position has it on its lobe, or on the ramp beside it."""
    angle = bench.number(crank(n, side))
    order, events = bench.engine.get("firing_order"), valve_guide.events_of(bench)
    if angle is None or events is None or order is None:
        return []
    free = valve_order.valves_at(order, angle, events, valve_guide.margin(bench))[0 if side == "I" else 1]
    if n in free:
        return []
    sentence = words(n, said) + ": with the crank there this valve is on its lobe. Turn on and set it again."
    return [Finding("on_lobe." + str(n) + side, "WARN", sentence, crank(n, side))]


OTHER_POSITION = (
    ": it belongs to the other crank position than the valves that were set before and after it. State where the crank "
    "stood, or set it again: was it the list of another firing order?"
)


def _out_of_place(bench, place_of):
    """Valves of one crank position set between those of the other one: by the list of another firing order?"""
    if bench.text("method") != valve_guide.TWO_POSITIONS:
        return []
    try:
        listed = valve_guide.order(bench, valve_guide.TWO_POSITIONS)
    except plain.Refusal:
        return []
    stood = [(bench.at(place_of(n, side)), position, n, side) for position, n, side in listed]
    stood = [one for one in stood if one[0] is not None and one[0].rank is not None]
    by_time, found = plain.in_order(stood, key=lambda one: one[0].rank), []
    for before, one, after in zip(by_time, by_time[1:], by_time[2:]):
        _, position, n, side = one
        if before[1] != position != after[1] and bench.at(crank(n, side)) is None:
            sentence = words(n, dict(SIDES)[side]) + OTHER_POSITION
            place = place_of(n, side)
            found.append(Finding("out_of_place." + place, "WARN", sentence, place, "order"))
    return found


def due_again(bench, place_of):
    """Valves that were set before a part was changed: [(cylinder, side, side in words)]."""
    change = bench.at("changed")
    if change is None or change.rank is None:
        return []
    stood = [(n, side, said, bench.at(place_of(n, side))) for n, side, said in valves(bench)]
    return [(n, side, said) for n, side, said, found in stood if found is not None and _earlier(found, change)]


def _earlier(found, change):
    return found.rank is not None and found.rank < change.rank


def _since_changed(bench, place_of):
    due = due_again(bench, place_of)
    if not due:
        return []
    what = dict(CHANGES)[bench.text("changed")]
    first = words(due[0][0], due[0][2])
    sentence = (
        "Re-check needed: " + what + " changed after " + str(len(due)) + " valves were set, first: " + first + "."
    )
    return [Finding("changed", "WARN", sentence, place_of(due[0][0], due[0][1]), "order")]


def _locks(bench):
    loose = [words(n, said) for n, side, said in valves(bench) if bench.text(lock(n, side)) == "open"]
    if not loose and bench.text("locks") != "some":
        return []
    sentence = "Not locked: " + ("; ".join(loose) if loose else "some adjusters") + ". A nut that backs off opens lash."
    return [Finding("locks", "WARN", sentence, "locks", "missing")]


def status(bench, place_of, known):
    """The guide's `status` with valves that are due again taken for open."""
    again = {place_of(n, side): True for n, side, _ in due_again(bench, place_of)}

    def told(place):
        return ("open", None, None) if place in again else known(place)

    return told
