"""Likely slips of pen, thumb and micrometer on one typed reading: asked once, never corrected by themselves.

All thresholds are common practice; the ones that are numbers of the limits table come from there. Values are in the
typed unit, so that the question speaks in the figures that the hand typed.
"""

from . import instruments, plain, quantity

#: Kinds of quantity whose readings are looked at for slips.
KINDS = instruments.ASKED + ("turns",)
#: Plausible window around an expectation: the spec widened by 0.010 in, canonical.
WINDOW = 0.010 * 25.4
#: One turn of the thimble: 40 threads an inch, or half a millimetre of pitch.
TURN = {"in": 0.025, "thou": 25.0, "mm": 0.5}
TURN_TEXT = {"in": "0.025 in", "thou": "25 thou", "mm": "0.5 mm"}
THIMBLES = ("outside_micrometer", "outside_micrometer_metric", "ball_anvil_micrometer")
#: A sleeve is misread by one turn, hardly ever by more than a few.
MOST_TURNS = 4
# times, typed unit meant, unit of the field, short name, sentence
UNIT_RATIOS = (
    (25.4, "mm", "in", "mm entered as inch", "This looks like millimetres typed as inches."),
    (1.0 / 25.4, "in", "mm", "inch entered as mm", "This looks like inches typed as millimetres."),
    (1000.0, "thou", "in", "thousandths entered as inch", "This looks like thousandths typed as inches."),
    (0.001, "in", "thou", "inch entered as thousandths", "This looks like inches typed as thousandths."),
)
#: (unit meant, unit of the field) of torques; their ratios, 1.356 and 12 among them, are the units' own (derived).
TORQUE_UNITS = (("N*m", "lbf*ft"), ("lbf*in", "lbf*ft"), ("lbf*ft", "N*m"), ("lbf*ft", "lbf*in"), ("N*m", "lbf*in"))
DIGIT_RATIOS = (10.0, 0.1)
#: So many other readings make a family that one can be the odd one of.
FEWEST_MATES = 3
#: A torque or an angle is expected as near to its mates as a first movement reads to the tightening (common practice).
SHARE = 0.10
#: The same figures with the point elsewhere: how many decimals more.
SHIFTED = {("in", "thou"): -3, ("thou", "in"): 3}
#: Decimals of a size read without a named gauge: the nominal's.
USUAL_DECIMALS = {"in": 4, "mm": 2}


class Expectation:
    """What a reading should be near: `value` and a plausible window from `low` to `high`, canonical.

    `band`: (low, high) of the limit itself where the window is wider, for slips that stay inside the window. `is_size`:
    read as sizes are, to the last decimal of a micrometer; a blade or a dial has fewer.
    """

    def __init__(self, value, low, high, band=None, is_size=True):
        self.value = value
        self.low = low
        self.high = high
        self.band = band
        self.is_size = is_size

    def in_unit(self, kind, unit):
        """The same in the typed unit."""
        parts = [quantity.from_canonical(kind, x, unit) for x in (self.value, self.low, self.high)]
        band = self.band and [quantity.from_canonical(kind, x, unit) for x in self.band]
        return Expectation(parts[0], parts[1], parts[2], band)

    def holds(self, number):
        return self.low - 1e-9 <= number <= self.high + 1e-9


def near_the_median(kind, middle):
    """What a reading should be near whose mates have this median: the expectation where no nominal is known."""
    width = WINDOW if kind == "length" else abs(middle) * SHARE
    return Expectation(middle, middle - width, middle + width)


class Typed:
    """One typed reading as the slip checks look at it."""

    def __init__(self, kind, typed, instrument=None, set_value=False):
        self.kind = kind
        self.text = plain.bare(typed["text"])
        self.unit = typed["unit"]
        self.number = plain.parse_number(typed["text"])
        self.places = plain.decimals_of(typed["text"])
        self.set_value = set_value
        self.instrument = instrument

    def gauge_step(self):
        """The gauge's step as text in the typed unit, None when no gauge was named or it reads in another unit."""
        gauge = self.instrument
        if not gauge:
            return None
        step, read_in = gauge["step"]["text"], gauge["step"]["unit"]
        if read_in == self.unit:
            return step
        decimals = SHIFTED.get((read_in, self.unit))
        if decimals is None:
            return None
        size = quantity.from_canonical("length", quantity.typed_value("length", gauge["step"]), self.unit)
        return plain.number_text(size, max(plain.decimals_of(step) + decimals, 0))

    def by_thimble(self, expected):
        """Whether a thimble turn can be in it: a micrometer, or an unnamed gauge on something larger than turns."""
        if self.set_value or self.unit not in TURN:
            return False
        if self.instrument:
            return self.instrument["kind"] in THIMBLES
        return expected > 2 * MOST_TURNS * TURN[self.unit]

    def offer(self, text):
        return {"text": text, "unit": self.unit}


