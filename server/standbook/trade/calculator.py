"""What a calculator is: one formula by name, quantities with their unit in, canonical values out.

A quantity is given as text with its unit ("2.5758 in"), a bare number is in the canonical unit, lists and tables are
JSON values or JSON text, flags yes or no.
"""

from . import plain, quantity
from .factors import CANONICAL

BARE = ("ratio", "count")
SOURCES = {
    "geometry": "derived: geometry",
    "physics": "derived: physics",
    "arithmetic": "derived: arithmetic on the trade's definitions",
    "practice": "common practice",
}


class Input:
    """One input of a calculator: kind of quantity, or text, list, table, flag; a default in the canonical unit.

    `over`: what the quantity must exceed to mean anything, as a length must exceed nothing; `least`: what it must
    reach.
    """

    def __init__(self, kind, required=True, default=None, over=None, least=None):
        self.kind = kind
        self.required = required
        self.default = default
        self.over = over
        self.least = least

    def read(self, key, given):
        if self.kind == "table" or self.kind == "numbers":
            return plain.from_json(given) if type(given) is str else given
        if self.kind == "text":
            return given
        if self.kind == "flag":
            return _flag(key, given)
        return self.enough(key, read_quantity(key, self.kind, given))

    def enough(self, key, value):
        """The canonical value, where it is large enough to mean anything."""
        if self.over is not None and value <= self.over:
            raise self._too_small(key, ": this must be above ", self.over)
        if self.least is not None and value < self.least:
            raise self._too_small(key, ": this must not be below ", self.least)
        return value

    def _too_small(self, key, words, bound):
        unit = CANONICAL[self.kind]
        said = "zero" if bound == 0 else quantity.with_unit(plain.number_text(bound, 3), unit)
        return plain.Refusal("input_wrong", key + words + said + ", in " + unit + ".", {"key": key, "unit": unit})


class ListInput(Input):
    """A list of quantities of one kind, each given as a single one is; a list or its JSON text."""

    def read(self, key, given):
        elements = given
        if type(given) is str and plain.bare(given)[:1] == "[":
            elements = plain.from_json(given)
        if type(elements) is not list or not elements:
            unit = CANONICAL[self.kind]
            words = key + ": this is no list, give one with each element in its unit, " + unit + " for one."
            raise plain.Refusal("input_wrong", words, {"key": key, "unit": unit})
        return [self.enough(key, read_quantity(key, self.kind, element)) for element in elements]


def _flag(key, given):
    if given in ("yes", True):
        return True
    if given in ("no", False):
        return False
    raise plain.Refusal("input_wrong", key + ": answer yes or no.", {"key": key})


def _finite(key, number):
    if number != number or number in (float("inf"), float("-inf")):
        raise plain.Refusal("input_wrong", key + ": this is no finite number.", {"key": key})
    return number


def read_quantity(key, kind, given):
    """A quantity from "NUMBER UNIT", or a bare number in the canonical unit. Raises Refusal naming key and unit."""
    if type(given) in (int, float):
        return _finite(key, given * 1.0)
    number, _, unit = plain.bare(given).partition(" ")
    unit = plain.bare(unit) or (CANONICAL[kind] if kind in BARE else None)
    try:
        return quantity.to_canonical(kind, plain.parse_number(number), unit)
    except plain.Refusal as refusal:
        raise plain.Refusal(
            "input_wrong", key + ": " + refusal.message, {"key": key, "unit": CANONICAL[kind]}
        ) from None


class Calculator:
    """A named calculation: inputs, outputs with their kind, the function, where it comes from."""

    def __init__(self, inputs, outputs, work, source, cautions=()):
        self.inputs = inputs
        self.outputs = outputs
        self.work = work
        self.source = source
        self.cautions = cautions

    def origin(self):
        """Where the formula comes from, in words."""
        return SOURCES[self.source]

    def read(self, given):
        """The inputs as canonical values. Raises Refusal naming the key, the unit expected, what is wrong."""
        for key in given:
            if key not in self.inputs:
                raise plain.Refusal("input_unknown", key + ": this calculator has no such input.", {"key": key})
        values = {}
        for key in plain.keys_in_order(self.inputs):
            values[key] = self._one(key, self.inputs[key], given)
        return values

    def _one(self, key, declared, given):
        if given.get(key) is not None:
            return declared.read(key, given[key])
        if declared.required:
            unit = CANONICAL.get(declared.kind)
            raise plain.Refusal(
                "input_missing", key + " is missing" + (", in " + unit if unit else "") + ".", {"key": key}
            )
        return declared.default

    def write(self, results):
        written = {}
        for key in results:
            kind = self.outputs[key]
            value = results[key]
            if kind == "flag":
                value = "yes" if value else "no"
            if type(value) is float:
                _finite(key, value)
            written[key] = {"value": value, "unit": CANONICAL.get(kind)}
        return written
