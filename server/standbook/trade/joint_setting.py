"""What to set on the wrench: the passes of a joint, the correction for an adapter, the wrench's band and range.

Torques in N*m, lengths in mm, angles in degrees. A setting holds only for the lubricant that the card names.
"""

from . import instruments, joint, limits, plain, quantity
from .metal import tension

#: At this torque and below a setting wrench has the wider tolerance (published: ISO 6789, type II class A).
SMALL_TORQUE = 10.0


class Pass:
    """One pass over a joint: to a torque, or by an angle (the other is None)."""

    def __init__(self, place, torque, angle=None):
        self.place = place
        self.torque = torque
        self.angle = angle


def passes(bench, one):
    """The passes of a joint in their order. Raises Refusal naming what is missing or does not fit together."""
    method, setting = bench.text("method"), bench.number("setting")
    if method is None or setting is None:
        raise _missing("the method" if method is None else "the torque of the card")
    torques = tension.staged(setting, _fractions(bench, method))
    angle = bench.number("angle")
    if method == joint.ANGLE and angle is None:
        raise _missing("the angle of the card")
    by_torque = torques if method == joint.ANGLE else torques[:-1]
    if len(by_torque) > len(joint.EARLIER):
        raise plain.Refusal("steps_many", "The card's steps are more than this record has passes: fewer, please.", {})
    found = [Pass(one.place(name), torque) for name, torque in zip(joint.EARLIER, by_torque)]
    last = Pass(one.place(joint.FINAL), None, angle) if method == joint.ANGLE else None
    return found + [last or Pass(one.place(joint.FINAL), torques[-1])]


def _missing(what):
    return plain.Refusal("joint_missing", "No setting yet: missing " + what + ".", {})


def _fractions(bench, method):
    """Shares of the torque: the card's own steps, else the usual ones; one pass where an angle follows."""
    typed = bench.text("steps")
    if typed is None:
        return (1.0,) if method == joint.ANGLE else tension.USUAL_STAGES
    figures = [plain.parse_number(word) for word in typed.replace(";", " ").replace("/", " ").split(" ") if word]
    if figures and figures[-1] == 1:
        return figures
    last = quantity.from_canonical("torque", bench.number("setting"), bench.at("setting").typed["unit"])
    if not figures or abs(figures[-1] - last) > 1e-6:
        raise plain.Refusal("steps_wrong", _steps_words(figures, last), {})
    return [figure / figures[-1] for figure in figures[:-1]] + [1]


def _steps_words(figures, last):
    words = "The card's last step is not the torque of the card: were two units mixed? Type steps and torque in one."
    if not figures:
        return "The card's steps are figures such as 30 50 65: type them again."
    other = _mixed(figures[-1], last)
    return words if other is None else words + " They differ as " + other + " do."


#: How far two units of torque lie apart (derived: arithmetic).
_MIXED = (
    (("lbf*ft", "N*m"), "ft-lb and N\u00b7m"),
    (("lbf*ft", "lbf*in"), "in-lb and ft-lb"),
    (("N*m", "lbf*in"), "in-lb and N\u00b7m"),
)
#: A card prints both units rounded.
MIX_CLOSENESS = 0.02


def _mixed(one, other):
    """The two units that a pair of figures for one torque may have been read in; None when they do not look so."""
    if one <= 0 or other <= 0:
        return None
    for units, words in _MIXED:
        ratio = quantity.to_canonical("torque", 1.0, units[0]) / quantity.to_canonical("torque", 1.0, units[1])
        for found in (one / other, other / one):
            if abs(found / ratio - 1.0) <= MIX_CLOSENESS:
                return words
    return None


def wrench_torque(bench, torque):
    """What to set on the wrench for a torque at the fastener. Raises Refusal where the adapter was not measured."""
    if bench.text("adapter") != joint.OFFSET:
        return torque
    sizes = [bench.number(name) for name in joint.ADAPTER_SIZES]
    if None in sizes:
        raise _missing("the sizes of the adapter: wrench length, adapter length and angle")
    return tension.wrench_setting(torque, sizes[0], sizes[1], sizes[2])


def band(torque):
    """(lowest, highest) torque that a click wrench in order may give at this setting."""
    key = "wrench_error" if torque > SMALL_TORQUE else "wrench_error_small"
    return tension.wrench_band(torque, limits.highest(key, "ratio"))


def out_of_range(bench, torque):
    """Why the wrench in hand is not to be used for this setting, in words; None when it is fit or unknown."""
    wrench = bench.instrument("wrench")
    ends = instruments.torque_range(wrench)
    if ends is None:
        return None
    shares = [bench.limits.number("wrench_setting_share_of_range", end, "set") for end in ("low", "high")]
    low, high = max(ends[0], ends[1] * shares[0] / 100.0), ends[1] * shares[1] / 100.0
    if low - 1e-9 <= torque <= high + 1e-9:
        return None
    unit = wrench["range_high"]["unit"]
    usable = quantity.text_in("torque", low, unit, 0) + " to " + quantity.text_in("torque", high, unit, 0)
    return (
        wrench["name"]
        + " is good for "
        + quantity.with_unit(usable, unit)
        + ": take another wrench."
        + _as_meant(bench, torque, low, high)
    )


def _as_meant(bench, torque, low, high):
    """Another unit in which the typed figure would suit the wrench: a question, nothing more."""
    typed = bench.at("setting").typed
    for unit in quantity.PICKED["torque"]:
        factor = quantity.to_canonical("torque", 1.0, unit) / quantity.to_canonical("torque", 1.0, typed["unit"])
        if unit != typed["unit"] and low <= torque * factor <= high:
            meant = quantity.with_unit(typed["text"], unit)
            return " Or did the card mean " + meant + "?"
    return ""


def unit(bench):
    """The unit of the wrench's own scale where it is known, else the card's: what the hand sets is shown in it."""
    wrench = bench.instrument("wrench")
    scale = wrench["step"]["unit"] if wrench and wrench["kind"] in instruments.TORQUE_KINDS else None
    return scale if scale in quantity.PICKED["torque"] else bench.at("setting").typed["unit"]
