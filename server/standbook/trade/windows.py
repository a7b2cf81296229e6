"""What is plausible for an input of a calculator: outside it there is a question, never a verdict on a part.

The windows are common practice and stand in the engine's specification and in the limits table; here stands only which
input they belong to. Ten times beyond one is a slip of unit or digit: that is refused.
"""

from . import engine, limits, plain, quantity
from .calculator import written, wrong

#: input -> field of the engine's specification
OF_ENGINE = {
    "bore_diameter": "bore",
    "stroke": "stroke",
    "rod_length": "rod_length",
    "deck_height": "deck_height",
    "compression_height": "compression_height",
    "wrist_pin_offset": "pin_offset",
    "cylinders": "cylinders",
    "bank_angle": "bank_angle",
    "rocker_ratio": "rocker_ratio",
}
#: input -> row of the limits table
OF_TABLE = {
    "torque": "bolt_torque_window",
    "joint_torque": "bolt_torque_window",
    "set_torque": "bolt_torque_window",
    "final_torque": "bolt_torque_window",
    "hot_lash": "lash_window",
    "engine_speed": "engine_speed_window",
    "compression_ratio": "compression_ratio_window",
}
#: Where the same word means another thing: a housing is no cylinder, an engine's torque is no bolt's.
MEANS_ANOTHER = (("housing-growth", "bore_diameter"), ("power", "torque"), ("bmep", "torque"))
SLIP = 10.0


def window(calculator, key):
    """(low, high, unit) as text for an input, None where the trade names no range."""
    if (calculator, key) in MEANS_ANOTHER:
        return None
    if key in OF_ENGINE:
        return engine.BY_NAME[OF_ENGINE[key]].window
    return limits.window(OF_TABLE[key]) if key in OF_TABLE else None


def words(calculator, key):
    """ "plausible is 2.5 to 5.0 in", empty where the trade names no range."""
    found = window(calculator, key)
    if found is None:
        return ""
    low, high, unit = found
    return "plausible is " + low + " to " + high + ("" if unit == "1" else " " + written(unit))


def question(calculator, key, kind, value):
    """A caution for a value outside its window, None inside. Raises Refusal for one that is ten times beyond."""
    found = window(calculator, key)
    if found is None:
        return None
    low, high = [quantity.to_canonical(kind, plain.parse_number(end), found[2]) for end in found[:2]]
    slack = 1e-9 * max(abs(low), abs(high))
    if low - slack <= value <= high + slack:
        return None
    said = ", check the number and its unit"
    if value > SLIP * high or value < (low / SLIP if low > 0 else SLIP * low):
        raise wrong(key, ": this is far outside what an engine has" + said)
    return key + ": outside the usual range, " + words(calculator, key) + said + "."
