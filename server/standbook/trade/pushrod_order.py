"""From the measured length to the ordered one: ball ends, checking lifter, preload, and the step that is sold.

Lengths in mm. A measured length is read with the caliper over the checker's own ends; an ordered one has the basis that
its maker names, on the same balls. Formulas: `geometry.pushrod`, `geometry.roller_tip`.
"""

from . import checker, limits, plain, quantity
from .geometry import pushrod, roller_tip

OVERALL, GAUGE, CENTRES = "overall", "gauge", "centre"
BASES = (
    (OVERALL, "Overall, over complete balls"),
    (GAUGE, "Gauge length"),
    (CENTRES, "Ball centre to ball centre"),
)
#: What may change between the marks and the final engine: place, words; all of them once anything does.
CHANGES = (
    ("deck_cut", "Cut off the deck after the marks"),
    ("head_mill", "Milled off the head after the marks"),
    ("gasket_marked", "Head gasket when marked, thickness"),
    ("gasket_final", "Head gasket of the final engine, thickness"),
    ("bore_angle", "Angle between bore and pushrod"),
    ("base_smaller", "Base circle smaller, by radius"),
    ("tip_higher", "Valve tips higher than when marked"),
    ("tip_lower", "Valve tips lower than when marked"),
)
NEEDED = (
    ("ball", "ball diameter"),
    ("flat", "flat of the ball"),
    ("basis", "basis of the ordered length"),
    ("changes", "whether anything changes after the marks"),
)
HYDRAULIC = ("flat_hydraulic", "roller_hydraulic")
SOLID_CHECKER = "solid_checker"


class Order:
    """What is ordered for some sides. `wanted`: before rounding; `length`: as sold; both in the order's basis."""

    def __init__(self, sides, wanted, step):
        self.sides = sides
        self.wanted = wanted
        self.length = pushrod.nearest_step(wanted, step)


class Orders:
    """All that is known for the order; `missing`: words of what is lacking, `lists`: the orders, one or two."""

    def __init__(self, bench):
        self.bench = bench
        self.rockers = checker.rockers(bench.engine)
        self.valves = checker.valves_on(bench)
        self.found = [valve for valve in self.valves if valve.good and self.measured(valve) is not None]
        self.basis = bench.text("basis")
        self.missing = self._missing()
        self.step = inches_of("pushrod_length_step")
        self.lists = [] if self.missing else self._lists()

    def measured(self, valve):
        """The length of a finished valve by the caliper: the best of all goes; on a fixed pivot, where the stand now
        stays, that of the last."""
        return valve.last.length if self.rockers.fixed else valve.ideal

    def _missing(self):
        found = [valve.words + ", its length" for valve in self.valves if valve not in self.found]
        found.extend([words for place, words in self._asked() if self.bench.at(place) is None])
        return found if found or self._balls_fit() else ["flats that are smaller than their ball"]

    def _asked(self):
        """(place, words) of all that an order of this engine needs beside the marks."""
        bench, asked = self.bench, list(NEEDED)
        if self.basis == GAUGE:
            asked.append(("gauge_circle", "contact circle of the length gauge"))
        if bench.engine.text("lifter_kind") in HYDRAULIC:
            asked.append(("preload", "preload depth"))
        return asked + (list(CHANGES) if bench.text("changes") == "yes" else [])

    def _balls_fit(self):
        sizes = [self.bench.number("flat"), self.bench.number("gauge_circle") if self.basis == GAUGE else 0.0]
        return all(size <= self.bench.number("ball") for size in sizes)

    def in_basis(self, caliper):
        """A caliper length of the checker in the order's basis."""
        ball = self.bench.number("ball")
        overall = caliper + 2.0 * pushrod.crown(ball, self.bench.number("flat"))
        if self.basis == CENTRES:
            return overall - ball
        if self.basis == GAUGE:
            return overall - 2.0 * pushrod.crown(ball, self.bench.number("gauge_circle"))
        return overall

    def for_lifter(self, length):
        """The length for the real lifter, where a checking lifter of known cup was used."""
        cups = [self.bench.number(place) for place in ("cup_checker", "cup_real")]
        if self.bench.text("lifter") != SOLID_CHECKER or None in cups:
            return length
        return pushrod.for_real_lifter(length, cups[0], cups[1])

    def changed(self):
        """What is added for the differences between the marks and the final engine."""
        if self.bench.text("changes") != "yes":
            return 0.0
        at = {place: self.bench.number(place) for place, _ in CHANGES}
        closer = plain.total([at["deck_cut"], at["head_mill"], at["gasket_marked"] - at["gasket_final"]])
        tips = at["tip_higher"] - at["tip_lower"]
        if self.rockers.fixed:
            tips = -tips / self.rockers.ratio
        return pushrod.length_budget(closer, at["bore_angle"], at["base_smaller"], tips)

    def zero_lash(self, side):
        """The mean length of a side at zero lash, in the order's basis, for the real lifter and the final engine."""
        lengths = [self.measured(valve) for valve in self.found if valve.side == side]
        return self.for_lifter(self.in_basis(plain.mean(lengths))) + self.changed()

    def preload(self):
        hydraulic = self.bench.engine.text("lifter_kind") in HYDRAULIC
        return self.bench.number("preload") if hydraulic else 0.0

    def _lists(self):
        wanted = {side: self.zero_lash(side) + self.preload() for side, _ in checker.SIDES}
        apart = abs(plain.round_away(wanted["I"] - wanted["E"], 6))
        if apart < inches_of("intake_exhaust_length_difference"):
            common = Order(("I", "E"), (wanted["I"] + wanted["E"]) / 2.0, self.step)
            if all(self._holds(common, side, wanted[side]) for side in common.sides):
                return [common]
        return [Order((side,), wanted[side], self.step) for side, _ in checker.SIDES]

    def _holds(self, order, side, wanted):
        """Whether a common length keeps the mark (stud) or the preload (fixed pivot) of a side."""
        off = order.length - wanted
        if self.rockers.fixed:
            return self.preload() == 0.0 or self._is_a_preload(self.preload() + off)
        widest = self.width_off(side, off)
        return widest is None or widest <= checker.inches(self.bench, "mark_width", "high")

    def _is_a_preload(self, depth):
        """Whether the limit in force lets a lifter's plunger stand so deep; never where nothing judges it."""
        found = self.bench.limits.in_force("preload_depth", self.bench.engine, "set")
        low, high = (found[0]["low"], found[0]["high"]) if found else (None, None)
        return bool(found) and (low is None or low <= depth) and (high is None or depth <= high)

    def width_off(self, side, off):
        """The widest mark of a side with the length so far off its best; None for a pad, whose mark two goes tell."""
        if self.rockers.pad or self.rockers.fixed:
            return None
        raised = pushrod.raise_for_change(off, self.rockers.ratio)
        valves = [valve for valve in self.found if valve.side == side]
        return max([v.narrowest() + roller_tip.extra_width(self.rockers.arm, v.lift, raised) for v in valves])


def orders_of(bench):
    return bench.once("orders", lambda: Orders(bench))


def inches_of(key):
    low, high, unit = limits.window(key)
    return quantity.to_canonical("length", plain.parse_number(high or low), unit)
