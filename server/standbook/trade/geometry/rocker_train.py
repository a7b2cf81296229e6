"""Lifter, pushrod, rocker and valve as a planar linkage: where all stands at a lobe lift, and the best pushrod.

Lengths in mm, angles in degrees at the interface. Origin: centre of the closed valve's tip; y along the stem from the
valve's head to the tip; x across it, + outboard, away from the pivot, which stands at negative x. A lean is + when the
upper end leans outboard. A pushrod's length is from ball centre to ball centre. A "pivot position" is counted along
the stud from the plane of the closed tip; its height is that times the cosine of the stud's lean.

Rigid parts, no lash. Derived: geometry (two circles that meet: the cup about the pivot, the cup about the lifter).
"""

import math

from .. import plain
from . import roller_tip
from .crossing import zero_beyond

#: A search walks from a square arm to the end of the arm in so many steps.
STEPS = 64
#: With the valve closed the linkage must find the valve closed: of the arm, what floats leave.
CLOSED = 1e-9


class Train:
    """The sizes of one valve's rocker, and where its stud and its lifter stand.

    rocker: pivot to roller centre, roller radius, pivot to the pushrod's ball centre, angle from the valve arm to the
    pushrod arm (counter-clockwise). stud: its axis from the stem's in the plane of the closed tip, its lean. lifter:
    its ball centre on the base circle across and along the stem, its lean.
    """

    def __init__(self, rocker, stud, lifter):
        self.valve_arm, self.roller_radius, self.pushrod_arm = rocker[:3]
        self.arm_angle = math.radians(rocker[3])
        self.stud_offset = stud[0]
        self.stud = _leaning(stud[1])
        self.lifter_cup = (lifter[0], lifter[1])
        self.lifter = _leaning(lifter[2])


class Position:
    """Where the train stands at one lobe lift: valve lift, contact, rocker ratio of the moment, arm angle (degrees)."""

    def __init__(self, lift, contact, ratio, arm_angle):
        self.lift = lift
        self.contact = contact
        self.ratio = ratio
        self.arm_angle = arm_angle


class Sweep:
    """What one pushrod does over the whole lobe lift, set to zero lash by the pivot's height."""

    def __init__(self, pivot_position, length, lift, mark):
        self.pivot_position = pivot_position
        self.length = length
        self.lift = lift
        self.mark = mark


def _leaning(degrees):
    """Unit vector of an axis that leans from the stem."""
    lean = math.radians(degrees)
    return math.sin(lean), math.cos(lean)


def _distance(first, second):
    across, along = first[0] - second[0], first[1] - second[1]
    return math.sqrt(across * across + along * along)


def pivot(train, at):
    """The rocker's pivot with its position along the stud."""
    return at * train.stud[0] - train.stud_offset, at * train.stud[1]


def lifter_cup(train, lobe_lift):
    """The lifter's ball centre at a lobe lift."""
    across, along = train.lifter_cup
    return across + lobe_lift * train.lifter[0], along + lobe_lift * train.lifter[1]


def rocker_cup(train, at, arm):
    """The rocker's ball centre, its valve arm standing at `arm` (radians)."""
    across, along = pivot(train, at)
    turned = arm + train.arm_angle
    return across + train.pushrod_arm * math.cos(turned), along + train.pushrod_arm * math.sin(turned)


def closed_arm(train, at):
    """Angle of the valve arm (radians) with the roller on the closed tip; refused where it does not reach."""
    height = train.roller_radius - pivot(train, at)[1]
    return math.atan2(height, roller_tip.reach(train.valve_arm, height))


def zero_lash_length(train, at):
    """The pushrod that stands without lash under this pivot position, valve closed."""
    return _distance(rocker_cup(train, at, closed_arm(train, at)), lifter_cup(train, 0.0))


def position(train, at, length, lobe_lift):
    """Where the train stands at a lobe lift; refused where pushrod and rocker cannot meet, or not as a rocker does."""
    centre, foot = pivot(train, at), lifter_cup(train, lobe_lift)
    apart = _distance(foot, centre)
    cosine = _cosine_at_pivot(train.pushrod_arm, apart, length)
    # Of the two places where the circles meet, the cup is the one on the pushrod's side.
    turned = math.atan2(foot[1] - centre[1], foot[0] - centre[0]) - math.acos(cosine)
    arm = _within_half_turn(turned - train.arm_angle)
    across, along = math.cos(arm), math.sin(arm)
    return Position(
        train.roller_radius - centre[1] - train.valve_arm * along,
        centre[0] + train.valve_arm * across,
        _ratio(train, turned, (centre, foot, length), across),
        math.degrees(arm),
    )


