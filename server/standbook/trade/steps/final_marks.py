"""Final marks on the finished engine: the delivered pushrods by size, and what their rockers leave under real springs.

The same valves as were marked with the checking pushrod. Edges are read from the inboard edge of the stem. Widths,
margins and clearances are judged by the limits of the checker's last go (common practice).
"""

from .. import checker, checker_values, joint, plain, pushrod_order, quantity, uncertainty
from ..geometry import witness_mark
from ..slips import FEWEST_MATES, Expectation
from ..work import Caution, Finding, Group, Place, Value, wants
from . import head_bolts, pushrod_length
from .common import YES_NO

ID = "final_marks"
TITLE = "Final marks, real springs"
STAGE = "release_for_priming"
NEEDS = ("pushrod_length",)
STYLE = "grid"
PURPOSE = (
    "Heads torqued, real springs on, delivered pushrods in. Each pushrod by caliper, then dye on the tip, rocker "
    "without lash, the engine twice through 720\u00b0 by hand: the mark as it will run."
)
INSTRUMENTS = ()
SOURCES = ("Widths, margins, clearances and the length step are common practice; the rocker maker's card comes first.",)
CAUTIONS = (
    Caution("hands", "Turning the engine against its real springs: hands clear?", "tap"),
    Caution("wrench", "Ignition off, plugs out. Turn by hand with a bar on the crank, never with the starter."),
    Caution("checker", "The checking pushrod is out: it is weak, the real springs would bend it."),
    Caution("retainer", "Stop turning if a rocker touches a retainer."),
)
#: A size slip in a pushrod's length is further off than any order (common practice).
FAR = 0.25 * 25.4
LENGTH, INNER, OUTER = ".length", ".inner", ".outer"


def applies(engine):
    """An engine whose rockers are named, as for the checking pushrod."""
    return pushrod_length.applies(engine)


def groups(engine):
    """What is on the engine, then valve by valve: pushrod, both edges, clearances."""
    if not applies(engine):
        return []
    springs = Place("springs", "Real springs and delivered pushrods are in", "real springs", "flag", choices=YES_NO)
    valves = [_valve(engine, n, side) for n, side in checker.marked(engine)]
    return [Group("how", "What is on the engine", [springs])] + valves


def _valve(engine, n, side):
    id, name = str(n) + side, checker.valve_words(n, side)
    places = [
        Place(id + LENGTH, name + ", delivered pushrod by caliper", "pushrod", hint="Over its ends, as the checker."),
    ]
    for what, words in ((INNER, "inner edge"), (OUTER, "outer edge")):
        places.append(Place(id + what, name + ", " + words, words, family=words, hint=pushrod_length.FROM_INBOARD))
    for what, words, short, hint, _ in checker_values.clearances_of(checker.rockers(engine)):
        places.append(Place(id + "." + what, name + ": " + words, short, family=short, hint=hint))
    return Group(id, name, places)


def _valves(bench, only):
    marked = [(n, side, str(n) + side) for n, side in checker.marked(bench.engine)]
    return [(n, side, id) for n, side, id in marked if wants(only, id)]


# --- values ---


def derive(bench, only=None):
    """Each pushrod against the order, each mark and its clearances."""
    found = []
    for n, side, id in _valves(bench, only):
        found.append(_off_order(bench, n, side, id))
        found.extend(_mark(bench, n, side, id))
        found.extend(_clearances(bench, n, side, id))
    return found


def _orders(bench):
    return bench.once("orders of the mock-up", lambda: pushrod_order.orders_of(bench.of(pushrod_length.ID)))


def _ordered(bench, side):
    """The ordered length of a side as a caliper reads it over the ends, or None; words of what is missing beside it."""
    orders = _orders(bench)
    lists = [order for order in orders.lists if side in order.sides]
    if not lists:
        return None, ["the order of " + pushrod_length.TITLE.lower()]
    return lists[0].length - orders.in_basis(0.0), []


def _off_order(bench, n, side, id):
    """Shown only: no limit judges how exactly a pushrod was made, its length step tells a wrong one."""
    place, name = id + LENGTH, checker.valve_words(n, side)
    missing, ordered = list(bench.missing([place], {place: name + ", pushrod by caliper"})), None
    if not missing:
        ordered, missing = _ordered(bench, side)
    number = None if missing else bench.number(place) - ordered
    words = name + ", pushrod against the order"
    return Value(place + ".off", words, "off the order", id, number, [place], "", missing)


def _mark(bench, n, side, id):
    rockers, name = checker.rockers(bench.engine), checker.valve_words(n, side)
    uses = [id + INNER, id + OUTER]
    edges = bench.numbers(uses)
    missing = list(bench.missing(uses, {uses[0]: name + ", inner edge", uses[1]: name + ", outer edge"}))
    stem, chamfer = rockers.stems[side], rockers.chamfer
    no_stem = missing + ([] if stem is not None else ["Valve stem tip"])
    no_flat = no_stem + ([] if chamfer is not None else ["Chamfer of the stem tip"])
    tail = "_pad" if rockers.pad else ""
    rows = (
        ("width", "width of the mark", "mark width", "mark_width" + tail, missing, 0.0,
         lambda: witness_mark.width(edges[0], edges[1])),
        ("offset", "middle of the mark from the stem's centre, + outboard", "off centre", "mark_offset" + tail,
         no_stem, 0.0, lambda: witness_mark.offset(edges[0], edges[1], stem)),
        ("margin", "mark to the edge of the usable flat", "edge margin", "edge_margin", no_flat, checker.EDGE,
         lambda: witness_mark.edge_margin(edges[0], edges[1], stem, chamfer)),
    )  # fmt: skip
    return [
        Value(id + "." + what, name + ", " + words, short, id, None if lacking else reckoned(), uses, acts_on, lacking,
              u, "edge as it is read")
        for what, words, short, acts_on, lacking, u, reckoned in rows
    ]  # fmt: skip


