"""A fastener as a spring: stretch, tension, turn angle, growth for good. Lengths in mm, areas in mm2, forces in N.

Derived: springs in series (each part stretches by F*L/(A*E)). Elastic modulus and stress in kPa, compliance in mm/N,
angles in degrees. A reading of the stretch gauge is judged by the card's band (common practice: above its maximum the
bolt may have yielded, so it is never simply pulled again).
"""

from .. import plain

#: Elastic modulus of steel, 30.0e6 psi (published: Machinery's Handbook, elastic moduli, from memory).
STEEL = 206842719.0
KPA_IN_N_PER_MM2 = 1e-3
FULL_TURN = 360.0
#: Sizes are compared in whole millionths of a millimetre, as verdicts are: equal is inside.
PLACES = 6
TOO_LOW = "too low: loosen and tighten again"
INSIDE = "in"
TOO_HIGH = "loosen, measure free length, replace if set"


def compliance(segments, modulus):
    """Stretch per force of parts in series; `segments`: (length, area) each."""
    return plain.total([length / (area * modulus * KPA_IN_N_PER_MM2) for length, area in segments])


def tension(stretch, bolt_compliance):
    """The tension that makes this stretch."""
    return stretch / bolt_compliance


def stress(force, area):
    """Stress in kPa."""
    return force / area / KPA_IN_N_PER_MM2


def turn_angle(force, bolt_compliance, joint_compliance, pitch):
    """Angle after snug that brings the tension: the thread's advance is bolt stretch plus squeeze of the joint."""
    return FULL_TURN * force * (bolt_compliance + joint_compliance) / pitch


def permanent(before, after, allowed):
    """(growth of the free length, whether it is beyond what is allowed)."""
    growth = after - before
    return growth, plain.round_away(growth, PLACES) > plain.round_away(allowed, PLACES)


def reading(stretch, lowest, highest):
    """What to do with a bolt of this stretch, by the card's band."""
    at, low, high = [plain.round_away(length, PLACES) for length in (stretch, lowest, highest)]
    if at < low:
        return TOO_LOW
    return TOO_HIGH if at > high else INSIDE
