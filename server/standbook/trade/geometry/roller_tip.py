"""The valve side of a roller rocker: what arm, roller and pivot height alone say about the mark on the stem's tip.

Lengths in mm. Across the stem + is outboard, away from the pivot; along it + is from the valve's head to the tip. A
"centre height" is how far the roller's centre stands above the pivot. The tip is flat and square to the stem, the
parts are rigid, the motion lies in one plane. Derived: geometry of a circle about the pivot; the noise law: statistics.
"""

import math

from .. import plain
from .crossing import zero_beyond

KINDS = ("roller tip", "stamped")
INNER_ENDS = ("closed", "open")
#: Steps from the pivot's level to the end of the arm, for a search.
STEPS = 64


class Mark:
    """What the roller leaves on the tip between two contacts: where it touches closed and at full lift, its edges."""

    def __init__(self, closed, opened, outermost):
        self.closed = closed
        self.opened = opened
        self.inner = min(closed, opened)
        self.outer = outermost

    def width(self):
        return self.outer - self.inner

    def mean(self):
        """The middle of the mark."""
        return (self.outer + self.inner) / 2.0


def refuse_stamped(kind):
    """Raises MethodRefused for a stamped rocker: its arm is never square to the stem while the valve opens."""
    if kind == "stamped":
        raise plain.MethodRefused(
            "stamped_refused", "travel is always outboard on a stamped rocker: centre the mark instead", {"kind": kind}
        )


def reach(arm, centre_height):
    """How far outboard of the pivot the roller touches; refused where the arm is too short for the height."""
    if abs(centre_height) >= arm:
        raise plain.MethodRefused(
            "tip_off_the_valve",
            "The valve arm is too short to reach the tip from this pivot height: check arm, pivot and lift.",
            {"arm": arm, "height": centre_height},
        )
    return math.sqrt(arm * arm - centre_height * centre_height)


def mark(arm, closed_height, lift, pivot_across=0.0):
    """The mark of a valve lift from the centre height with the valve closed, the pivot at `pivot_across`."""
    opened_height = closed_height - lift
    closed = pivot_across + reach(arm, closed_height)
    opened = pivot_across + reach(arm, opened_height)
    turns = opened_height <= 0.0 <= closed_height
    return Mark(closed, opened, pivot_across + arm if turns else max(closed, opened))


def best_pivot_height(roller_radius, lift):
    """Pivot height above the closed tip at which the arm is square to the stem at half lift: the narrowest mark."""
    return roller_radius - lift / 2.0


def narrowest_width(arm, lift):
    """Width of the narrowest mark that this arm and lift allow."""
    return arm - reach(arm, lift / 2.0)


def extra_width(arm, lift, pivot_off):
    """How much wider than the narrowest the mark is with the pivot off its best height, up or down."""
    return mark(arm, lift / 2.0 - pivot_off, lift).width() - narrowest_width(arm, lift)


def pivot_raise(arm, lift, closed, opened):
    """How far to raise the pivot (+) so that closed and open contact meet; exact for any lean of the stud.

    The two contacts are the ends of a chord of the circle about the pivot. With the arm upright at one end they lie
    furthest apart, and no pivot height could bring them further: refused.
    """
    travel = opened - closed
    chord_squared = lift * lift + travel * travel
    if chord_squared >= 2.0 * arm * lift:
        raise plain.MethodRefused(
            "contacts_impossible",
            "No length of this rocker could produce these contacts: read both again and check arm and lift.",
            {"contact_closed": closed, "contact_open": opened},
        )
    return math.sqrt(arm * arm - chord_squared / 4.0) * travel / math.sqrt(chord_squared)


def noise_lever(arm, lift, ratio):
    """Pushrod change for each bit of difference between the two contacts."""
    return (1.0 + 1.0 / ratio) * arm / lift


def noise(lever, edge_deviation, readings, goes):
    """Standard deviation of the pushrod change: both contacts read so often in each of so many goes."""
    return lever * edge_deviation * math.sqrt(2.0) / math.sqrt(readings * goes)


# --- only the smear is known ------------------------------------------------------------------------------------


def inner_edge_height(arm, width):
    """Distance of the roller's centre from the pivot's level at the end that makes the inner edge of the smear."""
    if width >= arm:
        raise plain.MethodRefused(
            "smear_impossible",
            "No length of this rocker could produce so wide a mark: measure it again and check the arm.",
            {"width": width},
        )
    return math.sqrt(width * (2.0 * arm - width))


def check_smear(height, lift):
    """Refused unless a contact that runs out and back over this lift makes the inner edge at that height.

    Nearer than half the lift, the mark is narrower than any can be; beyond the lift, the contact never ran back.
    """
    if height < lift / 2.0:
        raise plain.MethodRefused(
            "smear_incomplete",
            "This mark is narrower than any length could make it: turn the engine through two turns and mark again.",
            {"valve_lift": lift},
        )
    if height > lift:
        raise plain.MethodRefused(
            "smear_runs_one_way",
            "In a mark this wide the contact did not run out and back: read the contacts closed and at full lift.",
            {"valve_lift": lift},
        )


def smear_pivot_height(roller_radius, height, inner_end, lift):
    """Pivot height above the closed tip from the inner edge's centre height; `lift` only where the open end made it."""
    return roller_radius - height if inner_end == "closed" else roller_radius - lift + height


def sought_pivot_height(arm, roller_radius, width, inner_end, lift):
    """The same pivot height found on the contact's curve itself, without the closed form: to compare with it."""
    square = roller_radius - (0.0 if inner_end == "closed" else lift)

    def lacks(height):
        return width - (arm - reach(arm, square - height))

    return zero_beyond(lacks, square, (-arm if inner_end == "closed" else arm) / STEPS, STEPS - 1)
