"""Sizes and clearances of round parts. Lengths in mm, temperatures in degC, expansion in 1/K.

Derived: arithmetic on the trade's definitions (diametral out-of-round and taper) and linear expansion.
"""


def clearance(bore, journal):
    """Oil clearance: upright bore with shells in and the joint tightened, less the largest journal reading."""
    return bore - journal


def clearance_from_shells(housing, upper_wall, lower_wall, journal):
    """Oil clearance predicted from the shell walls: for choosing size codes only."""
    return housing - upper_wall - lower_wall - journal


def eccentricity(first_leaning, second_leaning, upright):
    """Mean of the two leaning bores less the upright one; positive = tighter at the crown, as intended."""
    return (first_leaning + second_leaning) / 2.0 - upright


def spread(values):
    """Largest less smallest."""
    return max(values) - min(values)


def reference_size(size, expansion, part_temperature, reference=20.0):
    """(correction, size at the reference temperature): D*(1 - alpha*(T - T_ref))."""
    correction = size * expansion * (part_temperature - reference)
    return correction, size - correction


def growth(diameter, block_expansion, shaft_expansion, rise):
    """Free growth of a housing over its shaft, an upper bound: caps and studs hold part of it back."""
    return diameter * (block_expansion - shaft_expansion) * rise
