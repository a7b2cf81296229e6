"""Torque against tension, and what the wrench has to do with it. Torques in N*m, forces in N, lengths in mm.

The nut factor (short form) is a definition; the long form is screw mechanics with a thread of 60 degrees, without the
small term of second order in friction times lead (same form as VDI 2230-1, from memory). A torque wrench is only an
indirect way to set a tension.
"""

import math

from .. import plain

MM_IN_M = 1000.0
#: Shares of the final torque in which a joint is brought up where the card gives none (common practice).
USUAL_STAGES = (0.5, 0.75, 1.0)
COS_HALF_THREAD = math.cos(math.pi / 6.0)


def tension_from_torque(torque, nut_factor, diameter):
    """F = T/(K*D): an estimate, never a way to invent a torque."""
    return torque * MM_IN_M / (nut_factor * diameter)


def torque_from_tension(tension, pitch, pitch_diameter, face_diameter, thread_friction, head_friction):
    """T = F*(P/(2 pi) + mu_t*d2/(2 cos 30) + mu_h*Dh/2): lead, thread friction, friction of the turning face."""
    arms = (
        pitch / (2.0 * math.pi),
        thread_friction * pitch_diameter / (2.0 * COS_HALF_THREAD),
        head_friction * face_diameter / 2.0,
    )
    return tension * plain.total(arms) / MM_IN_M


def nut_factor(torque, tension, diameter):
    """K that gives this torque for this tension."""
    return torque * MM_IN_M / (tension * diameter)


def wrench_setting(joint_torque, wrench_length, adapter_length, adapter_angle):
    """What to set on a wrench with an offset adapter: T*Lw/(Lw + E*cos(a)). Raises Refusal for one folded too far back.

    `wrench_length` drive centre to hand centre, `adapter_length` drive centre to fastener centre, `adapter_angle` in
    degrees, 0 = straight out. At a right angle the adapter changes nothing.
    """
    reach = wrench_length + adapter_length * math.cos(math.radians(adapter_angle))
    if reach <= 0:
        raise plain.Refusal(
            "input_wrong",
            "adapter_length: folded back, this adapter puts the fastener at or behind the hand, measure both again.",
            {"key": "adapter_length"},
        )
    return joint_torque * wrench_length / reach


def wrench_band(torque, tolerance):
    """(lowest, highest) torque that a wrench of this tolerance may give at this setting."""
    return torque * (1.0 - tolerance), torque * (1.0 + tolerance)


def staged(final_torque, fractions):
    """The torque of each step. Raises Refusal unless the steps rise and the last one is the whole torque."""
    if not fractions or fractions[-1] != 1 or fractions[0] <= 0 or not _rises(fractions):
        raise plain.Refusal(
            "input_wrong",
            "fractions: shares of the final torque that rise from above 0 to 1, such as [0.5, 0.75, 1].",
            {"key": "fractions"},
        )
    return [final_torque * fraction for fraction in fractions]


def _rises(numbers):
    return all(earlier <= later for earlier, later in zip(numbers, numbers[1:]))
