"""Hydraulic preload: how deep a turned adjuster pushes the lifter's plunger. Lengths in mm, angles in degrees.

Derived: lever geometry of the rocker, its tip standing still on the closed valve. The lever takes its arms for square
to the stud, pushrod and lifter for parallel to it: with both leaning 15 degrees it says 3.5 percent too much, with the
pushrod leaning two thirds as far as the lifter less than 2. `plunger` takes everything as it lies: the linkage of
`rocker_train`, in its coordinates.
"""

import math

from .. import plain

STUD_NUT, PUSHROD_END, VALVE_END = "stud nut", "pushrod end screw", "valve end screw"
#: What the rounding of typed sizes may leave of a depth.
TYPED_TO = 0.001
ADJUSTERS = (STUD_NUT, PUSHROD_END, VALVE_END)


def adjuster_named(words):
    """The adjuster that is meant; a hyphen more or the word screw less is the same. Raises Refusal."""
    said = plain.bare(words).replace("-", " ")
    for adjuster in ADJUSTERS:
        if said in (adjuster, adjuster.replace(" screw", "")):
            return adjuster
    raise plain.Refusal(
        "input_wrong", "adjuster: " + ", ".join(ADJUSTERS[:2]) + " or " + VALVE_END + ".", {"key": "adjuster"}
    )


def pivot_drop(adjuster, turns, pitch):
    """How far the pivot comes down: only a stud nut moves it."""
    return turns * pitch if adjuster == STUD_NUT else 0.0


def depth(adjuster, turns, pitch, ratio):
    """How deep the plunger is pushed by so many turns past zero lash."""
    if adjuster == STUD_NUT:
        return turns * pitch * (1.0 + 1.0 / ratio)
    return turns * pitch if adjuster == PUSHROD_END else turns * pitch / ratio


def turns_for(wanted, pitch, ratio, adjuster=STUD_NUT):
    """Turns of the adjuster past zero lash for a wanted depth."""
    return wanted / depth(adjuster, 1.0, pitch, ratio)


def plunger(train, at, length, drop):
    """How deep the plunger is pushed when the pivot comes down its stud by `drop` from zero lash at `at`.

    `length` is the pushrod's, centre to centre, as it belongs to zero lash at that pivot position. Raises Refusal.
    """
    from . import rocker_train  # only the linkage needs it: a phone that starts must not wait for it

    cup, foot = _rocker_cup(train, at - drop), rocker_train.lifter_cup(train, 0.0)
    across, along = cup[0] - foot[0], cup[1] - foot[1]
    up = across * train.lifter[0] + along * train.lifter[1]
    aside = across * train.lifter[1] - along * train.lifter[0]
    deep = math.sqrt(length * length - aside * aside) - up if length > abs(aside) else -up
    if deep < -TYPED_TO:
        raise plain.Refusal(
            "input_wrong",
            "centre_to_centre_length: this leaves lash, give mm as at zero lash with that pivot position.",
            {"key": "centre_to_centre_length"},
        )
    return deep


def _rocker_cup(train, at):
    """The rocker's ball centre, roller on the closed tip, for a pivot position that was typed."""
    from . import rocker_train

    try:
        return rocker_train.rocker_cup(train, at, rocker_train.closed_arm(train, at))
    except plain.MethodRefused:
        raise plain.Refusal(
            "input_wrong",
            "pivot_position: the roller does not reach the tip, give mm along the stud from the tip.",
            {"key": "pivot_position"},
        ) from None
