"""Pushrod lengths: measured, converted from one basis to another, corrected, ordered, and shortened by load.

Lengths in mm. Derived: geometry of a sphere (crown), the rocker as a lever (a raised pivot), Hooke's law (load); the
step in which pushrods are sold is common practice.
"""

import math

from .. import plain

#: 0.050 in, common practice.
LENGTH_STEP = 1.27
MPA_PER_KPA = 0.001  # 1 MPa = 1 N/mm2


def checking_length(base, turns, pitch):
    """Length of an adjustable checking pushrod, turned out from its closed thread."""
    return base + turns * pitch


def crown(ball_diameter, flat_diameter):
    """Height that a flat, an oil hole or a gauge's contact circle of this diameter takes off one ball end."""
    ball, flat = ball_diameter / 2.0, flat_diameter / 2.0
    return ball - math.sqrt(ball * ball - flat * flat)


def change_for_raise(pivot_raise, ratio):
    """Pushrod change that goes with a pivot (or stand) raised by so much: tip and lifter stand still."""
    return pivot_raise * (1.0 + 1.0 / ratio)


def raise_for_change(length_change, ratio):
    """How far a longer pushrod lifts the pivot of a stud-mounted rocker."""
    return length_change / (1.0 + 1.0 / ratio)


def nearest_step(length, step):
    """The nearest length that is sold; half a step counts upwards."""
    return plain.round_away(length / step, 0) * step


def length_budget(head_closer, bore_angle, base_circle_smaller, tip_higher):
    """Pushrod change that keeps the pivot on its best height (stud mount), after changes since the mock-up.

    `head_closer`: what deck, head and gasket brought the head nearer along the bore; angle in degrees to the pushrod.
    """
    return base_circle_smaller + tip_higher - head_closer * math.cos(math.radians(bore_angle))


def for_real_lifter(measured, checker_cup, real_cup):
    """Length for the real lifter from one measured with a checking lifter, by the heights of their cups."""
    return measured + checker_cup - real_cup


def tube_area(outside, wall):
    """Metal area of a tube, mm2."""
    return math.pi * wall * (outside - wall)


def shortening(load, length, area, modulus):
    """How much shorter a rod stands under a load (N, mm2, modulus in kPa)."""
    return load * length / (area * modulus * MPA_PER_KPA)