def _cosine_at_pivot(arm, apart, length):
    """Cosine of the pivot's angle in the triangle of pivot, lifter and cup; refused unless there is such a triangle."""
    cosine = (arm * arm + apart * apart - length * length) / (2.0 * arm * apart) if apart > 0.0 else 1.0
    if abs(cosine) >= 1.0:
        raise plain.MethodRefused(
            "pushrod_out_of_reach",
            "This pushrod cannot reach from the lifter to the rocker: check its length and the lifter's place.",
            {"length": length},
        )
    return cosine


def _within_half_turn(angle):
    return (angle + math.pi) % (2.0 * math.pi) - math.pi


def _ratio(train, turned, triangle, arm_across):
    """Valve lift for a little lobe lift: the pushrod's pull on the cup, by the arms on both sides of the pivot."""
    centre, foot, length = triangle
    cup = (train.pushrod_arm * math.cos(turned), train.pushrod_arm * math.sin(turned))
    rod = ((centre[0] + cup[0] - foot[0]) / length, (centre[1] + cup[1] - foot[1]) / length)
    push = rod[0] * train.lifter[0] + rod[1] * train.lifter[1]
    if push <= 0.0 or arm_across <= 0.0:
        raise plain.MethodRefused(
            "no_rocker",
            "With these sizes the lifter would not open the valve: check places, angles and the pushrod's length.",
            {"length": length},
        )
    return push * train.valve_arm * arm_across / abs(cup[0] * rod[1] - cup[1] * rod[0])


# --- one pushrod over the whole lift ----------------------------------------------------------------------------


def swept(train, at, lobe_lift):
    """The sweep of the pushrod that stands without lash under this pivot position."""
    length = zero_lash_length(train, at)
    if abs(position(train, at, length, 0.0).lift) > CLOSED * train.valve_arm:
        raise plain.MethodRefused(
            "wrong_side",
            "With these sizes the pushrod would stand on the wrong side of the pivot: check the lifter's place.",
            {"length": length},
        )
    lift = position(train, at, length, lobe_lift).lift
    across, height = pivot(train, at)
    mark = roller_tip.mark(train.valve_arm, train.roller_radius - height, lift, across)
    return Sweep(at, length, lift, mark)


def _square_when_closed(train):
    """Pivot position at which the arm is square to the stem with the valve closed: where searches begin."""
    return train.roller_radius / train.stud[1]


def _step(train):
    return train.valve_arm / STEPS / train.stud[1]


def pivot_for(train, length):
    """Pivot position that takes up the lash of a pushrod of this length (stud mount); refused when there is none."""

    def short_by(at):
        return zero_lash_length(train, at) - length

    start, step = _square_when_closed(train), _step(train)
    found = zero_beyond(short_by, start, step if short_by(start) < 0 else -step, STEPS - 1)
    if found is None:
        raise plain.MethodRefused(
            "length_impossible",
            "No height of the pivot takes a pushrod of this length to zero lash: check the length and its basis.",
            {"length": length},
        )
    return found


def best(train, lobe_lift):
    """The sweep of the narrowest mark: closed and open contact meet, the arm is square to the stem at half lift."""

    def travel(at):
        mark = swept(train, at, lobe_lift).mark
        return mark.opened - mark.closed

    found = zero_beyond(travel, _square_when_closed(train), -_step(train), STEPS - 1)
    if found is None:
        raise plain.MethodRefused(
            "no_best_length",
            "No pushrod length puts this arm square to the stem at half lift: check arms, angles and places.",
            {},
        )
    return swept(train, found, lobe_lift)


def centred(train, lobe_lift, narrowest):
    """(shorter, longer): sweeps that put the middle of the mark on the stem's centre, None where no length does."""

    def off_centre(at):
        return swept(train, at, lobe_lift).mark.mean()

    sweeps = []
    for step in (-_step(train), _step(train)):
        found = zero_beyond(off_centre, narrowest.pivot_position, step, STEPS)
        sweeps.append(None if found is None else swept(train, found, lobe_lift))
    return sweeps[0], sweeps[1]
