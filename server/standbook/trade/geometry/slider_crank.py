"""The slider-crank: swept volume, piston depth, speeds, acceleration, rod angle, deck stack (derived: geometry).

Lengths in mm, angles in degrees after top dead centre, crank speed in rpm. Frame: crank centre at 0, +y up the bore, +x
the side that the rod journal moves to just after top dead centre; a wrist-pin offset is positive on the +x side.
"""

import math

from .. import plain

#: The greatest piston speed lies between: at the first the piston gains speed with any rod, at the second it loses.
PEAK_BETWEEN = (60.0, 90.0)
HALVINGS = 60


def check_turns(stroke, rod, offset=0.0):
    """Raises Refusal where the crank cannot turn through: the rod must exceed half the stroke and the offset."""
    least = stroke / 2.0 + abs(offset)
    if rod <= least:
        raise plain.Refusal(
            "input_wrong",
            "rod_length: the crank could not turn; give the length centre to centre, more than "
            + plain.number_text(least, 3)
            + " mm here.",
            {"key": "rod_length", "unit": "mm"},
        )


def swept_volume(bore, stroke, cylinders):
    """Displacement in cm3 of so many cylinders."""
    return math.pi / 4.0 * bore * bore * stroke * cylinders / 1000.0


def _height(stroke, rod, angle, offset):
    """Height of the wrist pin above the crank centre."""
    radius, theta = stroke / 2.0, math.radians(angle)
    across = radius * math.sin(theta) - offset
    return radius * math.cos(theta) + math.sqrt(rod * rod - across * across)


def depth(stroke, rod, angle, offset=0.0):
    """Piston depth below its highest position."""
    reach = rod + stroke / 2.0
    return math.sqrt(reach * reach - offset * offset) - _height(stroke, rod, angle, offset)


def highest_angle(stroke, rod, offset=0.0):
    """Crank angle at which the piston stands highest: rod and crank throw in one line."""
    return math.degrees(math.asin(offset / (rod + stroke / 2.0)))


def true_stroke(stroke, rod, offset=0.0):
    """What the piston travels: a little more than the crank's stroke when the wrist pin is offset."""
    longest, shortest = rod + stroke / 2.0, rod - stroke / 2.0
    lowest = math.sqrt(max(shortest * shortest - offset * offset, 0.0))  # a rod just long enough: rounding may go below
    return math.sqrt(longest * longest - offset * offset) - lowest


def mean_speed(stroke, rpm):
    """Mean piston speed, m/s: two strokes a turn."""
    return 2.0 * stroke * rpm / 60.0 / 1000.0


def _radians_per_second(rpm):
    return 2.0 * math.pi * rpm / 60.0


def speed(stroke, rod, angle, rpm):
    """Piston speed, m/s, down the bore positive; exact, not the series of two terms."""
    radius, theta = stroke / 2.0, math.radians(angle)
    short = radius / rod
    sine, cosine = math.sin(theta), math.cos(theta)
    share = sine + short * sine * cosine / math.sqrt(1.0 - short * short * sine * sine)
    return radius * _radians_per_second(rpm) * share / 1000.0


def acceleration(stroke, rod, angle, rpm):
    """Piston acceleration, m/s2, down the bore positive: the slope of `speed` over time."""
    radius, turning = stroke / 2.0, _radians_per_second(rpm)
    return radius * turning * turning * _acceleration_share(radius / rod, math.radians(angle)) / 1000.0


def _acceleration_share(short, theta):
    """Acceleration over radius times turning speed squared; `short` is radius over rod length."""
    cosine, sine_squared = math.cos(theta), math.sin(theta) * math.sin(theta)
    upright = 1.0 - short * short * sine_squared
    bent = 1.0 - 2.0 * sine_squared + short * short * sine_squared * sine_squared
    return cosine + short * bent / (upright * math.sqrt(upright))


def peak_angle(stroke, rod):
    """Crank angle of the greatest piston speed: where the acceleration passes zero, by halving."""
    short = stroke / 2.0 / rod
    low, high = PEAK_BETWEEN
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        if _acceleration_share(short, math.radians(middle)) > 0.0:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def rod_angle(stroke, rod, angle):
    """Angle of the rod against the bore axis, degrees."""
    return math.degrees(math.asin(stroke / 2.0 / rod * math.sin(math.radians(angle))))


def deck_clearance(deck_height, stroke, rod, compression_height):
    """Deck clearance that the sizes promise; positive is below the deck."""
    return deck_height - (stroke / 2.0 + rod + compression_height)
