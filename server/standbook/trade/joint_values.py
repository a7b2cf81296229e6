"""What a joint's record shows beside what was typed: the setting of the wrench, corrected for its adapter."""

from . import joint, joint_setting, plain
from .work import Value, wants


def of_setup(bench, only=None):
    """The wrench setting of the last torque; shown only, since no limit judges it."""
    if not wants(only, "how"):
        return []
    number, missing = None, []
    try:
        torques = [each.torque for each in joint_setting.passes(bench, joint.Joint("", "", [])) if each.torque]
        number = joint_setting.wrench_torque(bench, torques[-1])
    except plain.Refusal as refusal:
        missing = [refusal.message]
    uses = ["setting", "adapter", "wrench_length", "adapter_length", "adapter_angle"]
    words = "Setting of the wrench for the card's torque"
    return [
        Value(
            "wrench_setting", words, "wrench setting", "how", number, uses, "", missing, kind="torque", extra_decimals=1
        )
    ]
