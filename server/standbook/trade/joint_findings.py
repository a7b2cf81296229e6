"""What software notices of a joint: mixed units, the wrong wrench or lubricant, passes that cannot be, the check.

Origin of the rules: common practice, but the wrench's range, which is ISO 6789's.
"""

from . import clock, instruments, joint, joint_progress, joint_setting, plain, quantity
from .limits import window
from .work import Finding, wants

LUBRICANT = "A torque holds only for the lubricant beside it. Ask the maker; never work out another torque."


def of_setup(bench, only=None):
    """Findings of how the joints of a step are tightened."""
    if not wants(only, "how"):
        return []
    found = _setting(bench) + _wrench(bench) + _written(bench)
    if bench.text("lubricant") in (joint.OTHER, joint.DRY):
        words = "The lubricant is not the one that the card names. " + LUBRICANT
        found.append(Finding("lubricant", "HOLD", words, "lubricant", "joint"))
    if bench.text("reuse") == joint.USED:
        words = "Single-use fasteners that were used before: fit new ones."
        found.append(Finding("used_before", "HOLD", words, "reuse", "joint"))
    return found


def _setting(bench):
    setting = bench.number("setting")
    if setting is None:
        return []
    low, high, unit = window("bolt_torque_window")
    ends = [quantity.to_canonical("torque", plain.parse_number(end), unit) for end in (low, high)]
    if ends[0] <= setting <= ends[1]:
        return []
    words = "A bolt's torque usually lies between " + low + " and " + quantity.with_unit(high, unit)
    return [Finding("setting_window", "WARN", words + ": look at the figure and its unit again.", "setting")]


def _wrench(bench):
    wrench = bench.at("wrench")
    if wrench is None:
        return []
    if not wrench.instrument:
        words = "The torque wrench is not on the shop's list: whether its calibration is in date nobody knows."
        return [Finding("wrench_unknown", "WARN", words, "wrench", "instrument")]
    if wrench.instrument["kind"] not in instruments.TORQUE_KINDS:
        words = wrench.instrument["name"] + " is no torque wrench: name the one in your hand."
        return [Finding("wrench_kind", "HOLD", words, "wrench", "instrument")]
    return _range(bench)


def _range(bench):
    """The first pass that the wrench is not good for."""
    for torque in _torques(bench):
        try:
            words = joint_setting.out_of_range(bench, joint_setting.wrench_torque(bench, torque))
        except plain.Refusal:
            return []
        if words is not None:
            shown = quantity.show("torque", torque, bench.at("setting").typed["unit"])["words"]
            return [Finding("wrench_range", "WARN", "For " + shown + ": " + words, "wrench", "instrument")]
    return []


def _torques(bench):
    try:
        return [each.torque for each in joint_setting.passes(bench, joint.Joint("", "", [])) if each.torque is not None]
    except plain.Refusal:
        return []


def _written(bench):
    """What was typed about the steps and the adapter and cannot be used."""
    found = []
    if bench.number("setting") is not None and bench.text("method") is not None:
        try:
            joint_setting.passes(bench, joint.Joint("", "", []))
        except plain.Refusal as refusal:
            if refusal.code != "joint_missing":
                found.append(Finding("steps", "WARN", refusal.message, "steps"))
    if bench.text("adapter") == joint.OFFSET and bench.number("setting") is not None:
        try:
            joint_setting.wrench_torque(bench, bench.number("setting"))
        except plain.Refusal as refusal:
            words = "An offset adapter changes what is set. " + refusal.message
            found.append(Finding("adapter", "HOLD", words, "adapter", "missing"))
    return found


def of_joint(bench, one, only=None):
    """Findings of one joint."""
    if not wants(only, one.id):
        return []
    found = _felt(bench, one) + _order(bench, one)
    try:
        passes, turn = joint_setting.passes(bench, one), joint.in_turn(bench, one)
    except plain.Refusal as refusal:
        if joint_progress.started(bench, one):
            found.append(Finding("unclear." + one.id, "HOLD", one.words + ": " + refusal.message, None, "missing"))
        return found
    return found + _passes(bench, one, passes, turn) + _check(bench, one, passes) + _retorque(bench, one)


def _order(bench, one):
    """What was typed of order and coordinates and does not fit the joint."""
    if bench.text("order") is None and bench.text("points") is None:
        return []
    try:
        joint.in_turn(bench, one)
    except plain.Refusal as refusal:
        place = "points" if refusal.code == "points_wrong" else "order"
        return [Finding(place + "." + one.id, "WARN", one.words + ": " + refusal.message, place, "order")]
    return []


def _felt(bench, one):
    """A fastener that keeps turning is yielding, or its thread is pulling; no joint is done before it is dealt with."""
    found = []
    for number, word in joint_progress.wrong(bench, one):
        words = one.words + ", " + one.fastener_words(number) + " " + dict(joint.WRONG)[word] + ". "
        stop = word == joint.KEPT_TURNING
        words += "It yields or its thread pulls: mark it, take it out, fit a new one." if stop else _LOOSEN
        severity = "STOP" if stop else "HOLD"
        found.append(Finding("felt." + one.id + "." + number, severity, words, one.felt(number), "joint"))
    return found


_LOOSEN = "Loosen it, look at thread, face and lubricant, then tighten it again or fit a new one."


