"""Inputs of the rocker's calculators: the linkage; what asks for more than a kind: leans, counts, goes."""

from .calculator import Input, asked_for, read_quantity, wrong
from .geometry import rocker_train


class Whole(Input):
    """A whole number from 1 on."""

    def __init__(self):
        super().__init__("count", least=1.0)

    def read(self, key, given):
        value = super().read(key, given)
        if value != int(value):
            raise wrong(key, ": this is no whole number", "1 or more")
        return value


class Lean(Input):
    """How far an axis leans from the stem, in degrees: less than lying flat."""

    def __init__(self):
        super().__init__("angle")

    def read(self, key, given):
        value = super().read(key, given)
        if not -90.0 < value < 90.0:
            raise wrong(key, ": this lies flat or upside down", "deg from the stem, less than 90 either way")
        return value


class Rows(Input):
    """A table of lengths: rows of so many, given as a table or its JSON text."""

    def __init__(self, columns):
        super().__init__("table")
        self.columns = columns

    def wants(self):
        return "rows of " + ", ".join(self.columns) + " as JSON with each " + asked_for("length")

    def read(self, key, given):
        rows = self.from_json(key, given)
        if type(rows) is not list or not rows:
            raise wrong(key, ": there is no row in this table", self.wants())
        return [self._row(key, row) for row in rows]

    def _row(self, key, row):
        if type(row) is not list or len(row) != len(self.columns):
            raise wrong(key, ": each row has " + str(len(self.columns)) + " figures", self.wants())
        return [read_quantity(key, "length", cell) for cell in row]


TRAIN = {
    "valve_arm_length": Input("length", over=0.0),
    "roller_radius": Input("length", over=0.0),
    "pushrod_arm_length": Input("length", over=0.0),
    "arm_angle_between": Input("angle"),
    "stud_offset": Input("length"),
    "stud_lean": Lean(),
    "lifter_cup_across": Input("length"),
    "lifter_cup_along": Input("length"),
    "lifter_lean": Lean(),
}


def train_of(v):
    """The linkage that was given by the inputs of `TRAIN`."""
    return rocker_train.Train(
        (v["valve_arm_length"], v["roller_radius"], v["pushrod_arm_length"], v["arm_angle_between"]),
        (v["stud_offset"], v["stud_lean"]),
        (v["lifter_cup_across"], v["lifter_cup_along"], v["lifter_lean"]),
    )


def with_more(base, more):
    """A table of inputs or outputs with more of them."""
    together = dict(base)
    together.update(more)
    return together
