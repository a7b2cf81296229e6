"""The one home of what interpreters do apart: order, sums, rounding, number text and JSON.

CPython and MicroPython differ without an error in dict order, `sorted`, `round`, format specs, `sum` and `json`.
Everything else in this package goes through here, so that the stand and the desk cannot disagree.
"""

import json
import math

MOST_DIGITS = 15
TIE = 1e-9  # of the last decimal: what conversion and subtraction leave behind is far smaller
POWERS = (
    1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
)  # fmt: skip


class Refusal(Exception):
    """Bad input, said so that a person knows what to do.

    `code` is stable and for programs, `message` one plain sentence, `details` a dict of plain values.
    """

    def __init__(self, code, message, details=None):
        super().__init__(message)
        self.code = code
        self.message = message
        self.details = details or {}

    def as_dict(self):
        return {"error": {"code": self.code, "message": self.message, "details": self.details}}


class MethodRefused(Refusal):
    """The method does not hold for what it was given, however well that was typed: an answer with its reason."""


ZEROS = "0" * MOST_DIGITS
#: The only white space that is taken off: CPython's bare strip() knows wider kinds than MicroPython's.
SPACES = " \t\r\n"


def bare(text):
    """The text without white space around it."""
    return text.strip(SPACES)


# --- numbers ---------------------------------------------------------------------------------------------------


#: What was read lately: the limits, the gauges' steps and a book's figures are the same few texts again and again.
_numbers = {}
MOST_NUMBERS, LONGEST_KEPT = 2000, 40


def parse_number(text):
    """The number that a person typed: ASCII digits, one point or one comma, a sign in front; nothing else.

    At most 15 digits, so that the float is the nearest one on every interpreter. Raises Refusal.
    """
    number = _numbers.get(text)
    if number is None:
        number = _parsed(text)
        if len(_numbers) >= MOST_NUMBERS:
            _numbers.clear()
        if len(text) <= LONGEST_KEPT:
            _numbers[text] = number
    return number


def _parsed(text):
    left = bare(text)
    sign = 1.0
    if left[:1] in ("+", "-", "\u2212"):
        sign = -1.0 if left[0] != "+" else 1.0
        left = left[1:]
    _refuse_strangers(left, text)
    whole, _, part = left.replace(",", ".").partition(".")
    digits = (whole + part).lstrip("0")
    if len(digits) > MOST_DIGITS or len(part) > MOST_DIGITS:
        raise Refusal(
            "number_long", "More digits than any gauge shows: type what the gauge reads.", {"text": text[:40]}
        )
    return sign * int(digits or "0") / POWERS[len(part)]


def _refuse_strangers(left, text):
    details = {"text": text[:40]}
    marks = left.count(".") + left.count(",")
    if left.strip(".,") == "":
        raise Refusal("number_empty", "Nothing typed yet: type the reading in digits.", details)
    if marks > 1:
        raise Refusal("number_two_marks", "Two decimal marks: keep one point or one comma.", details)
    for letter in left:
        if letter not in "0123456789.,":
            raise Refusal(
                "number_not_digits", "Only the digits 0 to 9 and one point or comma: clear and type it again.", details
            )


def decimals_of(text):
    """How many decimal places were typed."""
    text = bare(text)
    point, comma = text.find("."), text.find(",")
    mark = comma if point < 0 or 0 <= comma < point else point
    return len(text) - mark - 1 if mark >= 0 else 0


def _rounded_units(x, decimals):
    """|x| in whole units of the last decimal, half away from zero; nearly a tie is a tie."""
    scaled = abs(x) * POWERS[decimals]
    return math.floor(scaled + 0.5 + TIE)


def round_away(x, decimals):
    """x rounded half away from zero."""
    value = math.floor(abs(x) * POWERS[decimals] + 0.5 + TIE) / POWERS[decimals]  # as _rounded_units, a call less
    return -value if x < 0 and value > 0 else value


def number_text(x, decimals):
    """x as text with so many decimals, half away from zero; never "-0"."""
    if x != x or x in (float("inf"), float("-inf")):
        raise Refusal("number_not_finite", "This number cannot be shown: check what was typed.", {})
    units = _rounded_units(x, decimals)
    digits = str(units)
    sign = "-" if x < 0 and units > 0 else ""
    if not decimals:
        return sign + digits
    if len(digits) <= decimals:
        return sign + "0." + ZEROS[: decimals - len(digits)] + digits
    return sign + digits[:-decimals] + "." + digits[-decimals:]


def total(values):
    """Sum of floats with the lost low parts carried along (Neumaier), the same on every interpreter."""
    result = 0.0
    lost = 0.0
    for value in values:
        step = result + value
        larger, smaller = (result, value) if abs(result) >= abs(value) else (value, result)
        lost += (larger - step) + smaller
        result = step
    return result + lost


def mean(values):
    """Arithmetic mean of a list that is not empty."""
    return total(values) / len(values)


# --- order -----------------------------------------------------------------------------------------------------


def in_order(items, key=None, reverse=False):
    """A new list in stable order (merge sort); each key is computed once."""
    items = list(items)
    keys = [key(item) for item in items] if key else items
    if _stand_in_order(keys, reverse):
        return items
    keyed = list(zip(keys, items))
    width = 1
    while width < len(keyed):
        keyed = _merge_runs(keyed, width, reverse)
        width *= 2
    return [pair[1] for pair in keyed]


def _stand_in_order(keys, reverse):
    """Nearly all that is put in order stands in it."""
    before = None
    for key in keys:
        if before is not None and (before < key if reverse else key < before):
            return False
        before = key
    return True


