"""Unit factors against what stands outside this project.

OC-U1  NIST Special Publication 811 (2008), Appendix B.8; the values are from memory, to the digits printed there.
OC-U2  Pint's own registry (not ours) and scipy.constants.
OC-U3  the two horsepowers and the two mercury columns stay apart, by the same SP 811 values.
"""

import math

import pint
import pytest
import scipy.constants

from standbook.trade.factors import CANONICAL, FACTORS

# kind, unit, value as printed, and how many of the printed unit make one canonical unit of ours.
SP_811 = (
    ("pressure", "inHg60", "3376.85", 1000),
    ("pressure", "mmHg", "133.3224", 1000),
    ("pressure", "inH2O", "249.0889", 1000),
    ("pressure", "psi", "6894.757", 1000),
    ("pressure", "atm", "101325", 1000),
    ("pressure", "kgf/cm2", "98066.5", 1000),
    ("power", "hp", "745.6999", 1000),
    ("power", "hpM", "735.4988", 1000),
    ("torque", "lbf*ft", "1.355818", 1),
    ("torque", "lbf*in", "0.1129848", 1),
    ("torque", "kgf*m", "9.80665", 1),
    ("energy", "lbf*ft", "1.355818", 1),
    ("force", "lbf", "4.448222", 1),
    ("force", "kgf", "9.80665", 1),
    ("mass", "lb", "0.45359237", 1e-3),
    ("mass", "oz", "0.02834952", 1e-3),
    ("length", "in", "2.54", 0.1),
    ("area", "in2", "6.4516", 0.01),
    ("volume", "in3", "16.38706", 1),
    ("volume", "galUS", "3.785412", 1e-3),
    ("volume", "flozUS", "29.57353", 1),
    ("volume-flow", "ft3/min", "4.719474e-4", 1e-6),
    ("velocity", "ft/min", "5.08e-3", 1),
    ("velocity", "mph", "0.44704", 1),
    ("velocity", "km/h", "0.2777778", 1),
    ("velocity", "in/s", "2.54e-2", 1),
    ("acceleration", "g0", "9.80665", 1),
)

PINT_DEFAULT = {
    ("time", "min"): "minute",
    ("time", "h"): "hour",
    ("turns", "turn"): "turn",
    ("length", "mm"): "mm",
    ("length", "um"): "micrometer",
    ("length", "in"): "inch",
    ("length", "thou"): "thou",
    ("area", "mm2"): "mm**2",
    ("area", "in2"): "inch**2",
    ("volume", "cm3"): "cm**3",
    ("volume", "in3"): "inch**3",
    ("volume", "L"): "liter",
    ("volume", "galUS"): "US_liquid_gallon",
    ("volume", "flozUS"): "US_fluid_ounce",
    ("force", "N"): "newton",
    ("force", "lbf"): "force_pound",
    ("force", "kgf"): "force_kilogram",
    ("mass", "g"): "gram",
    ("mass", "kg"): "kilogram",
    ("mass", "lb"): "pound",
    ("mass", "oz"): "ounce",
    ("torque", "N*m"): "newton*meter",
    ("torque", "lbf*ft"): "force_pound*foot",
    ("torque", "lbf*in"): "force_pound*inch",
    ("torque", "kgf*m"): "force_kilogram*meter",
    ("energy", "J"): "joule",
    ("energy", "lbf*ft"): "force_pound*foot",
    ("pressure", "kPa"): "kilopascal",
    ("pressure", "Pa"): "pascal",
    ("pressure", "bar"): "bar",
    ("pressure", "psi"): "psi",
    ("pressure", "atm"): "atmosphere",
    ("pressure", "inHg"): "inch_Hg_32F",
    ("pressure", "inHg60"): "inch_Hg_60F",
    ("pressure", "mmHg"): "mmHg",
    ("pressure", "inH2O"): "inch_H2O",
    ("pressure", "kgf/cm2"): "force_kilogram/cm**2",
    ("pressure", "MPa"): "megapascal",
    ("temperature-difference", "K"): "kelvin",
    ("temperature-difference", "ddegF"): "delta_degree_Fahrenheit",
    ("expansion", "1/K"): "1/kelvin",
    ("expansion", "1/degF"): "1/delta_degree_Fahrenheit",
    ("angle", "deg"): "degree",
    ("speed", "rpm"): "rpm",
    ("speed", "rad/s"): "radian/second",
    ("velocity", "m/s"): "meter/second",
    ("velocity", "ft/min"): "foot/minute",
    ("velocity", "mph"): "mile/hour",
    ("velocity", "km/h"): "kilometer/hour",
    ("velocity", "in/s"): "inch/second",
    ("acceleration", "m/s2"): "meter/second**2",
    ("acceleration", "g0"): "standard_gravity",
    ("power", "kW"): "kilowatt",
    ("power", "W"): "watt",
    ("power", "hp"): "horsepower",
    ("power", "hpM"): "metric_horsepower",
    ("volume-flow", "cm3/s"): "cm**3/second",
    ("volume-flow", "ft3/min"): "foot**3/minute",
    ("compliance", "mm/N"): "mm/newton",
    ("compliance", "in/lbf"): "inch/force_pound",
    ("ratio", "1"): "dimensionless",
    ("ratio", "%"): "percent",
    ("count", "1"): "dimensionless",
}

