"""What several steps share: the step-level places and the window around a nominal size."""

from ..slips import WINDOW, Expectation
from ..work import Finding, Place

YES_NO = (("yes", "Yes"), ("no", "No"))


def around(size, low=None, high=None):
    """Expectation around a nominal size, the window widened by 0.010 in; None without a size."""
    if size is None:
        return None
    return Expectation(size, (size if low is None else low) - WINDOW, (size if high is None else high) + WINDOW)


def temperature():
    """Part and room temperature stand with every size."""
    return Place(
        "temperature",
        "Temperature of part and room",
        "temperature",
        kind="temperature",
        required=False,
        hint="68 \u00b0F is the reference.",
    )


def caps_tight(what):
    return Place("caps_tight", what, "at full torque?", kind="flag", choices=YES_NO)


def lubricant():
    return Place(
        "lubricant", "Lubricant on the threads, as the card names it", "lubricant", kind="text", required=False
    )


def torque():
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