#: Answers that are about something else than the value itself.
OTHER_ANSWERS = ("out", "copied", "overdue")


def answered(confirmed):
    """Whether some question about the value itself was answered "found so"."""
    return any(what not in OTHER_ANSWERS and what[:8] != "finding." for what in confirmed)


def suspicions(typed, expected, limits):
    """Slips suspected in one typed reading: [{"id", "message", "offer"}], at most the few that fit."""
    found = _format_slips(typed, expected) + _out_of_range(typed)
    if expected is None or expected.value is None:
        return found
    near = expected.in_unit(typed.kind, typed.unit)
    eighths = _eighths(typed, near)
    if eighths:
        return eighths
    for guess in BY_RATIO if near.holds(typed.number) else GUESSES:
        guesses = guess(typed, near, limits)
        if guesses:
            return guesses
    return found or ([] if near.holds(typed.number) else [_far(near, typed)])


def _slip(slip_id, message, offer=None):
    return {"id": slip_id, "message": message, "offer": offer}


def turns_off(reading, expected, step, closeness):
    """Whole thimble turns between reading and expectation, 0 when it is none or not near enough to a whole turn."""
    turns = int(plain.round_away((reading - expected) / step, 0))
    off = abs(reading - expected - turns * step)
    return turns if turns and plain.round_away(off - closeness, 9) <= 0 else 0


def _turn(typed, near, limits):
    if not typed.by_thimble(near.value):
        return []
    inches = limits.number("micrometer_turn_closeness", "high")
    closeness = quantity.from_canonical("length", quantity.to_canonical("length", inches, "in"), typed.unit)
    turns = turns_off(typed.number, near.value, TURN[typed.unit], closeness)
    text = plain.number_text(typed.number - turns * TURN[typed.unit], typed.places)
    if not 0 < abs(turns) <= MOST_TURNS or not near.holds(plain.parse_number(text)):
        return []
    if turns in (1, -1):
        count = "one turn (" + TURN_TEXT[typed.unit] + ")"
    else:
        count = str(abs(turns)) + " turns (" + TURN_TEXT[typed.unit] + " each)"
    message = "Exactly " + count + " away: re-read the sleeve. Did you mean " + text + "?"
    return [_slip("turn", message, typed.offer(text))]


def swapped_digits(text, low, high):
    """Texts with two neighbouring digits exchanged that fall inside the window, in order of the exchange."""
    inside = []
    digits = [i for i, letter in enumerate(text) if letter in "0123456789"]
    for a, b in zip(digits, digits[1:]):
        other = text[:a] + text[b] + text[a + 1 : b] + text[a] + text[b + 1 :]
        if other != text and other not in inside and low <= plain.parse_number(other) <= high:
            inside.append(other)
    return inside


def _swapped(typed, near, _limits):
    found = swapped_digits(typed.text, near.low, near.high)
    return [_slip("swapped", "Did you mean " + text + "?", typed.offer(text)) for text in found[:2]]


def wrong_unit(number, nominal, share):
    """The row of UNIT_RATIOS whose ratio the reading has to its nominal, within the share; None when none fits."""
    if nominal == 0:
        return None
    for row in UNIT_RATIOS:
        if abs(number / nominal / row[0] - 1.0) <= share + 1e-9:
            return row
    return None


def _eighths(typed, near):
    """Turns are counted by the eighth: a whole number of turns outside the band that is inside it as eighths."""
    if near.band is None or typed.unit != "turn" or typed.number != int(typed.number):
        return []
    low, high = near.band
    if low <= typed.number <= high or not low <= typed.number / 8.0 <= high:
        return []
    words = quantity.with_unit(typed.text, "eighth")
    return [_slip("eighths", "Counted in eighths? Did you mean " + words + "?", {"text": typed.text, "unit": "eighth"})]


def _share(limits):
    return limits.number("wrong_unit_ratio_closeness", "high") / 100.0


def _unit(typed, near, _limits):
    """The unit that makes the number plausible by falling into the window."""
    return _as_unit([row for row in _ratios(typed) if near.holds(typed.number / row[0])], typed)