# How much of the SI unit that scipy states one of ours is, by way of our canonical unit.
SCIPY = (
    ("length", "in", scipy.constants.inch, 1e-3),
    ("length", "thou", scipy.constants.mil, 1e-3),
    ("length", "um", scipy.constants.micron, 1e-3),
    ("volume", "L", scipy.constants.liter, 1e-6),
    ("volume", "galUS", scipy.constants.gallon_US, 1e-6),
    ("volume", "flozUS", scipy.constants.fluid_ounce_US, 1e-6),
    ("force", "lbf", scipy.constants.lbf, 1),
    ("force", "kgf", scipy.constants.kgf, 1),
    ("mass", "lb", scipy.constants.lb, 1e-3),
    ("mass", "oz", scipy.constants.oz, 1e-3),
    ("pressure", "bar", scipy.constants.bar, 1e3),
    ("pressure", "psi", scipy.constants.psi, 1e3),
    ("pressure", "atm", scipy.constants.atm, 1e3),
    ("velocity", "mph", scipy.constants.mph, 1),
    ("velocity", "km/h", scipy.constants.kmh, 1),
    ("acceleration", "g0", scipy.constants.g, 1),
    ("power", "hp", scipy.constants.hp, 1e3),
)


def scale(kind: str, unit: str) -> float:
    return FACTORS[kind][unit][0]


def half_of_last_digit(printed: str) -> float:
    mantissa, _, power = printed.partition("e")
    return 0.5 * 10.0 ** (int(power or 0) - len(mantissa.partition(".")[2]))


@pytest.mark.parametrize(("kind", "unit", "printed", "ratio"), SP_811)
def test_oc_u1_a_factor_rounds_to_the_digits_that_sp_811_prints(
    kind: str, unit: str, printed: str, ratio: float
) -> None:
    slack = half_of_last_digit(printed) * (1 + 1e-9)
    assert scale(kind, unit) * ratio == pytest.approx(float(printed), rel=0, abs=slack)


def test_oc_u1_mercury_at_32_degrees_is_the_conventional_inch_within_three_millionths() -> None:
    # SP 811 lists 3386.38 Pa at 32 degF and 3386.389 Pa conventional; the shop's inHg is both.
    assert scale("pressure", "inHg") * 1000 == pytest.approx(3386.38, rel=3e-6)
    assert scale("pressure", "inHg") * 1000 == pytest.approx(3386.389, rel=0, abs=0.0005)
    assert 99 / scale("pressure", "inHg") == pytest.approx(29.2347, rel=0, abs=0.00005)
    # Printed from the rounded 3386.389, so half its last digit counts 29.92 times beside half of 101320.8's.
    slack = 0.00005 + 29.92 * 0.0000005
    assert 29.92 * scale("pressure", "inHg") == pytest.approx(101.3208, rel=0, abs=slack)