def _merge_runs(keyed, width, reverse):
    merged = []
    for start in range(0, len(keyed), 2 * width):
        _merge(keyed[start : start + width], keyed[start + width : start + 2 * width], reverse, merged)
    return merged


def _merge(left, right, reverse, out):
    i = j = 0
    # What stands in order already, and nearly everything does, costs one look.
    while i < len(left) and j < len(right) and _comes_before(right[j][0], left[-1][0], reverse):
        if _comes_before(right[j][0], left[i][0], reverse):
            out.append(right[j])
            j += 1
        else:
            out.append(left[i])
            i += 1
    out.extend(left[i:])
    out.extend(right[j:])


def _comes_before(one, other, reverse):
    return other < one if reverse else one < other


def keys_in_order(mapping):
    """The keys of a dict in order: dicts remember no order on the phone."""
    return in_order(list(mapping))


def median(values):
    """Middle of the ordered values; of an even number the mean of the two in the middle."""
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2.0


# --- JSON ------------------------------------------------------------------------------------------------------

ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
HEX = "0123456789abcdef"


def to_json(value):
    """JSON text with keys in order, so that both interpreters write the same; NaN and infinity are refused."""
    out = []
    waiting = [value]
    while waiting:
        item = waiting.pop()
        if type(item) is Written:
            out.append(item.text)
        elif type(item) is dict:
            _push_dict(item, waiting)
        elif type(item) in (list, tuple):
            _push_list(item, waiting)
        else:
            out.append(_scalar(item))
    return "".join(out)


class Written:
    """Text that stands in the output as it is: brackets, commas and keys."""

    def __init__(self, text):
        self.text = text


def _push_dict(item, waiting):
    pieces = [Written("{")]
    for number, key in enumerate(keys_in_order(item)):
        pieces.append(Written(("," if number else "") + _string(key) + ":"))
        pieces.append(item[key])
    pieces.append(Written("}"))
    waiting.extend(reversed(pieces))


def _push_list(item, waiting):
    pieces = [Written("[")]
    for number, element in enumerate(item):
        if number:
            pieces.append(Written(","))
        pieces.append(element)
    pieces.append(Written("]"))
    waiting.extend(reversed(pieces))


def _scalar(item):
    if item is None:
        return "null"
    if item is True or item is False:
        return "true" if item else "false"
    if type(item) is int:
        return str(item)
    if type(item) is float:
        return _float(item)
    return _string(item)


def _float(x):
    if x != x or x in (float("inf"), float("-inf")):
        raise Refusal("number_not_finite", "A number came out that cannot be written: check what was typed.", {})
    return repr(x)


def _string(text):
    if text and (min(text) < " " or '"' in text or "\\" in text):
        text = "".join([_escaped(letter) for letter in text])
    return '"' + text + '"'


def _escaped(letter):
    if letter in ESCAPES:
        return ESCAPES[letter]
    code = ord(letter)
    return "\\u00" + HEX[code // 16] + HEX[code % 16] if code < 32 else letter


def answer_json(value, levels=0):
    """JSON text of an answer for the host: the interpreter's quick writer, keys in no promised order.

    Canonical text, whose bytes are compared or hashed, is `to_json`'s. `levels`: so deep a long answer is written in
    pieces, since what the phone's writer takes grows with the square of the text's length.
    """
    pieces, waiting = [], [(value, levels)]
    while waiting:
        item, levels = waiting.pop()
        if levels and type(item) is dict and item:
            waiting.extend(reversed(_dict_pieces(item, levels - 1)))
        elif levels and type(item) is list and item:
            waiting.extend(reversed(_list_pieces(item, levels - 1)))
        else:
            pieces.append(item.text if type(item) is Written else json.dumps(item))
    return "".join(pieces)


def _dict_pieces(item, levels):
    found, before = [], "{"
    for key in item:
        found.append((Written(before + json.dumps(key) + ":"), 0))
        found.append((item[key], levels))
        before = ","
    found.append((Written("}"), 0))
    return found


def _list_pieces(item, levels):
    """An element of a list stands for itself where it is no container: numbers and texts go in one piece."""
    if type(item[0]) is not dict:
        return [(item, 0)]
    found, before = [], "["
    for element in item:
        found.append((Written(before), 0))
        found.append((element, levels))
        before = ","
    found.append((Written("]"), 0))
    return found


def read_json(text):
    """JSON that our own writer or the server has already checked: the interpreter's quick reader."""
    try:
        return json.loads(_with_pairs_joined(text) if PAIR_START in text else text)
    except ValueError:
        raise Refusal("json_broken", "This text is not whole JSON: send it again.", {"text": text[:80]}) from None


PAIR_START = "\\ud"


def _with_pairs_joined(text):
    """Escaped surrogate pairs as the letter they mean: MicroPython's reader takes the halves for two letters."""
    pieces = text.split(PAIR_START)
    joined = pieces[0]
    at = 1
    while at < len(pieces):
        high, low = pieces[at], pieces[at + 1] if at + 1 < len(pieces) else ""
        if len(high) == 3 and high[0] in "89abAB" and low[:1] in "cdefCDEF" and len(low) >= 3:
            code = 0x10000 + ((int("d" + high, 16) - 0xD800) << 10) + int("d" + low[:3], 16) - 0xDC00
            joined += chr(code) + low[3:]
            at += 2
        else:
            joined += PAIR_START + high
            at += 1
    return joined


def from_json(text):
    """JSON from outside, read strictly: no trailing comma, no NaN, no key twice, nothing after the end."""
    from .strict_json import check

    check(text)
    return read_json(text)
