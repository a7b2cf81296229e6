"""Inputs of the rocker's calculators that ask for more than a kind of quantity: leans, counts, choices, goes."""

from .calculator import Input, asked_for, read_quantity, wrong


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


class Choice(Input):
    """One of a few words."""

    def __init__(self, words, default):
        super().__init__("text", False, default)
        self.words = words

    def read(self, key, given):
        if given not in self.words:
            raise wrong(key, ": " + " or ".join(self.words))
        return given


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
