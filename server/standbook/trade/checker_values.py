"""What the checking pushrod's readings come to: each go's length and mark, each valve's best, the spread, the order."""

from . import checker, pushrod_order, uncertainty
from .checker import SIDES
from .work import FAMILY, Value, wants

CLEARANCES = (
    ("slot", "slot to stud", "stud slot", "The end of the slot that is nearer.", "rocker_slot_clearance"),
    ("retainer", "rocker to retainer", "retainer", "Over the whole lift.", "retainer_to_rocker"),
    (
        "hole",
        "pushrod to hole",
        "pushrod hole",
        "Or to the guide plate, if that is nearer.",
        "pushrod_hole_clearance",
    ),
)
#: How well a gap is told by feeler or wire (common practice).
FEELER = 0.001 * 25.4


def derive(bench, only=None):
    """Each go's length and mark, each valve's best setting and clearances, the spread and the order."""
    found = []
    for valve in checker.valves_on(bench, only):
        found.extend(_valve_values(bench, valve, only))
    return found + (_family(bench) if wants(only, FAMILY) else [])


def _valve_values(bench, valve, only):
    found = _whole_valve(bench, valve) if wants(only, valve.id) else []
    for go in valve.goes:
        if wants(only, go.group) and go.begun():
            found.extend(_go_values(valve, go, go.group))
    return found + (_clearances(bench, valve) if wants(only, valve.clear) and valve.good else [])


def _go_values(valve, go, group):
    final = valve.good and go is valve.last
    found = [_shown(go.at + "length", "Checker, locked length", "length", group, go.length, [go.at + "cal"])]
    if None not in (go.count, go.caliper):
        uses = [go.at + "cal", go.at + "turns", go.at + "eighths"]
        off = go.caliper - go.count
        found.append(
            Value(go.at + "count_off", "Caliper against the count of turns", "off count", group, off, uses,
                  "checker_caliper_off_count")
        )  # fmt: skip
    return found + _mark_values(valve, go, group, final)


def _shown(id, words, short, group, number, uses, **more):
    return Value(id, words, short, group, number, uses, **more)


def _mark_values(valve, go, group, final):
    """Judged at the last go alone: the marks before it were there to learn from."""
    uses = [
        go.at + what for what in (("inner", "outer", "inner2", "outer2") if valve.rockers.pad else ("inner", "outer"))
    ]
    known = go.has_mark()
    missing = [] if known else ["both edges of the mark, go " + str(go.number)]
    stem, chamfer = valve.stem, valve.rockers.chamfer
    no_stem = missing + _stemless(valve)
    no_flat = no_stem + ([] if chamfer is not None else ["Chamfer of the stem tip"])
    tail = "_pad" if valve.rockers.pad else ""
    rows = (
        ("width", "Width of the mark", "mark width", go.width() if known else None, "mark_width" + tail, missing, 0.0),
        ("offset", "Middle of the mark from the stem's centre, + outboard", "off centre",
         go.offset(stem) if known and stem is not None else None, "mark_offset" + tail, no_stem, 0.0),
        ("margin", "Mark to the edge of the usable flat", "edge margin",
         None if no_flat else go.margin(stem, chamfer), "edge_margin", no_flat, checker.EDGE),
    )  # fmt: skip
    if not known and not final:
        return []
    return [
        Value(go.at + id, words, short, group, number, uses, acts_on if final else "", lacking, u, "edge as it is read")
        for id, words, short, number, acts_on, lacking, u in rows
    ]


def _stemless(valve):
    return [] if valve.stem is not None else ["Valve stem tip"]


def clearances_of(rockers):
    """Only a rocker on a stud has a slot."""
    return [row for row in CLEARANCES if row[0] != "slot" or not rockers.fixed]


def _whole_valve(bench, valve):
    found = []
    lobe, ratio = bench.number(valve.id + ".lobe"), valve.rockers.ratio
    if None not in (lobe, valve.lift, ratio) and lobe:
        words, uses = "Lift over lobe lift against the nominal ratio", [valve.id + ".lift", valve.id + ".lobe"]
        off, limit = valve.lift / lobe - ratio, "effective_ratio_off_nominal"
        found.append(Value(valve.id + ".ratio_off", words, "ratio off", valve.id, off, uses, limit, kind="ratio"))
    if valve.ideal is not None:
        words = "Stand, raised in all, at the best mark" if valve.rockers.fixed else "Best length by all goes, caliper"
        u = 0.0 if valve.rockers.pad else valve.rockers.as_setting(valve.deviation(2, len(valve.usable)))
        found.append(_shown(valve.id + ".ideal", words, "best", valve.id, valve.ideal, _settings(valve), u=u))
    return found


def _settings(valve):
    return [go.at + ("shim" if valve.rockers.fixed else "cal") for go in valve.usable]


def _clearances(bench, valve):
    found = []
    for id, words, short, _, acts_on in clearances_of(valve.rockers):
        place = valve.id + "." + id
        missing = list(bench.missing([place], {place: valve.words + ": " + words}))
        number, u = bench.number(place), uncertainty.single(bench, place, FEELER)
        found.append(
            Value(place + ".room", words[:1].upper() + words[1:], short, valve.id + ".clear", number, [place], acts_on,
                  missing, u, "feeler or wire")
        )  # fmt: skip
    return found


def _family(bench):
    orders = pushrod_order.orders_of(bench)
    found = [_spread(orders, side, words) for side, words in SIDES]
    for order in orders.lists:
        found.extend(_order_values(orders, order))
    return [value for value in found if value is not None]


def _spread(orders, side, words):
    valves = [valve for valve in orders.found if valve.side == side]
    if len(valves) < 2:
        return None
    lengths = [orders.measured(valve) for valve in valves]
    uses = [valve.last.at + "cal" for valve in valves]
    name = "Spread of the best lengths, " + words
    return Value(
        "spread." + side, name, "spread, " + words, None, max(lengths) - min(lengths), uses, "ideal_length_spread"
    )


def _order_values(orders, order):
    which = "".join(order.sides)
    sides = " and ".join([dict(SIDES)[side] for side in order.sides])
    uses = [valve.last.at + "cal" for valve in orders.found if valve.side in order.sides] + ["basis"]
    basis = dict(pushrod_order.BASES)[orders.basis]
    name = "Pushrods to order, " + sides + ", " + basis[:1].lower() + basis[1:]
    found = [_shown("order." + which, name, "order", None, order.length, uses)]
    if orders.rockers.fixed and orders.preload():
        for side in order.sides:
            off = order.length - orders.zero_lash(side)
            words = "Preload with the ordered length, " + dict(SIDES)[side]
            found.append(
                Value("preload." + side, words, "preload", None, off, uses, "preload_depth", set_or_found="set")
            )
    return found
