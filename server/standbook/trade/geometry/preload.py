"""Hydraulic preload: how deep a turned adjuster pushes the lifter's plunger. Lengths in mm, angles in degrees.

Derived: lever geometry of the rocker, its tip standing still on the closed valve. The lever takes its arms for square
to the stud, pushrod and lifter for parallel to it: with both leaning 15 degrees it says 3.5 percent too much, with the
pushrod leaning two thirds as far as the lifter less than 2. `Linkage` takes everything as it lies.
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


def turns_for(wanted, pitch, ratio):
    """Turns of a stud nut past zero lash for a wanted depth."""
    return wanted / ((1.0 + 1.0 / ratio) * pitch)


class Linkage:
    """Rocker on its stud, pushrod and lifter in the rocker's plane.

    Origin: centre of the closed valve's tip; +y along the stem from valve head to tip, +x across it, away from the
    pivot. Arms are lengths from the pivot; leans count from the stem, positive where the upper end leans to +x.
    """

    def __init__(self, valve_arm, roller, pushrod_arm, arm_angle, stud_offset, stud_lean, lifter, lifter_lean):
        self.valve_arm = valve_arm
        self.roller = roller
        self.pushrod_arm = pushrod_arm
        self.arm_angle = math.radians(arm_angle)
        self.stud_offset = stud_offset
        self.stud_lean = math.radians(stud_lean)
        self.lifter = lifter
        self.lifter_lean = math.radians(lifter_lean)

    def _cup(self, position):
        """Centre of the pushrod's upper ball, roller on the closed tip, pivot so far up its stud from the tip plane."""
        across = position * math.sin(self.stud_lean) - self.stud_offset
        along = position * math.cos(self.stud_lean)
        rise = (self.roller - along) / self.valve_arm
        if abs(rise) > 1.0:
            raise plain.Refusal(
                "input_wrong",
                "pivot_position: the roller does not reach the tip; give mm along the stud from the tip.",
                {"key": "pivot_position", "unit": "mm"},
            )
        turned = math.asin(rise) + self.arm_angle
        return across + self.pushrod_arm * math.cos(turned), along + self.pushrod_arm * math.sin(turned)

    def plunger(self, position, length, drop):
        """How deep the plunger is pushed when the pivot comes down its stud by `drop` from zero lash at `position`.

        `length` is the pushrod's, centre to centre, as it belongs to zero lash at that position.
        """
        cup = self._cup(position - drop)
        across, along = cup[0] - self.lifter[0], cup[1] - self.lifter[1]
        up = across * math.sin(self.lifter_lean) + along * math.cos(self.lifter_lean)
        aside = across * math.cos(self.lifter_lean) - along * math.sin(self.lifter_lean)
        deep = math.sqrt(length * length - aside * aside) - up if length > abs(aside) else -up
        if deep < -TYPED_TO:
            raise plain.Refusal(
                "input_wrong",
                "centre_to_centre_length: this leaves lash; give mm as at zero lash with that pivot position.",
                {"key": "centre_to_centre_length", "unit": "mm"},
            )
        return deep
