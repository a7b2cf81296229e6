"""Kinds of instrument: what they read to and how far they are trusted (all common practice)."""

from . import clock, quantity

# kind, words, step, trust to, unit, dial
_KINDS = (
    ("outside_micrometer", "Outside micrometer, vernier sleeve", "0.0001", "0.0001", "in", False),
    ("outside_micrometer_metric", "Outside micrometer, metric", "0.002", "0.003", "mm", False),
    ("ball_anvil_micrometer", "Ball-anvil micrometer", "0.0001", "0.0001", "in", False),
    ("dial_bore_gauge", "Dial bore gauge", "0.0001", "0.0002", "in", False),
    ("dial_bore_gauge_metric", "Dial bore gauge, metric", "0.002", "0.005", "mm", False),
    ("dial_indicator", "Dial indicator", "0.001", "0.001", "in", True),
    ("test_indicator", "Test indicator", "0.0005", "0.0005", "in", False),
    ("digital_caliper", "Digital caliper", "0.0005", "0.001", "in", False),
    ("telescoping_gauge", "Telescoping gauge and micrometer", "0.0001", "0.0005", "in", False),
    ("feeler_gauges", "Feeler gauges", "0.001", "0.0005", "in", False),
    ("plastic_strip", "Plastic gauge strip", "0.0005", "0.0005", "in", False),
    ("straight_edge", "Straight-edge or alignment bar with feelers", "0.0005", "0.0005", "in", False),
    ("thermometer", "Thermometer", "1", "2", "degF", False),
    ("stretch_gauge", "Rod-bolt stretch gauge", "0.0001", "0.0003", "in", False),
    ("torque_wrench", "Torque wrench, click type", "1", "4", "lbf*ft", False),
)
#: Gauges whose zero wanders and is checked again after a row of readings.
ZEROED = ("dial_bore_gauge", "dial_bore_gauge_metric", "dial_indicator", "test_indicator")
#: Poor feel: never the ground of a bearing clearance.
LOW_TRUST = ("telescoping_gauge",)
TORQUE_KINDS = ("torque_wrench",)


def kinds():
    """The kinds for the catalogue."""
    return [
        {"kind": kind, "words": words, "step": _typed(step, unit), "trust": _trust(kind, trust, unit), "dial": dial}
        for kind, words, step, trust, unit, dial in _KINDS
    ]


def _trust(kind, text, unit):
    """A torque wrench is trusted to a share of its setting (published: ISO 6789, type II class A, above 10 N*m)."""
    return _typed(text, "%" if kind in TORQUE_KINDS else unit)


def _typed(text, unit):
    return {"text": text, "unit": unit}


_USUAL_STEPS = {
    kind: quantity.typed_value("length", _typed(step, unit))
    for kind, _words, step, _trust, unit, _dial in _KINDS
    if unit in ("in", "mm")
}


def usual_step(kind):
    """Canonical reading step that a kind of gauge usually has; None for an unknown kind."""
    return _USUAL_STEPS.get(kind)


def step_of(instrument):
    """Canonical reading step of an instrument as an entry names it; None without instrument."""
    return _size(instrument, "step")


def is_overdue(instrument, made_at):
    """Whether it was past its calibration date on the day when it was used."""
    due = instrument.get("calibration_due")
    return due is not None and due < clock.day_of(made_at)


def trust_of(instrument):
    """Canonical "trust to" figure; None without instrument."""
    return _size(instrument, "trust")


_KINDS_OF_SIZE = {"thermometer": "temperature-difference", "torque_wrench": "torque"}


def torque_range(instrument):
    """(lowest, highest) torque of a wrench's scale in N*m, from its optional `lowest` and `highest`; None unknown."""
    if not instrument or instrument["kind"] not in TORQUE_KINDS or not instrument.get("highest"):
        return None
    ends = [instrument.get(end) for end in ("lowest", "highest")]
    return [0.0 if end is None else quantity.typed_value("torque", end) for end in ends]


#: (kind, text, unit) -> canonical: a shop has few gauges, and each stands in thousands of readings.
_sizes = {}
MOST_SIZES = 1000


def _size(instrument, key):
    if not instrument:
        return None
    typed = instrument[key]
    kind = "ratio" if typed["unit"] == "%" else _KINDS_OF_SIZE.get(instrument["kind"], "length")
    named = (kind, typed["text"], typed["unit"])
    if named not in _sizes:
        if len(_sizes) >= MOST_SIZES:
            _sizes.clear()
        unit = {"degF": "ddegF", "degC": "K"}.get(typed["unit"], typed["unit"])
        _sizes[named] = quantity.typed_value(kind, _typed(typed["text"], unit))
    return _sizes[named]