def _wrong_unit_exactly(typed, near, limits):
    """A ratio within two per cent of a unit's, which tells also inside a window that is wide for so small a figure."""
    if near.value == 0:
        return []
    off, share = typed.number / near.value, _share(limits)
    return _as_unit([row for row in _ratios(typed) if abs(off / row[0] - 1.0) <= share + 1e-9], typed)


def _ratios(typed):
    """(times, unit meant, unit typed, sentence) for the unit that was typed."""
    if typed.kind == "torque":
        return [_torque_ratio(meant, unit) for meant, unit in TORQUE_UNITS if unit == typed.unit]
    if typed.kind != "length":
        return []
    return [(row[0], row[1], row[2], row[4]) for row in UNIT_RATIOS if row[2] == typed.unit]


def _torque_ratio(meant, unit):
    times = quantity.from_canonical("torque", quantity.to_canonical("torque", 1.0, unit), meant)
    words = "This looks like " + quantity.UNIT_WORDS[meant] + " typed as " + quantity.UNIT_WORDS[unit] + "."
    return times, meant, unit, words


def _as_unit(rows, typed):
    for _times, meant, _unit_typed, words in rows[:1]:
        offer = {"text": typed.text, "unit": meant}
        return [_slip("unit", words + " Did you mean " + quantity.with_unit(typed.text, meant) + "?", offer)]
    return []


TEN_TIMES = "Ten times off: a digit missing, or the point in the wrong place?"


def _dropped(typed, near, _limits):
    for ratio in DIGIT_RATIOS:
        if near.holds(typed.number / ratio) and typed.number:
            return [_slip("digit", TEN_TIMES)]
    return []


def _dropped_exactly(typed, near, limits):
    """By the ratio alone: within two per cent of ten times, or of a tenth."""
    share = _share(limits)
    for ratio in DIGIT_RATIOS:
        if near.value and abs(typed.number / near.value / ratio - 1.0) <= share + 1e-9:
            return [_slip("digit", TEN_TIMES)]
    return []


#: In the order of telling: a ratio that is met exactly says more than a window that would be.
BY_RATIO = (_wrong_unit_exactly, _dropped_exactly)
GUESSES = (_turn,) + BY_RATIO + (_swapped, _dropped, _unit)


def _out_of_range(typed):
    """A torque that the wrench in hand cannot give."""
    if typed.kind != "torque" or not typed.instrument:
        return []
    number = quantity.to_canonical("torque", typed.number, typed.unit)
    reads = instruments.outside_range(typed.instrument, number)
    if reads is None:
        return []
    return [_slip("range", "This wrench reads " + reads + ": a digit too many, or another wrench?")]


def _format_slips(typed, expected):
    """Fewer decimals than the gauge shows, or a figure between its steps. A dial is read to a fifth of a division."""
    step = typed.gauge_step()
    if step is None:
        as_size = expected and expected.is_size and not typed.set_value
        return _few_decimals(typed, USUAL_DECIMALS.get(typed.unit)) if as_size else []
    if typed.places < plain.decimals_of(step) and typed.kind == "length":
        return _few_decimals(typed, plain.decimals_of(step))
    parts = 5 if typed.instrument["dial"] else 1
    steps = typed.number / plain.parse_number(step) * parts
    if abs(steps - plain.round_away(steps, 0)) > 1e-6:
        return [_slip("finer", "The gauge reads in steps of " + step + ": a digit too many, or read between them?")]
    return []


def _few_decimals(typed, wanted):
    if wanted is None or typed.places >= wanted:
        return []
    return [_slip("digit", "Sizes here have " + str(wanted) + " decimals: a digit missing?")]


def _far(near, typed):
    decimals = max(typed.places, quantity.DECIMALS.get(typed.unit, 3))
    about = quantity.with_unit(plain.number_text(near.value, decimals), typed.unit)
    return _slip("far", "Far from the " + about + " expected here: look again.")


def odd(middle, kind, typed):
    """The question about an odd one out; `middle`: the median of its mates, canonical."""
    about = quantity.with_unit(_like(middle, kind, typed), typed["unit"])
    return _slip("odd", "The odd one out: the others here lie around " + about + ". Look again.")


def _like(number, kind, typed):
    """A canonical number in the unit and decimals of what was typed."""
    return quantity.text_in(kind, number, typed["unit"], plain.decimals_of(typed["text"]))


def copied(texts, most):
    """Indices at which one found value comes to stand more than `most` times in a row, once for each such row."""
    found, run = [], 1
    for at in range(1, len(texts)):
        run = run + 1 if texts[at] is not None and texts[at] == texts[at - 1] else 1
        if run == most + 1:
            found.append(at)
    return found