def _clearances(bench, n, side, id):
    found = []
    for what, words, short, _, acts_on in checker_values.clearances_of(checker.rockers(bench.engine)):
        place, name = id + "." + what, checker.valve_words(n, side) + ", " + words
        missing = list(bench.missing([place], {place: name}))
        u = uncertainty.single(bench, place, checker_values.FEELER)
        found.append(
            Value(place + ".room", name, short, id, bench.number(place), [place], acts_on, missing, u, "feeler or wire")
        )
    return found


# --- what else there is to notice ---


def findings(bench, only=None):
    """Light springs, marks older than the head's last pass, another pushrod than the ordered one, misread edges."""
    found = []
    if wants(only, "how") and bench.text("springs") == "no":
        words = "Final marks are made by the real springs and the delivered pushrods: fit them and mark again."
        found.append(Finding("springs", "HOLD", words, "springs", "order"))
    for n, side, id in _valves(bench, only):
        name = checker.valve_words(n, side) + ": "
        found.extend(_before_the_head(bench, n, id, name) + _other_length(bench, side, id, name))
        found.extend(_edges(bench, n, side, id, name))
    return found


def _before_the_head(bench, n, id, name):
    """A mark that was read before the last pass over its head's bolts: the head has come down since."""
    mark, heads = bench.at(id + OUTER), bench.of(head_bolts.ID)
    joints = head_bolts.joints_of(bench.engine) if head_bolts.applies(bench.engine) else []
    if mark is None or not joints:
        return []
    banks = [at for at, row in enumerate(bench.engine.get("numbering") or []) if n in row]
    one = joints[banks[0] if banks and banks[0] < len(joints) else 0]
    last = heads.at(one.place(joint.FINAL))
    if last is not None and (None in (last.rank, mark.rank) or last.rank < mark.rank):
        return []
    words = name + "marked before " + one.words.lower() + " was torqued for the last time: mark it again after it."
    return [Finding("before_torque." + id, "WARN", words, id + OUTER, "order")]


def _other_length(bench, side, id, name):
    """A pushrod nearer to another length that is sold than to the ordered one: asked about before the mark is made."""
    number = bench.number(id + LENGTH)
    ordered = None if number is None else _ordered(bench, side)[0]
    if ordered is None or abs(number - ordered) <= _orders(bench).step / 2.0:
        return []
    unit = bench.at(id + LENGTH).typed["unit"]
    about = quantity.with_unit(quantity.text_in("length", ordered, unit, 3 if unit == "in" else 2), unit)
    words = name + "another length than the ordered one, which reads " + about + " by caliper. The other sort?"
    return [Finding("other_length." + id, "HOLD", words, id + LENGTH, "joint")]


def _edges(bench, n, side, id, name):
    inner, outer = bench.number(id + INNER), bench.number(id + OUTER)
    rockers, place = checker.rockers(bench.engine), id + OUTER
    if None in (inner, outer):
        return []
    stem = rockers.stems[side]
    if inner > outer:
        words = "the inner edge lies outside the outer one: swapped, or measured from the outboard edge?"
    elif inner < 0.0 or (stem is not None and outer > stem):
        words = "the mark lies beyond the stem: read both edges again."
    elif _is_too_narrow(bench, n, side, outer - inner):
        words = "narrower than this rocker can mark: engine not turned through, or dye wiped?"
    else:
        return []
    return [Finding("edges." + id, "WARN", name + words, place)]


def _is_too_narrow(bench, n, side, width):
    valve = checker.Valve(bench.of(pushrod_length.ID), checker.ValveNames(n, side))
    if valve.rockers.pad or valve.lift is None or valve.rockers.missing:
        return False
    return width < valve.narrowest() / 2.0


def expect(bench, place_id):
    """A delivered pushrod is near the ordered length; edges and gaps resemble those of the other valves."""
    valve, _, what = place_id.partition(".")
    if "." + what != LENGTH:
        return _like_its_mates(bench, valve, what)
    ordered = _ordered(bench, valve[-1])[0]
    return None if ordered is None else Expectation(ordered, ordered - FAR, ordered + FAR, is_size=False)


def _like_its_mates(bench, valve, what):
    """From three other valves on; as far apart as the middle of a mark may lie from the stem's."""
    others = [str(n) + side for n, side in checker.marked(bench.engine) if str(n) + side != valve]
    read = [bench.number(other + "." + what) for other in others]
    known = [number for number in read if number is not None]
    if len(known) < FEWEST_MATES:
        return None
    middle, apart = plain.median(known), checker.inches(bench, "mark_offset", "high")
    return Expectation(middle, middle - apart, middle + apart, is_size=False)
