"""What a calculator is: one formula by name, quantities with their unit in, canonical values out.

A quantity is given as text with its unit ("2.5758 in", "6.2e-6 1/degF"), a bare JSON number is in the canonical unit.
Lists and tables are JSON values or JSON text, quantities in them as above; flags are yes or no. A thread's pitch may be
given as threads per inch ("14 1/in").
"""

from . import plain, quantity
from .factors import CANONICAL, FACTORS

BARE = ("ratio", "count")
SOURCES = {
    "geometry": "derived: geometry",
    "physics": "derived: physics",
    "arithmetic": "derived: arithmetic on the trade's definitions",
    "statistics": "derived: statistics",
    "practice": "common practice",
    "threads": "published: ASME B1.1 (inch) and ISO 898-1 (metric), nominal stress area",
    "nut factor": "derived: definition of the nut factor; the factor itself is common practice",
    "wrenches": "published: ISO 6789, tolerance of setting torque wrenches",
}
#: Kinds that are no quantity, as a sentence asks for them.
ASKED = {
    "text": "words",
    "flag": "yes or no",
    "table": "a table as JSON",
    "numbers": "a list of whole numbers as JSON",
    "count": "a plain number",
    "ratio": "a plain number or one in %",
}
#: What is wrong with a number, by the code of the refusal.
FAULTS = {
    "number_empty": "no number stands there",
    "number_two_marks": "this number has two decimal marks",
    "number_not_digits": "this is no number",
    "number_long": "this number has more digits than any gauge shows",
}
PER_INCH = "1/in"
LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"


def written(unit):
    """A unit id as it is written out: powers with a caret, mm^2."""
    text = unit or ""
    for power in ("2", "3"):
        for after in ("*", "/", ""):
            at = len(text) - 1 if after == "" else text.find(power + after)
            if at > 0 and text[at] == power and text[at - 1] in LETTERS:
                text = text[:at] + "^" + text[at:]
    return text or None


def asked_for(kind):
    """What an input of this kind wants, in words: "a length in mm, in, thou or um"."""
    if kind in ASKED:
        return ASKED[kind]
    article = "an " if kind[0] in "aeiou" else "a "
    others = [unit for unit in plain.keys_in_order(FACTORS[kind]) if unit != CANONICAL[kind]]
    units = [written(unit) for unit in [CANONICAL[kind]] + others]
    listed = ", ".join(units[:-1]) + " or " + units[-1] if others else units[0]
    return article + kind.replace("-", " ") + " in " + listed


def wrong(key, why, wants="", code="input_wrong"):
    """A Refusal that names the input, what is wrong and what it wants."""
    return plain.Refusal(code, key + why + (", give " + wants if wants else "") + ".", {"key": key})


class Input:
    """One input of a calculator: kind of quantity, or text, numbers, table, flag; a default in the canonical unit.

    `over`: what the quantity must exceed to mean anything, as a length must exceed nothing; `least`: what it must not
    fall below.
    """

    def __init__(self, kind, required=True, default=None, over=None, least=None):
        self.kind = kind
        self.required = required
        self.default = default
        self.over = over
        self.least = least

    def form(self):
        """The kind as a list of inputs names it."""
        return "list" if self.kind == "numbers" else self.kind

    def measured_as(self):
        """The kind whose unit this input has: of a list, that of its elements."""
        return "count" if self.kind == "numbers" else self.kind

    def wants(self):
        """What to give, in words with the units."""
        return asked_for(self.kind)

    def read(self, key, given):
        """The value that was given. Raises Refusal naming the key and what it wants."""
        if self.kind == "table":
            return self.from_json(key, given)
        if self.kind == "numbers":
            return self._whole_numbers(key, given)
        if self.kind == "text":
            if type(given) is not str:
                raise wrong(key, ": this is no text", self.wants())
            return given
        if self.kind == "flag":
            return _flag(key, given)
        return self.enough(key, read_quantity(key, self.kind, given))

    def _whole_numbers(self, key, given):
        numbers = self.from_json(key, given)
        if type(numbers) is not list or not all(type(number) is int for number in numbers):
            raise wrong(key, ": this is no list of whole numbers", self.wants())
        return numbers

    def from_json(self, key, given):
        """A value, or what its JSON text says."""
        if type(given) is not str:
            return given
        try:
            return plain.from_json(given)
        except plain.Refusal:
            raise wrong(key, ": this is not whole JSON", self.wants()) from None

    def enough(self, key, value):
        """The canonical value, where it is large enough to mean anything."""
        if self.over is not None and value <= self.over:
            raise wrong(key, ": this must be above " + self._bound(self.over), self.wants())
        if self.least is not None and value < self.least:
            raise wrong(key, ": this must not be below " + self._bound(self.least), self.wants())
        return value

    def _bound(self, bound):
        unit = CANONICAL[self.kind]
        return "zero" if bound == 0 else quantity.with_unit(plain.number_text(bound, 3), unit)


class Choice(Input):
    """One of a few words; without a default one must be given."""

    def __init__(self, words, default=None):
        super().__init__("text", default is None, default)
        self.words = words

    def read(self, key, given):
        if given not in self.words:
            raise wrong(key, ": " + ", ".join(self.words[:-1]) + " or " + self.words[-1])
        return given


