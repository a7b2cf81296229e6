"""Units of the calculators' page: which may be picked, how they are called, what echoes what, how many digits.

A unit of millionths is the plain one with the exponent typed for the hand: expansions and the give of a bolt are so
small that nobody types them out.
"""

from . import quantity

MILLIONTHS = "1e-6 "
PER_DEGF, PER_K = MILLIONTHS + "1/degF", MILLIONTHS + "1/K"
PER_LBF, PER_N = MILLIONTHS + "in/lbf", MILLIONTHS + "mm/N"
PER_INCH = "1/in"

#: (kind, input; None: any) -> units to pick, the usual one first.
UNITS = {
    ("length", None): ("in", "thou", "mm"),
    ("length", "thread_pitch"): (PER_INCH, "in", "mm"),
    ("area", None): ("in2", "mm2"),
    ("volume", None): ("in3", "cm3", "L"),
    ("force", None): ("lbf", "N"),
    ("torque", None): ("lbf*ft", "lbf*in", "N*m"),
    ("pressure", None): ("psi", "MPa", "kPa"),
    ("temperature", None): ("degF", "degC"),
    ("temperature-difference", None): ("ddegF", "K"),
    ("expansion", None): (PER_DEGF, PER_K),
    ("angle", None): ("deg",),
    ("speed", None): ("rpm",),
    ("velocity", None): ("ft/min", "m/s"),
    ("acceleration", None): ("g0", "m/s2"),
    ("compliance", None): (PER_LBF, PER_N),
    ("ratio", "tolerance"): ("%", "1"),
    ("ratio", "fractions"): ("%", "1"),
}
WORDS = {
    PER_INCH: "threads per inch",
    "um": "\u00b5m",
    "in2": "in\u00b2",
    "mm2": "mm\u00b2",
    "in3": "in\u00b3",
    "cm3": "cm\u00b3",
    "L": "L",
    "lbf": "lbf",
    "N": "N",
    "psi": "psi",
    "MPa": "MPa",
    "kPa": "kPa",
    PER_DEGF: "millionths per \u00b0F",
    PER_K: "millionths per \u00b0C",
    "ft/min": "ft/min",
    "m/s": "m/s",
    "g0": "g",
    "m/s2": "m/s\u00b2",
    PER_LBF: "millionths of an in per lbf",
    PER_N: "millionths of a mm per N",
    "%": "%",
    "1": "of 1",
}
WORDS.update({unit: quantity.UNIT_WORDS[unit] for unit in ("in", "thou", "mm", "deg", "degF", "degC", "rpm")})
WORDS.update({unit: quantity.UNIT_WORDS[unit] for unit in ("ddegF", "K", "lbf*ft", "lbf*in", "N*m")})
ECHO = {
    "in": "mm", "thou": "mm", "mm": "in", "in2": "mm2", "mm2": "in2", "in3": "cm3", "cm3": "in3", "L": "in3",
    "lbf": "N", "N": "lbf", "lbf*ft": "N*m", "lbf*in": "N*m", "N*m": "lbf*ft", "psi": "MPa", "MPa": "psi", "kPa": "psi",
    "degF": "degC", "degC": "degF", "ddegF": "K", "K": "ddegF", PER_DEGF: PER_K, PER_K: PER_DEGF, "ft/min": "m/s",
    "m/s": "ft/min", "g0": "m/s2", "m/s2": "g0", PER_LBF: PER_N, PER_N: PER_LBF,
}  # fmt: skip
METRIC = (
    "mm", "mm2", "cm3", "L", "N", "N*m", "MPa", "kPa", "degC", "K", PER_K, "m/s", "m/s2", PER_N,
)  # fmt: skip
#: No fewer decimals than a gauge of the shop shows.
LEAST = {"in": 4, "thou": 1, "mm": 3, "deg": 1, "degF": 0, "degC": 1}
SIGNIFICANT = 5
SMALL = 3
MOST = 9


def after_number(unit):
    """What follows the number where a calculator reads it: a space and the unit, or the millionths and the unit."""
    if unit[: len(MILLIONTHS)] == MILLIONTHS:
        return "e-6 " + unit[len(MILLIONTHS) :]
    return " " + unit if unit else ""


def decimals_for(value, unit, kind):
    """Decimals with which a result is shown: those of a gauge, and for a small one enough for three figures."""
    if unit in LEAST:
        return max(LEAST[unit], _places(value, SMALL))
    return 0 if kind == "speed" else _places(value, SIGNIFICANT)


def _places(value, figures):
    """Decimals that show so many figures of a value."""
    size, places = abs(value), figures - 1
    if size == 0:
        return 0
    while size >= 10 and places > 0:
        size, places = size / 10.0, places - 1
    while size < 1 and places < MOST:
        size, places = size * 10.0, places + 1
    return places
