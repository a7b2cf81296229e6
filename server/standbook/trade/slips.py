"""Likely slips of pen, thumb and micrometer on one typed reading: asked once, never corrected by themselves.

All thresholds are common practice; the ones that are numbers of the limits table come from there. Values are in the
typed unit, so that the question speaks in the figures that the hand typed.
"""

from . import plain, quantity

#: One turn of the thimble: 40 threads an inch, or half a millimetre of pitch.
TURN = {"in": 0.025, "thou": 25.0, "mm": 0.5}
TURN_TEXT = {"in": "0.025 in", "thou": "25 thou", "mm": "0.5 mm"}
#: A sleeve is misread by one turn, hardly ever by more than a few.
MOST_TURNS = 4
UNIT_RATIOS = (
    (25.4, "mm", "in", "mm entered as inch", "This looks like millimetres typed as inches."),
    (1.0 / 25.4, "in", "mm", "inch entered as mm", "This looks like inches typed as millimetres."),
    (1000.0, "thou", "in", "thousandths entered as inch", "This looks like thousandths typed as inches."),
    (0.001, "in", "thou", "inch entered as thousandths", "This looks like inches typed as thousandths."),
)
DIGIT_RATIOS = (10.0, 0.1)
#: Plausible window around an expectation: the spec widened by 0.010 in, canonical.
WINDOW = 0.010 * 25.4


class Expectation:
    """What a reading should be near: `value` and a plausible window from `low` to `high`, canonical."""

    def __init__(self, value, low, high):
        self.value = value
        self.low = low
        self.high = high

    def in_unit(self, kind, unit):
        parts = [
            None if x is None else quantity.from_canonical(kind, x, unit) for x in (self.value, self.low, self.high)
        ]
        return Expectation(parts[0], parts[1], parts[2])


def suspicions(kind, typed, expected, limits, step_text=None, dial=False, set_value=False):
    """Slips suspected in one typed reading: [{"id", "message", "offer"}], at most the few that fit.

    `expected` is an Expectation or None; `step_text` the instrument's step in the typed unit, None when unknown.
    """
    number = plain.parse_number(typed["text"])
    found = _format_slips(typed, step_text, dial)
    if expected is None or expected.value is None:
        return found
    near = expected.in_unit(kind, typed["unit"])
    if _inside(number, near):
        return found
    guesses = _turn(number, typed, near, limits) if not set_value else []
    guesses = guesses or _swapped(typed, near) or _unit(number, typed, near, limits) or _dropped(number, near, limits)
    return guesses if guesses else [_far(near, typed)]


def _slip(slip_id, message, offer=None):
    return {"id": slip_id, "message": message, "offer": offer}


def _inside(number, near):
    return (near.low is None or number >= near.low - 1e-9) and (near.high is None or number <= near.high + 1e-9)


def turns_off(reading, expected, step, closeness):
    """Whole thimble turns between reading and expectation, 0 when it is none or not near enough to a whole turn."""
    turns = int(plain.round_away((reading - expected) / step, 0))
    off = abs(reading - expected - turns * step)
    return turns if turns and plain.round_away(off - closeness, 9) <= 0 else 0


def _turn(number, typed, near, limits):
    unit = typed["unit"]
    if unit not in TURN:
        return []
    closeness = limits.number("micrometer_turn_closeness", "high") * TURN[unit] / TURN["in"]
    if unit == "mm":
        closeness = limits.number("micrometer_turn_closeness", "high") * 25.4
    turns = turns_off(number, near.value, TURN[unit], closeness)
    if not 0 < abs(turns) <= MOST_TURNS:
        return []
    text = plain.number_text(number - turns * TURN[unit], plain.decimals_of(typed["text"]))
    count = "one turn" if abs(turns) == 1 else str(abs(turns)) + " turns"
    message = (
        "Exactly " + count + " (" + TURN_TEXT[unit] + " each) away: re-read the sleeve. Did you mean " + text + "?"
    )
    return [_slip("turn", message, {"text": text, "unit": unit})]


def swapped_digits(text, low, high):
    """Texts with two neighbouring digits exchanged that fall inside the window, in order of the exchange."""
    inside = []
    digits = [i for i, letter in enumerate(text) if letter in "0123456789"]
    for a, b in zip(digits, digits[1:]):
        other = text[:a] + text[b] + text[a + 1 : b] + text[a] + text[b + 1 :]
        if other != text and other not in inside and low <= plain.parse_number(other) <= high:
            inside.append(other)
    return inside


def _swapped(typed, near):
    if near.low is None or near.high is None:
        return []
    found = swapped_digits(plain.bare(typed["text"]), near.low, near.high)
    return [_slip("swapped", "Did you mean " + text + "?", {"text": text, "unit": typed["unit"]}) for text in found[:2]]


def wrong_unit(number, nominal, share):
    """The row of UNIT_RATIOS whose ratio the reading has to its nominal, within the share; None when none fits."""
    if nominal == 0:
        return None
    for row in UNIT_RATIOS:
        if abs(number / nominal / row[0] - 1.0) <= share + 1e-9:
            return row
    return None


def _share(limits):
    return limits.number("wrong_unit_ratio_closeness", "high") / 100.0


def _unit(number, typed, near, limits):
    row = wrong_unit(number, near.value, _share(limits))
    if row is None or row[2] != typed["unit"]:
        return []
    words = quantity.with_unit(plain.bare(typed["text"]), row[1])
    return [_slip("unit", row[4] + " Did you mean " + words + "?", {"text": plain.bare(typed["text"]), "unit": row[1]})]


def _dropped(number, near, limits):
    share = _share(limits)
    for ratio in DIGIT_RATIOS:
        if near.value and abs(number / near.value / ratio - 1.0) <= share + 1e-9:
            return [_slip("digit", "Ten times off: a digit missing, or the point in the wrong place?")]
    return []


def _format_slips(typed, step_text, dial):
    """Fewer or more decimals than the gauge shows. A dial may be read to a fifth of a division by eye."""
    if step_text is None:
        return []
    typed_places, gauge_places = plain.decimals_of(typed["text"]), plain.decimals_of(step_text)
    if typed_places == gauge_places - 1:
        return [_slip("digit", "The gauge reads to " + step_text + ": a digit missing?")]
    if typed_places > gauge_places + (1 if dial else 0):
        return [_slip("finer", "The gauge reads to " + step_text + " only: a digit too many?")]
    return []


def _far(near, typed):
    decimals = max(plain.decimals_of(typed["text"]), 3)
    about = quantity.with_unit(plain.number_text(near.value, decimals), typed["unit"])
    return _slip("far", "Far from the " + about + " expected here: look again.")


def copied(texts, most):
    """Index at which one found value stands more than `most` times in a row; None when it never does."""
    run = 1
    for at in range(1, len(texts)):
        run = run + 1 if texts[at] is not None and texts[at] == texts[at - 1] else 1
        if run > most:
            return at
    return None