class ListInput(Input):
    """A list of quantities of one kind, each given as a single one is; a list or its JSON text."""

    def form(self):
        return "list"

    def wants(self):
        return "a list as JSON with each " + asked_for(self.kind)

    def read(self, key, given):
        elements = self.from_json(key, given)
        if type(elements) is not list or not elements:
            raise wrong(key, ": this is no list", self.wants())
        return [self.enough(key, read_quantity(key, self.kind, element)) for element in elements]


def _flag(key, given):
    if given == "yes" or given is True:
        return True
    if given == "no" or given is False:
        return False
    raise wrong(key, ": answer yes or no")


def _finite(key, number):
    if number != number or number in (float("inf"), float("-inf")):
        raise wrong(key, ": this is no finite number")
    return number


def read_quantity(key, kind, given):
    """A quantity from "NUMBER UNIT", or a bare number in the canonical unit. Raises Refusal naming key and unit."""
    if type(given) in (int, float):
        return _bare_number(key, kind, given)
    if type(given) is not str:
        raise wrong(key, ": this is no number with its unit", asked_for(kind))
    number, _, unit = plain.bare(given).partition(" ")
    unit = plain.bare(unit).replace("^", "") or (CANONICAL[kind] if kind in BARE else "")
    value = _number(key, kind, number)
    if unit == PER_INCH and kind == "length":
        return _per_inch(key, value)
    if unit not in FACTORS[kind]:
        raise wrong(key, ": this unit does not fit" if unit else ": the unit is missing", asked_for(kind))
    return quantity.to_canonical(kind, value, unit)


def _bare_number(key, kind, given):
    """A JSON number as a float, in the places of a typed one: a longer is refused, what lies below the last is nothing.

    So no product or quotient of a few of them leaves the range of a float.
    """
    if type(given) is float:
        _finite(key, given)
    if abs(given) >= plain.POWERS[plain.MOST_DIGITS]:
        raise wrong(key, ": " + FAULTS["number_long"], asked_for(kind))
    return given * 1.0 if abs(given) >= 1.0 / plain.POWERS[plain.MOST_DIGITS] else 0.0


def _number(key, kind, text):
    try:
        return plain.parse_number(_without_exponent(text))
    except plain.Refusal as refusal:
        raise wrong(key, ": " + FAULTS.get(refusal.code, "this is no number"), asked_for(kind)) from None


def _per_inch(key, count):
    if count <= 0:
        raise wrong(key, ": this must be above zero", asked_for("length"))
    return quantity.to_canonical("length", 1.0 / count, "in")


def _without_exponent(text):
    """6.2e-6 as 0.0000062: the point is moved in the text, so that no digit changes. Anything odd stays as it is."""
    digits, mark, power = text.replace("E", "e").partition("e")
    whole, _, part = digits.lstrip("+-").partition(".")
    move = power.lstrip("+-")
    if not mark or not whole or not _all_digits(whole + part + move):
        return text
    if len(move) not in (1, 2) or len(power) > len(move) + 1:
        return text
    sign = digits[: len(digits) - len(digits.lstrip("+-"))]
    zeros = "0" * int(move)
    if power[:1] == "-":
        padded = zeros + whole
        return sign + padded[: len(whole)] + "." + padded[len(whole) :] + part
    padded = part + zeros
    return sign + whole + padded[: int(move)] + "." + padded[int(move) :].rstrip("0")


def _all_digits(text):
    return all(letter in "0123456789" for letter in text)


class Calculator:
    """A named calculation: inputs, outputs with their kind, the function, where it comes from.

    An output's kind is that of its quantity (of a list: of its elements). `ask` gives further cautions that depend on
    the values: canonical inputs and results in, sentences out.
    """

    def __init__(self, inputs, outputs, work, source, cautions=(), ask=None):
        self.inputs = inputs
        self.outputs = outputs
        self.work = work
        self.source = source
        self.cautions = cautions
        self.ask = ask

    def origin(self):
        """Where the formula comes from, in words."""
        return SOURCES[self.source]

    def read(self, given):
        """The inputs as canonical values. Raises Refusal naming the key, the unit expected, what is wrong."""
        for key in plain.keys_in_order(given):
            if key not in self.inputs:
                takes = ", ".join(plain.keys_in_order(self.inputs))
                raise wrong(key, ": this calculator has no such input, it takes " + takes, code="input_unknown")
        values = {}
        for key in plain.keys_in_order(self.inputs):
            values[key] = self._one(key, self.inputs[key], given)
        return values

    def _one(self, key, declared, given):
        if given.get(key) is not None:
            return declared.read(key, given[key])
        if declared.required:
            raise wrong(key, " is missing", declared.wants(), "input_missing")
        return declared.default

    def when_refused(self, message):
        """The outputs of a method that refused itself, as far as this calculator names any for that."""
        said = {"result": None, "refused": True, "message": message}
        return {key: said[key] for key in said if key in self.outputs}

    def write(self, results):
        """The results with their units. Raises Refusal naming the first, by its key, that is no finite number."""
        for key in plain.keys_in_order(results):
            listed = results[key] if type(results[key]) is list else [results[key]]
            for number in listed:
                if type(number) is float:
                    _finite(key, number)
        shown = {}
        for key in results:
            kind = self.outputs[key]
            value = results[key]
            if kind == "flag":
                value = "yes" if value else "no"
            shown[key] = {"value": value, "unit": written(CANONICAL.get(kind))}
        return shown

    def questions(self, values, results):
        """Cautions that only these values give."""
        return self.ask(values, results) if self.ask else []
