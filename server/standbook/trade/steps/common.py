"""What several steps share: the step-level places and the window around a nominal size."""

from ..slips import WINDOW, Expectation
from ..work import Finding, Place, Value

REFERENCE = "68 \u00b0F (20 \u00b0C) is the reference."
#: Gauges that sizes of holes are taken with.
BORE_GAUGES = ("dial_bore_gauge", "dial_bore_gauge_metric")
MICROMETERS = ("outside_micrometer", "outside_micrometer_metric")
YES_NO = (("yes", "Yes"), ("no", "No"))


def around(size, low=None, high=None):
    """Expectation around a nominal size, the window widened by 0.010 in; None without a size."""
    if size is None:
        return None
    return Expectation(size, (size if low is None else low) - WINDOW, (size if high is None else high) + WINDOW)


def temperatures():
    """Part and room temperature stand with every size; 68 \u00b0F is the reference (ISO 1)."""
    return [
        Place("temperature", "Temperature of the part", "part", kind="temperature", required=False, hint=REFERENCE),
        Place(
            "room_temperature", "Temperature of the room", "room", kind="temperature", required=False, hint=REFERENCE
        ),
    ]


def temperature_values(bench, group):
    """How far the part is off the room: sizes hold when both have lain together for hours."""
    part, room = bench.number("temperature"), bench.number("room_temperature")
    if part is None or room is None:
        return []
    return [
        Value(
            "temperature.off",
            "Part against room temperature",
            "part against room",
            group,
            part - room,
            ["temperature", "room_temperature"],
            "part_to_room_temperature",
            kind="temperature-difference",
        )
    ]


def joint(caps):
    """What stands before sizes taken with the main caps on: are they tight, how, with what, how warm."""
    return [_caps_tight(caps), _torque(), _lubricant()] + temperatures()


def _caps_tight(what):
    return Place("caps_tight", what, "at full torque?", kind="flag", choices=YES_NO)


def _lubricant():
    return Place(
        "lubricant", "Lubricant on the threads, as the card names it", "lubricant", kind="text", required=False
    )


def _torque():
    return Place(
        "torque",
        "Main fastener torque, as the card gives it",
        "torque",
        kind="torque",
        required=False,
        set_or_found="set",
    )


def torque_findings(bench, sizes):
    """A size measured with the caps not at full torque, or before that was recorded, proves nothing."""
    taken = [(place, found) for place, found in zip(sizes, bench.all(sizes)) if found and found.number is not None]
    if not taken:
        return []
    answer = bench.at("caps_tight")
    if answer is None:
        words = "Sizes stand here before the caps were recorded as tight: answer that first."
        return [Finding("torque_missing", "WARN", words, "caps_tight", "order")]
    if answer.typed["text"] == "no":
        words = "Measured with the caps not at full torque: tighten them and measure again."
        return [Finding("caps_loose", "HOLD", words, "caps_tight")]
    early = [place for place, found in taken if found.rank and found.rank < answer.rank]
    if not early:
        return []
    words = str(len(early)) + " sizes were taken before the caps were recorded as tight: measure them again."
    return [Finding("caps_late", "WARN", words, early[0], "order")]


def gauge_zero():
    """The zero of a dial gauge wanders: it is looked at again after each row of readings."""
    return Place(
        "gauge_zero",
        "Gauge zero checked",
        "zero checked",
        kind="flag",
        required=False,
        choices=YES_NO,
        hint="Again after each row of readings.",
    )
