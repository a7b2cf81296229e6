"""Kinds of instrument: what they read to and how far they are trusted (all common practice)."""

from . import clock, limits, quantity

# kind, words, step, trust to, unit, dial, check before use (empty trust unit: the same; a wrench is trusted to percent)
LISTED = (
    ("outside_micrometer", "Outside micrometer, vernier sleeve", "0.0001", "0.0001", "in", False,
     "On a gauge block or setting rod at both ends of the range; anvils clean, zero noted."),
    ("outside_micrometer_metric", "Outside micrometer, metric", "0.002", "0.003", "mm", False,
     "On a gauge block or setting rod at both ends of the range; anvils clean, zero noted."),
    ("ball_anvil_micrometer", "Ball-anvil micrometer", "0.0001", "0.0001", "in", False,
     "Closed on itself, zero noted."),
    ("dial_bore_gauge", "Dial bore gauge", "0.0001", "0.0002", "in", False,
     "Zero in a setting ring or a locked micrometer; again after each row of readings."),
    ("dial_bore_gauge_metric", "Dial bore gauge, metric", "0.002", "0.005", "mm", False,
     "Zero in a setting ring or a locked micrometer; again after each row of readings."),
    ("dial_indicator", "Dial indicator", "0.001", "0.001", "in", True,
     "Runs free, comes back to zero three times."),
    ("test_indicator", "Test indicator", "0.0005", "0.0005", "in", False, "Stylus at a small angle."),
    ("digital_caliper", "Digital caliper", "0.0005", "0.001", "in", False, "Zero closed, then on a gauge block."),
    ("telescoping_gauge", "Telescoping gauge and micrometer", "0.0001", "0.0005", "in", False,
     "Not for bearing clearances."),
    ("feeler_gauges", "Feeler gauges", "0.001", "0.0005", "in", False,
     "Blades clean and without kinks; the blade measured with a micrometer."),
    ("plastic_strip", "Plastic gauge strip", "0.0005", "0.0005", "in", False, "In date, on a dry journal."),
    ("straight_edge", "Straight-edge or alignment bar with feelers", "0.0005", "0.0005", "in", False,
     "Edge clean and without burrs."),
    ("stretch_gauge", "Rod-bolt stretch gauge", "0.0001", "0.0003", "in", False,
     "Zero on the loose bolt."),
    ("thermometer", "Thermometer", "1", "2", "degF", False, "Beside another one in the room."),
    ("torque_wrench", "Torque wrench", "1", "4", "lbf*ft", False,
     "Calibration in date, zero or scale as it should be, the torque within the wrench's range."),
    ("angle_gauge", "Angle gauge for fasteners", "1", "2", "deg", False, "Arm fixed, zero after the first step."),
)  # fmt: skip
_PICKED = {"torque": "torque", "angle": "angle", "temperature-difference": "temperature"}
_CHECKS = {row[0]: row[6] for row in LISTED}
PERCENT = "%"
#: Gauges whose zero wanders and is checked again after a row of readings.
ZEROED = ("dial_bore_gauge", "dial_bore_gauge_metric", "dial_indicator", "test_indicator")
#: Poor feel: never the ground of a bearing clearance.
LOW_TRUST = ("telescoping_gauge",)
TORQUE_KINDS = ("torque_wrench",)
#: What measures a quantity that is no length, whatever the step names.
KINDS_FOR = {"torque": TORQUE_KINDS, "angle": ("angle_gauge",), "temperature": ("thermometer",)}
#: Places that can slip: a temperature is read off and not measured twice.
ASKED = ("length", "torque", "angle")


def kinds():
    """The kinds for the catalogue."""
    return [
        {
            "kind": kind,
            "words": words,
            "step": _typed(step, unit),
            "trust": _typed(trust, PERCENT if kind in TORQUE_KINDS else unit),
            "dial": dial,
            "check": check,
            "units": list(quantity.PICKED[_PICKED.get(quantity_of(unit), "length")]),
            "torque": kind in TORQUE_KINDS,
        }
        for kind, words, step, trust, unit, dial, check in LISTED
    ]


