"""Kinds of quantity: their units, conversion to the canonical unit, and how a screen shows them.

Canonical units: mm, cm3, N, N*m, kPa, degC, deg (crank), rpm, kW, g. What a person typed stays the stored truth;
the canonical float is derived from it each time.
"""

from . import plain
from .factors import CANONICAL, FACTORS

#: Units that a person may pick for a kind, first the shop's usual one.
PICKED = {
    "length": ("in", "thou", "mm"),
    "angle": ("deg",),
    "temperature": ("degF", "degC"),
    "torque": ("lbf*ft", "lbf*in", "N*m"),
    "speed": ("rpm",),
    "time": ("min",),
    "turns": ("turn", "eighth"),
    "ratio": ("1",),
    "count": ("1",),
}
DECIMALS = {
    "in": 4, "thou": 1, "mm": 3, "deg": 1, "degF": 0, "degC": 1, "ddegF": 0, "K": 1,
    "lbf*ft": 1, "lbf*in": 0, "N*m": 1, "rpm": 0, "1": 3,
    "min": 0, "turn": 3, "eighth": 0,
}  # fmt: skip
ECHO_UNIT = {
    "in": "mm", "thou": "mm", "mm": "in", "degF": "degC", "degC": "degF", "ddegF": "K", "K": "ddegF",
    "lbf*ft": "N*m", "lbf*in": "N*m", "N*m": "lbf*ft",
}  # fmt: skip
UNIT_WORDS = {
    "in": "in", "thou": "thou", "mm": "mm", "deg": "\u00b0", "degF": "\u00b0F", "degC": "\u00b0C", "lbf*ft": "ft-lb",
    "lbf*in": "in-lb", "N*m": "N\u00b7m", "rpm": "rpm", "1": "", "1/K": "1/K", "K": "K", "ddegF": "\u00b0F",
    "min": "min", "turn": "turn", "eighth": "eighths",
}  # fmt: skip
#: A metric echo of a ten-thousandth needs three decimals; an inch echo of a metric micrometer five.
ECHO_DECIMALS = {"mm": 3, "in": 5, "degC": 1, "degF": 0, "K": 1, "ddegF": 0, "N*m": 1, "lbf*ft": 1}
#: What was typed and read lately: a book says the same few numbers, and the steps of its gauges, again and again.
_read = {}
#: The same as it is shown.
_typed_shown = {}
MOST_READ = 2000


def _factor(kind, unit):
    table = FACTORS.get(kind)
    if unit is None and kind in ("ratio", "count"):
        unit = "1"
    if table is None or unit not in table:
        wanted = ", ".join([UNIT_WORDS.get(u, u) or "no unit" for u in PICKED.get(kind, ())])
        raise plain.Refusal(
            "unit_wrong",
            "This needs another unit: choose one of " + (wanted or CANONICAL.get(kind, "the list")) + ".",
            {"unit": unit, "kind": kind},
        )
    return table[unit]


def units_of(kind):
    """The units of a kind of quantity, as keys."""
    return FACTORS.get(kind, {})


def to_canonical(kind, x, unit):
    """x in `unit` as the canonical unit of `kind`. Raises Refusal for a unit of another kind."""
    scale, offset = _factor(kind, unit)
    return x * scale + offset


def from_canonical(kind, x, unit):
    """A canonical float in `unit`."""
    scale, offset = _factor(kind, unit)
    return (x - offset) / scale


def typed_value(kind, typed):
    """Canonical float of what was typed ({"text", "unit"}). Raises Refusal."""
    key = (kind, typed["text"], typed["unit"])
    value = _read.get(key)
    if value is None:
        value = to_canonical(kind, plain.parse_number(key[1]), key[2])
        if len(_read) >= MOST_READ:
            _read.clear()
        _read[key] = value
    return value


def typed_step(kind, typed):
    """Size of the last typed digit, canonical: what the typing itself can tell apart."""
    scale, _ = _factor(kind, typed["unit"])
    return scale / plain.POWERS[plain.decimals_of(typed["text"])]


def with_unit(text, unit):
    """Number text and unit as a screen writes them: "2.5758 in", "22°"."""
    words = UNIT_WORDS.get(unit, unit or "") if unit else ""
    if words[:1] == "\u00b0" and words != "\u00b0F" and words != "\u00b0C":
        return text + words
    return text + (" " + words if words else "")


def text_in(kind, x, unit, decimals=None):
    """A canonical float as number text in `unit`."""
    places = DECIMALS.get(unit, 3) if decimals is None else decimals
    return plain.number_text(from_canonical(kind, x, unit), places)


def _echo(kind, x, unit, decimals):
    """The value in the other system, with no more digits than the one it echoes."""
    other = ECHO_UNIT.get(unit)
    if other is None:
        return ""
    places = min(ECHO_DECIMALS[other], decimals + 2) if unit == "mm" else ECHO_DECIMALS[other]
    return with_unit(text_in(kind, x, other, places), other)


def _shown(text, unit, echo):
    words = with_unit(text, unit)
    return {"text": text, "unit": unit, "echo": echo, "words": words + (" (" + echo + ")" if echo else "")}


def show_typed(kind, typed):
    """What was typed, as typed, with its echo in the other system; kept, nobody changes it. Raises Refusal."""
    key = (kind, typed["text"], typed["unit"])
    shown = _typed_shown.get(key)
    if shown is None:
        number, (_, text, unit) = typed_value(kind, typed), key
        shown = _shown(plain.bare(text), unit, _echo(kind, number, unit, plain.decimals_of(text)))
        if len(_typed_shown) >= MOST_READ:
            _typed_shown.clear()
        _typed_shown[key] = shown
    return shown


def show(kind, x, unit, decimals=None):
    """A canonical float shown in `unit`, with its echo in the other system."""
    places = DECIMALS.get(unit, 3) if decimals is None else decimals
    return _shown(text_in(kind, x, unit, places), unit, _echo(kind, x, unit, places))


def show_words(text):
    """A choice, a yes or no, or free text."""
    return {"text": text, "unit": None, "echo": "", "words": text}
