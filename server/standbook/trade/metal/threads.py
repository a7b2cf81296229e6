"""Screw threads: stress areas and proof loads. Lengths in mm, areas in mm2, stresses in kPa, forces in N.

Published: ASME B1.1 (inch threads) and ISO 898-1 (metric threads), nominal stress area. The two conventions differ by
1.2 to 1.3 %, so a thread says which family it belongs to.
"""

import math

from .. import plain

#: What of the pitch is taken off the nominal diameter on the way to the stress area.
DEPTHS = {"unified": 0.9743, "metric": 0.9382}
#: The same for the stricter area, off half the smallest pitch diameter.
STRICT_DEPTH = 0.16238
FAMILIES = ("unified", "metric")
#: Nominal diameter less pitch diameter, in pitches (60 degree thread form).
PITCH_DIAMETER_DEPTH = 0.649519
KPA_IN_N_PER_MM2 = 1e-3


def stress_area(diameter, pitch, family):
    """Tensile stress area pi/4*(D - depth*P)^2. Raises Refusal for a pitch that leaves no metal, or another family."""
    if family not in DEPTHS:
        raise plain.Refusal("input_wrong", "thread_family: unified or metric.", {"key": "thread_family"})
    core = diameter - DEPTHS[family] * pitch
    if core <= 0:
        raise _no_metal()
    return math.pi / 4.0 * core * core


def strict_area(min_pitch_diameter, pitch):
    """Stress area of an inch thread in steel above 180 000 psi: pi*(d2min/2 - 0.16238*P)^2, with the smallest pitch
    diameter that the thread's class lets through.

    Published: FED-STD-H28/2B, as Machinery's Handbook has it. Raises Refusal for a pitch that leaves no metal.
    """
    radius = min_pitch_diameter / 2.0 - STRICT_DEPTH * pitch
    if radius <= 0:
        raise _no_metal()
    return math.pi * radius * radius


def _no_metal():
    return plain.Refusal(
        "input_wrong",
        "thread_pitch: this pitch leaves no metal in a thread of this diameter, look whether they were swapped.",
        {"key": "thread_pitch"},
    )


def proof_load(proof_stress, area):
    """Tension up to which the thread comes back to its length: proof stress times stress area."""
    return proof_stress * KPA_IN_N_PER_MM2 * area


def pitch_diameter(diameter, pitch):
    """Pitch diameter of the basic 60 degree profile."""
    return diameter - PITCH_DIAMETER_DEPTH * pitch