def check_of(kind):
    """What is looked at before a kind of gauge is used; nothing for an unknown kind."""
    return _CHECKS.get(kind, "")


def _typed(text, unit):
    return {"text": text, "unit": unit}


_USUAL_STEPS = {
    kind: quantity.typed_value("length", _typed(step, unit))
    for kind, _words, step, _trust, unit, _dial, _check in LISTED
    if unit in ("in", "mm")
}


def usual_step(kind):
    """Canonical reading step that a kind of gauge usually has; None for an unknown kind."""
    return _USUAL_STEPS.get(kind)


def step_of(instrument):
    """Canonical reading step of an instrument as an entry names it; None without instrument."""
    return _size(instrument, "step")


def is_overdue(instrument, made_at):
    """Whether it was past its calibration on the day when it was used: by date, or a wrench by its pulls."""
    due = instrument.get("calibration_due")
    if instrument.get("used_up") is True:
        return True
    # What comes after the whole stamp comes after its day: nearly always that is all there is to see.
    return due is not None and due < made_at and due < clock.day_of(made_at)


def why_overdue(instrument):
    """Past its calibration, in words, with what to do."""
    if instrument.get("used_up") is True:
        reason = "more than " + limits.window("wrench_cycles_since_calibration")[1] + " pulls since its calibration"
    else:
        reason = "calibration was due on " + instrument["calibration_due"]
    return instrument["name"] + ": " + reason + "; check it on a standard, or use another."


def outside_range(instrument, number):
    """Words of a wrench's range where a torque (canonical) lies outside it; None inside, or without a range."""
    low, high = instrument.get("range_low"), instrument.get("range_high")
    ends = [None if end is None else quantity.typed_value("torque", end) for end in (low, high)]
    below = ends[0] is not None and number < ends[0] - 1e-9
    above = ends[1] is not None and number > ends[1] + 1e-9
    return range_words(instrument) if below or above else None


def range_words(instrument):
    """From where to where a gauge reads; nothing where nobody said so."""
    ends = [instrument.get(end) for end in ("range_low", "range_high")]
    told = [quantity.with_unit(end["text"], end["unit"]) for end in ends if end is not None]
    if len(told) == 2:
        return told[0] + " to " + told[1]
    return "" if not told else ("from " if ends[0] is not None else "up to ") + told[0]


def trust_of(instrument):
    """Canonical "trust to" figure; None without instrument."""
    return _size(instrument, "trust")


def torque_range(instrument):
    """(lowest, highest) torque of a wrench's scale in N*m, from its optional range; None unknown."""
    if not instrument or instrument["kind"] not in TORQUE_KINDS or not instrument.get("range_high"):
        return None
    ends = [instrument.get(end) for end in ("range_low", "range_high")]
    return [0.0 if end is None else quantity.typed_value("torque", end) for end in ends]


#: (kind, text, unit) -> canonical: a shop has few gauges, and each stands in thousands of readings.
_sizes = {}
MOST_SIZES = 1000


def quantity_of(unit):
    """Kind of quantity that a gauge with this unit measures; a temperature counts as a difference."""
    for kind in ("torque", "angle"):
        if unit in quantity.PICKED[kind]:
            return kind
    return "temperature-difference" if unit in ("degF", "degC") else "length"


def measures(instrument, kind):
    """Whether an instrument reads a kind of quantity."""
    return quantity_of(instrument["step"]["unit"]) == kind


def _size(instrument, key):
    if not instrument or instrument[key]["unit"] == PERCENT:
        return None
    typed = instrument[key]
    kind = quantity_of(typed["unit"])
    named = (kind, typed["text"], typed["unit"])
    if named not in _sizes:
        if len(_sizes) >= MOST_SIZES:
            _sizes.clear()
        unit = {"degF": "ddegF", "degC": "K"}.get(typed["unit"], typed["unit"])
        _sizes[named] = quantity.typed_value(kind, _typed(typed["text"], unit))
    return _sizes[named]