def _passes(bench, one, passes, turn):
    """Passes in an impossible order or time, and a setting that was changed after the first of them."""
    if not joint_progress.started(bench, one):
        return []
    progress = joint_progress.Progress(bench, one, passes, turn)
    found, last = [], passes[-1].place
    if bench.at(last) is not None and not progress.tight:
        words = one.words + ": the last pass stands here without the passes before it. " + _AGAIN
        found.append(Finding("passes." + one.id, "HOLD", words, last, "order"))
    changed = [name for name in _BINDING if joint_progress.after(bench, name, passes[0].place)]
    if changed:
        words = one.words + ": how it is tightened was changed after its first pass. " + _AGAIN
        found.append(Finding("changed." + one.id, "HOLD", words, changed[0], "order"))
    for name in one.before_final:
        if bench.at(last) is not None and (bench.text(name) != "yes" or joint_progress.after(bench, name, last)):
            words = one.words + ": the thrust main was not lined up before the last pass. " + _AGAIN
            found.append(Finding("late." + name, "HOLD", words, name, "order"))
    return found + _times(bench, one, passes)


_AGAIN = "Loosen the joint and begin again with the first pass, or the lead decides."
#: What a pass rests on.
_BINDING = (
    "method", "reuse", "setting", "angle", "steps", "card_lubricant", "lubricant", "adapter", "wrench_length",
    "adapter_length", "adapter_angle",
)  # fmt: skip


def _times(bench, one, passes):
    """Passes confirmed faster than a hand can tighten. Time is judged by the pass: both hands are on the wrench."""
    least = bench.limits.number("seconds_for_each_fastener", "low") * len(one.fasteners)
    before, found = joint_progress.latest(bench, "wrench"), []
    for at, each in enumerate(passes):
        entry = joint_progress.latest(bench, each.place)
        seconds = _seconds(before, entry)
        if seconds is not None and seconds < least:
            words = (
                one.words + ", pass " + str(at + 1) + ": " + str(len(one.fasteners)) + " fasteners in "
                + plain.number_text(seconds, 0) + " seconds. Was it done, or only confirmed?"
            )  # fmt: skip
            found.append(Finding("time." + each.place, "WARN", words, each.place, "order"))
        before = entry
    return found


def _seconds(one, other):
    """Seconds from one entry to a later one of the same device; None where they cannot be compared.

    What is only looked at ahead has no device: it is asked about on the phone in the hand.
    """
    if one is None or other is None or other.device not in ("", one.device) or not one.rank < other.rank:
        return None
    gone = clock.minutes_between(one.made_at, other.made_at)
    return None if gone is None else gone * 60.0


def _check(bench, one, passes):
    place = one.place("check")
    answer, entry = bench.text(place), joint_progress.latest(bench, place)
    if answer is None:
        return []
    found = []
    if answer == joint.MOVED and not joint_progress.after(bench, passes[0].place, place):
        words = one.words + ": a fastener moved under the second person's wrench. All are loosened and tightened again."
        found.append(Finding("moved." + one.id, "HOLD", words, place, "joint"))
    if answer in (joint.CLICKED, joint.MOVED) and not joint_progress.click_fits(bench):
        words = one.words + ": no wrench goes on this joint again, a click proves nothing here. "
        words += "The angle is watched while it is turned, or read by the paint marks."
        found.append(Finding("click." + one.id, "HOLD", words, place, "joint"))
    if answer in (joint.WATCHED, joint.MARKS) and joint_progress.click_fits(bench):
        words = one.words + ": there is no angle to watch, the second person pulls each fastener to its click."
        found.append(Finding("no_angle." + one.id, "HOLD", words, place, "joint"))
    if entry is not None and entry.person in joint_progress.doers(bench, passes):
        words = one.words + ": checked by the one who tightened it. Somebody else checks it, the lead where nobody is."
        found.append(Finding("own_check." + one.id, "HOLD", words, place, "joint"))
    if answer != joint.WATCHED and joint_progress.after(bench, passes[-1].place, place):
        words = one.words + ": tightened again after the second person's check. It is checked again."
        found.append(Finding("check_old." + one.id, "HOLD", words, place, "order"))
    return found


def _retorque(bench, one):
    """Composition gaskets once more over all after ten minutes; never where no wrench may go on again."""
    place, last = one.place("retorque"), one.place(joint.FINAL)
    if bench.text(place) == "yes" and not joint_progress.click_fits(bench):
        words = one.words + ": gone over again, which such a joint must never be. The lead decides."
        return [Finding("retorque_wrong." + one.id, "HOLD", words, place, "joint")]
    if not joint_progress.wants_retorque(bench) or bench.at(last) is None:
        return []
    least = bench.limits.number("minutes_before_retorque", "low")
    if bench.text(place) != "yes" or joint_progress.after(bench, last, place):
        words = one.words + ": the gasket settles. After " + plain.number_text(least, 0) + " minutes the last setting "
        words += "goes over all of them once more."
        return [Finding("retorque." + one.id, "HOLD", words, place, "missing")]
    seconds = _seconds(joint_progress.latest(bench, last), joint_progress.latest(bench, place))
    if seconds is None or seconds >= least * 60.0:
        return []
    words = one.words + ": gone over again after " + plain.number_text(seconds / 60.0, 0) + " minutes. Wait "
    words += plain.number_text(least, 0) + ", then once more."
    wait = {"since": joint_progress.latest(bench, last).made_at, "minutes": least}
    return [Finding("retorque_early." + one.id, "WARN", words, place, "wait", wait)]


def of_step(bench, joints, only=None):
    """All of a step: how it is tightened, then joint by joint."""
    found = of_setup(bench, only)
    for one in joints:
        found.extend(of_joint(bench, one, only))
    return found
