"""Inputs of the rocker's calculators that ask for more than a kind of quantity: sizes, choices, lists of readings."""

from . import plain
from .calculator import Input, read_quantity
from .factors import CANONICAL


def wrong(key, what_to_do):
    """The refusal of one input: names the key and says what to do."""
    return plain.Refusal("input_wrong", key + ": " + what_to_do, {"key": key})


class Size(Input):
    """A quantity that is more than nothing."""

    def read(self, key, given):
        value = super().read(key, given)
        if value <= 0.0:
            unit = CANONICAL[self.kind]
            raise wrong(key, "give more than 0" + (" " + unit if unit != "1" else "") + ".")
        return value


class Whole(Size):
    """A whole number from 1 on."""

    def read(self, key, given):
        value = super().read(key, given)
        if value != int(value):
            raise wrong(key, "give a whole number.")
        return value


class NotNegative(Input):
    """A quantity that may be nothing but not less."""

    def read(self, key, given):
        value = super().read(key, given)
        if value < 0.0:
            raise wrong(key, "give 0 " + CANONICAL[self.kind] + " or more.")
        return value


class Lean(Input):
    """How far an axis leans from the stem, in degrees: less than lying flat."""

    def read(self, key, given):
        value = super().read(key, given)
        if not -90.0 < value < 90.0:
            raise wrong(key, "give deg from the stem, less than 90 either way.")
        return value


class Choice(Input):
    """One of a few words."""

    def __init__(self, words, default):
        super().__init__("text", False, default)
        self.words = words

    def read(self, key, given):
        if given not in self.words:
            raise wrong(key, "say " + " or ".join(self.words) + ".")
        return given


class Lengths(Input):
    """A list of lengths, each with its unit or as a bare number in mm."""

    def __init__(self):
        super().__init__("numbers")

    def read(self, key, given):
        return [_length(key, cell) for cell in _listed(key, given)]


class Rows(Input):
    """A table of lengths: rows of so many, each with its unit or as a bare number in mm."""

    def __init__(self, columns):
        super().__init__("table")
        self.columns = columns

    def read(self, key, given):
        return [self._row(key, row) for row in _listed(key, given)]

    def _row(self, key, row):
        if len(_listed(key, row)) != len(self.columns):
            raise wrong(key, "give each row as " + ", ".join(self.columns) + ", in mm.")
        return [_length(key, cell) for cell in row]


def _listed(key, given):
    """A list that is not empty, given as such or as JSON text."""
    try:
        listed = plain.from_json(given) if type(given) is str else given
    except plain.Refusal:
        listed = None
    if type(listed) is not list or not listed:
        raise wrong(key, "give a list with at least one entry, lengths in mm.")
    return listed


def _length(key, cell):
    if type(cell) not in (int, float, str):
        raise wrong(key, "give each length as a number in mm or with its unit.")
    return read_quantity(key, "length", cell)
