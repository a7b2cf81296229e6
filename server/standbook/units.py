"""The shop's one unit registry, and the writer of the factor table that the trade package carries.

``python -m standbook.units`` writes ``trade/factors.py`` anew from ``units.txt``. Neither the server
nor the phone ever parses a unit that somebody typed: units are picked by id from the closed lists here.
"""

from fractions import Fraction
from pathlib import Path

import pint

HERE = Path(__file__).parent
DEFINITIONS = HERE / "units.txt"
FACTORS_FILE = HERE / "trade" / "factors.py"

KINDS = {
    "length": ("mm", "um", "in", "thou"),
    "area": ("mm2", "in2"),
    "volume": ("cm3", "in3", "L", "galUS", "flozUS"),
    "force": ("N", "lbf", "kgf"),
    "mass": ("g", "kg", "lb", "oz"),
    "torque": ("N*m", "lbf*ft", "lbf*in", "kgf*m"),
    "energy": ("J", "lbf*ft"),
    "pressure": (
        *("kPa", "Pa", "bar", "psi", "atm", "MPa"),
        *("inHg", "inHg60", "mmHg", "inH2O", "kgf/cm2"),
    ),
    "temperature": ("degC", "degF", "K"),
    "temperature-difference": ("K", "ddegF"),
    "expansion": ("1/K", "1/degF"),
    "angle": ("deg",),
    "speed": ("rpm", "rad/s"),
    "velocity": ("m/s", "ft/min", "mph", "km/h", "in/s"),
    "acceleration": ("m/s2", "g0"),
    "power": ("kW", "W", "hp", "hpM"),
    "volume-flow": ("cm3/s", "ft3/min"),
    "compliance": ("mm/N", "in/lbf"),
    "time": ("min", "h"),
    "turns": ("turn", "eighth"),
    "ratio": ("1", "%"),
    "count": ("1",),
}
"""Every kind of quantity with its unit ids, the canonical one first.

Kinds that share a dimension (torque and energy; force and mass, which a scale both calls pounds) are
apart on purpose: a dimension check alone would let a torque through as an energy.
"""

# Ids that the definition syntax cannot carry as a name.
EXPRESSIONS = {"rad/s": "rad_s", "1/degF": "1/ddegF", "%": "percent", "m/s2": "m/s**2", "g0": "standard_gravity"}

# A temperature is a step plus a zero point: degC = step * 5/9 + zero.
ZERO_POINTS = {
    "degC": ("K", Fraction(0)),
    "degF": ("ddegF", Fraction(-160, 9)),
    "K": ("K", Fraction(-27315, 100)),
}

HEAD = '''"""Unit factors: ``FACTORS[kind][unit] = (scale, offset)``, canonical value = x * scale + offset.

Written by ``python -m standbook.units`` from ``units.txt``; change those, never this file.
The canonical unit of a kind is the one with (1.0, 0.0) that stands first in ``CANONICAL``.
"""

'''


def registry() -> pint.UnitRegistry[Fraction]:
    """A fresh registry on our own definitions, in exact fractions so that no factor is rounded twice."""
    return pint.UnitRegistry(DEFINITIONS, non_int_type=Fraction, on_redefinition="raise")


def factor(units: pint.UnitRegistry[Fraction], kind: str, unit: str) -> tuple[float, float]:
    """(scale, offset) that take a number in `unit` to the canonical unit of `kind`."""
    canonical = KINDS[kind][0]
    if kind == "temperature":
        step, zero = ZERO_POINTS[unit]
        return float(scale_between(units, step, "K")), float(zero)
    return float(scale_between(units, unit, canonical)), 0.0


def scale_between(units: pint.UnitRegistry[Fraction], unit: str, canonical: str) -> Fraction:
    """How many `canonical` one `unit` is, exactly; pint raises DimensionalityError where no factor exists."""
    source, target = (EXPRESSIONS.get(each, each) for each in (unit, canonical))
    return Fraction(units.parse_expression(source).to(units.parse_units(target)).magnitude)


def factor_table() -> dict[str, dict[str, tuple[float, float]]]:
    """The whole table in the order of `KINDS`."""
    units = registry()
    return {kind: {unit: factor(units, kind, unit) for unit in ids} for kind, ids in KINDS.items()}


def source_text() -> str:
    """The Python source of the table: plain literals only, since MicroPython reads it too."""
    lines = ["FACTORS = {"]
    for kind, ids in factor_table().items():
        lines.append(f'    "{kind}": {{')
        lines += [f'        "{unit}": ({scale!r}, {offset!r}),' for unit, (scale, offset) in ids.items()]
        lines.append("    },")
    lines.append("}")
    lines += ["", "# A table of its own: MicroPython's dicts forget the order in which they were written."]
    lines.append("CANONICAL = {")
    lines += [f'    "{kind}": "{ids[0]}",' for kind, ids in KINDS.items()]
    lines.append("}")
    return HEAD + "\n".join(lines) + "\n"


def main() -> None:
    """Write the table beside the rest of the trade package."""
    FACTORS_FILE.write_text(source_text(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
