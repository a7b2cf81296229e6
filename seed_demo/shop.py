"""The demo shop: its people and gauges, all invented."""

from datetime import UTC, datetime, timedelta
from typing import Any

NAME = "Ropewalk Engine Shop (demo)"
LEAD = ("Marta V.", "lead", "two-turns-by-hand")
JONAS = "Jonas K."
ROSA = "Rosa T."
# name, role, password (only leads sign in at the desk)
PEOPLE: tuple[tuple[str, str, str | None], ...] = (
    LEAD,
    (JONAS, "builder", None),
    (ROSA, "builder", None),
    ("Idris B.", "builder", None),
)

# What each types at the stand.
PINS = {LEAD[0]: "730264", JONAS: "402718", ROSA: "615903", "Idris B.": "958137"}

MICROMETER = "OM-23"
BORE_GAUGE = "BG-01"
MICROMETER_MM = "OM-50M"
BORE_GAUGE_MM = "BG-02M"
FEELERS = "FG-04"
THERMOMETER = "TH-01"
STRETCH_GAUGE = "SG-01"
WRENCH, TORQUE_WRENCH, LATE_WRENCH, INCH_POUNDS = "TW-02", "TW-03", "TW-05", "TW-07"
# id, kind, name, unit, step, trust, dial, days until the calibration is due
GAUGES: tuple[tuple[str, str, str, str, str, str, bool, int | None], ...] = (
    (MICROMETER, "outside_micrometer", "Micrometer 2 to 3 in, OM-23", "in", "0.0001", "0.0001", False, 190),
    ("OM-12", "outside_micrometer", "Micrometer 1 to 2 in, OM-12", "in", "0.0001", "0.0001", False, 190),
    (MICROMETER_MM, "outside_micrometer_metric", "Micrometer 50 to 75 mm, OM-50M", "mm", "0.002", "0.003", False, 120),
    (BORE_GAUGE, "dial_bore_gauge", "Bore gauge 2 to 6 in, BG-01", "in", "0.0001", "0.0002", False, 95),
    (BORE_GAUGE_MM, "dial_bore_gauge_metric", "Bore gauge 50 to 150 mm, BG-02M", "mm", "0.002", "0.005", False, 95),
    (FEELERS, "feeler_gauges", "Feelers 0.004 to 0.035 in, FG-04", "in", "0.001", "0.0005", False, None),
    ("PS-01", "plastic_strip", "Plastic strip 0.001 to 0.003 in", "in", "0.0005", "0.0005", False, None),
    ("DC-02", "digital_caliper", "Caliper 6 in, DC-02", "in", "0.0005", "0.001", False, 30),
    (STRETCH_GAUGE, "stretch_gauge", "Stretch gauge, SG-01", "in", "0.0001", "0.0003", False, 160),
    (THERMOMETER, "thermometer", "Surface thermometer, TH-01", "degF", "1", "2", False, None),
)
# id, name, unit, range from, up to, days until the calibration is due; one is past its date
WRENCHES: tuple[tuple[str, str, str, str, str, int], ...] = (
    (WRENCH, "Click wrench 30 to 150 ft-lb, TW-02", "lbf*ft", "30", "150", 210),
    (TORQUE_WRENCH, "Torque wrench 20 to 100 ft-lb, TW-03", "lbf*ft", "20", "100", 140),
    (INCH_POUNDS, "Torque wrench 30 to 250 in-lb, TW-07", "lbf*in", "30", "250", 80),
    (LATE_WRENCH, "Click wrench 10 to 75 ft-lb, TW-05", "lbf*ft", "10", "75", -12),
)
A_YEAR = 365


def instruments() -> list[dict[str, Any]]:
    """The gauges in the form of the brain's Instrument; due dates count from today, so that the demo never ages."""
    return [gauge(*row) for row in GAUGES] + [wrench(*row) for row in WRENCHES]


def wrench(id: str, name: str, unit: str, low: str, high: str, days: int) -> dict[str, Any]:
    ends = {"range_low": {"text": low, "unit": unit}, "range_high": {"text": high, "unit": unit}}
    kind = gauge(id, "torque_wrench", name, unit, "1", "4", False, days) | {"trust": {"text": "4", "unit": "%"}}
    return kind | ends | {"band": "4"}


def calibrations() -> dict[str, str]:
    """Wrench id -> the day of its last calibration, a year before it is due."""
    return {id: day(days - A_YEAR) for id, _, _, _, _, days in WRENCHES}


def day(days: int) -> str:
    return (datetime.now(UTC) + timedelta(days=days)).date().isoformat()


def gauge(
    id: str, kind: str, name: str, unit: str, step: str, trust: str, dial: bool, days: int | None
) -> dict[str, Any]:
    due = None if days is None else day(days)
    sizes = {"step": {"text": step, "unit": unit}, "trust": {"text": trust, "unit": unit}}
    return {"id": id, "kind": kind, "name": name, "dial": dial, "calibration_due": due, **sizes}