def test_oc_u1_one_turn_a_minute_is_the_printed_part_of_a_radian_a_second() -> None:
    assert 1 / scale("speed", "rad/s") == pytest.approx(0.1047198, rel=0, abs=0.5e-7)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (68, 20), (212, 100), (-40, -40)])
def test_oc_u1_fahrenheit_follows_sp_811s_rule(fahrenheit: float, celsius: float) -> None:
    # SP 811 B.8: t/degC = (t/degF - 32)/1.8; 20 degC = 68 degF is ISO 1's reference temperature.
    factor, zero = FACTORS["temperature"]["degF"]
    assert fahrenheit * factor + zero == pytest.approx(celsius, rel=0, abs=1e-12)


@pytest.fixture(scope="module")
def pints_own() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "unit"), PINT_DEFAULT)
def test_oc_u2_a_factor_equals_that_of_pints_own_registry(
    pints_own: pint.UnitRegistry[float], kind: str, unit: str
) -> None:
    canonical = PINT_DEFAULT[kind, CANONICAL[kind]]
    theirs = pints_own.Quantity(1.0, PINT_DEFAULT[kind, unit]).to(canonical).magnitude
    assert scale(kind, unit) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("unit", ["degC", "degF", "K"])
@pytest.mark.parametrize("reading", [-40.0, 0.0, 68.0, 190.5])
def test_oc_u2_a_temperature_equals_that_of_pints_own_registry(
    pints_own: pint.UnitRegistry[float], unit: str, reading: float
) -> None:
    theirs = pints_own.Quantity(reading, {"K": "kelvin"}.get(unit, unit)).to("degC").magnitude
    factor, zero = FACTORS["temperature"][unit]
    assert reading * factor + zero == pytest.approx(theirs, rel=1e-9, abs=1e-10)


@pytest.mark.parametrize(("kind", "unit", "theirs", "ratio"), SCIPY)
def test_oc_u2_a_factor_equals_scipys(kind: str, unit: str, theirs: float, ratio: float) -> None:
    assert scale(kind, unit) * ratio == pytest.approx(theirs, rel=1e-9)


def test_oc_u2_the_millimetre_of_mercury_is_scipys_within_two_ten_millionths() -> None:
    # scipy takes the torr (1/760 atm) for it, the conventional column is a seven-millionth of that apart.
    assert scale("pressure", "mmHg") * 1000 == pytest.approx(scipy.constants.mmHg, rel=2e-7)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(77.0, 25.0), (180.0, None)])
def test_oc_u2_fahrenheit_equals_scipys_conversion(fahrenheit: float, celsius: float | None) -> None:
    factor, zero = FACTORS["temperature"]["degF"]
    theirs = float(scipy.constants.convert_temperature(fahrenheit, "F", "C"))
    assert fahrenheit * factor + zero == pytest.approx(theirs, rel=1e-9)
    assert celsius is None or theirs == pytest.approx(celsius)


def test_oc_u2_an_eighth_of_a_turn_is_45_degrees_by_pints_own_registry(pints_own: pint.UnitRegistry[float]) -> None:
    assert scale("turns", "eighth") == pytest.approx(pints_own.Quantity(45.0, "degree").to("turn").magnitude, rel=1e-9)


def test_oc_u2_leaves_no_unit_unchecked() -> None:
    ours = {(kind, unit) for kind, units in FACTORS.items() for unit in units if kind != "temperature"}
    assert ours == set(PINT_DEFAULT) | {("turns", "eighth")}


def test_oc_u3_the_two_horsepowers_stay_1_4_percent_apart() -> None:
    gap = scale("power", "hp") / scale("power", "hpM") - 1
    assert gap == pytest.approx(745.6999 / 735.4988 - 1, rel=0, abs=1e-5)
    assert math.floor(gap * 1000 + 0.5) == 14


def test_oc_u3_mercury_at_32_and_at_60_degrees_stays_0_28_percent_apart() -> None:
    gap = scale("pressure", "inHg") / scale("pressure", "inHg60") - 1
    assert gap == pytest.approx(3386.38 / 3376.85 - 1, rel=0, abs=1e-5)
    assert math.floor(gap * 10000 + 0.5) == 28
