"""What several steps share: the step-level places and the window around a nominal size."""

from ..slips import WINDOW, Expectation
from ..work import Finding, Place, Value

REFERENCE = "68 \u00b0F (20 \u00b0C) is the reference."
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


def torque_findings(bench, measured):
    """A size measured with the caps not at full torque, or before the torque was recorded, proves nothing."""
    answer = bench.text("caps_tight")
    if answer == "no":
        return [
            Finding(
                "caps_loose",
                "HOLD",
                "Measured with the caps not at full torque: tighten them and measure again.",
                "caps_tight",
            )
        ]
    if answer is None and measured:
        return [
            Finding(
                "torque_missing",
                "WARN",
                "Sizes stand here before the caps were recorded as tight: answer that first.",
                "caps_tight",
                "order",
            )
        ]
    return []
