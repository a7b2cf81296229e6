"""A stamped rocker's tip: an arc that slides over the stem. Its lowest point touches, below the centre of the arc.

Lengths in mm, signs as in `roller_tip`; the arm reaches to the centre of the pad's arc, the stud is upright. The arc is
so large that its centre stays above the pivot: the contact travels outboard at every usable length, so the aim is a
centred mark. Derived: geometry of a circle about the pivot; the step by two goes: secant.
"""

import math

from .. import plain
from . import roller_tip


def contact(arm, pad_radius, pivot_height, stud_offset, lift):
    """Where the pad touches at a valve lift."""
    return roller_tip.reach(arm, pad_radius - pivot_height - lift) - stud_offset


def mark_at(arm, pad_radius, pivot_height, stud_offset, lift):
    """The mark of a whole lift with the pivot at this height."""
    return roller_tip.mark(arm, pad_radius - pivot_height, lift, -stud_offset)


def centring_height(arm, pad_radius, stud_offset, lift):
    """Pivot height that puts the middle of the mark on the stem's centre; refused when none does.

    The contacts closed and open are the ends of a chord whose middle stands over the stem; where the arm is square to
    the stem within the lift, the outer edge is the arm itself.
    """
    half = _chord_middle_height(arm, stud_offset, lift)
    if half is not None and half >= lift / 2.0:
        # Further up, the arm would have to stand upright with the valve closed.
        return pad_radius - half - lift / 2.0 if half * lift < 2.0 * stud_offset * stud_offset else _refuse(stud_offset)
    inner = 2.0 * stud_offset - arm
    height = math.sqrt(arm * arm - inner * inner) if abs(inner) < arm else 0.0
    return pad_radius - height if height >= lift / 2.0 else _refuse(stud_offset)


def _refuse(stud_offset):
    raise plain.MethodRefused(
        "cannot_be_centred",
        "No pivot height centres the mark of this rocker: its arm does not fit where the stud stands.",
        {"stud_offset": stud_offset},
    )


def _chord_middle_height(arm, stud_offset, lift):
    """How far above the pivot the arc's centre stands at half lift; None where no such chord stands over the stem."""
    left = arm * arm - stud_offset * stud_offset - lift * lift / 4.0
    if left < 0.0:
        return None
    return math.sqrt(left / (1.0 + lift * lift / (4.0 * stud_offset * stud_offset)))


def next_change(mean_before, mean_after, length_change):
    """Pushrod change that should centre the mark, by two goes; refused when the mark did not move between them."""
    moved = mean_after - mean_before
    if moved == 0.0:
        raise plain.MethodRefused(
            "mark_did_not_move",
            "The middle of the mark did not move between the two goes: change the length by more and mark again.",
            {"length_change": length_change},
        )
    return -mean_after * length_change / moved
