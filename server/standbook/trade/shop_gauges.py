"""What a lead has to say of an instrument of the shop, and when it is due.

Asked at the shop alone: it is in no phone's pack (`brainpack.AT_THE_SHOP`).
"""

from . import clock, instruments, limits, plain, quantity


def check(gauge):
    """Raises Refusal, with one sentence, unless a lead has said all that an instrument of the shop needs."""
    if plain.bare(gauge["name"]) == "":
        raise _unfit("give it a name, as it is marked")
    _check_figures(gauge, _quantity_by(gauge["kind"]))
    _check_dates(gauge)
    if gauge["kind"] in instruments.TORQUE_KINDS:
        _check_wrench(gauge)


def _quantity_by(kind):
    """What a kind of the list measures. Raises Refusal for another one."""
    for row in instruments.LISTED:
        if row[0] == kind:
            return instruments.quantity_of(row[4])
    raise _unfit("choose a kind from the list")


def _check_figures(gauge, measured):
    step, trust = gauge["step"], gauge["trust"]
    if step is None or instruments.quantity_of(step["unit"]) != measured or instruments.step_of(gauge) <= 0:
        raise _unfit("say what it reads to, as a number with its unit")
    percent = gauge["kind"] in instruments.TORQUE_KINDS
    if trust is None or (
        trust["unit"] != instruments.PERCENT if percent else instruments.quantity_of(trust["unit"]) != measured
    ):
        raise _unfit("say how far it is trusted, a torque wrench in percent")
    if plain.parse_number(trust["text"]) < 0:
        raise _unfit("a trust figure is not below zero")


def _check_dates(gauge):
    for name in ("calibrated_on", "calibration_due"):
        if gauge[name] is not None and not is_day(gauge[name]):
            raise _unfit("write dates as year-month-day, like 2026-11-27")


def _check_wrench(gauge):
    ends = [gauge["range_low"], gauge["range_high"]]
    if None in ends or not all(instruments.quantity_of(end["unit"]) == "torque" for end in ends):
        raise _unfit("a torque wrench needs its range, from and up to, as torques")
    low, high = [quantity.typed_value("torque", end) for end in ends]
    if not 0 <= low < high:
        raise _unfit("the range begins below where it ends")
    if gauge["band"] is None or not 0 < plain.parse_number(gauge["band"]) < 100:
        raise _unfit("a torque wrench needs its band in percent, 4 for a click wrench above 10 N\u00b7m, 6 below")
    if gauge["calibrated_on"] is None:
        raise _unfit("a torque wrench needs the day of its last calibration")


def _unfit(words):
    return plain.Refusal("instrument_unfit", words)


def due_after(calibrated_on):
    """ISO date on which a wrench calibrated on that day is due where nobody set an interval. Raises Refusal."""
    return months_later(calibrated_on, int(plain.parse_number(limits.window("months_since_wrench_calibration")[1])))


def is_used_up(pulls):
    """Whether a wrench was pulled more often since its calibration than it may be (the limit itself is inside)."""
    return pulls > plain.parse_number(limits.window("wrench_cycles_since_calibration")[1])


def months_later(day, months):
    """The same day of a later month (2025-11-27 and 12: 2026-11-27), its last day where there is no such day.

    Raises Refusal for what is no date.
    """
    if not is_day(day):
        raise plain.Refusal("date_wrong", "Give the date as year-month-day, like 2026-11-27.", {"date": day})
    count = int(day[0:4]) * 12 + int(day[5:7]) - 1 + months
    year, month = count // 12, count % 12 + 1
    last = min(int(day[8:10]), days_in(year, month))
    return _digits(year, 4) + "-" + _digits(month, 2) + "-" + _digits(last, 2)


def days_in(year, month):
    """How many days a month has."""
    following = (year + 1, 1) if month == 12 else (year, month + 1)
    return clock.days(following[0], following[1], 1) - clock.days(year, month, 1)


def is_day(text):
    """Whether a text is a date of the calendar, like 2026-11-27."""
    if len(text) != 10 or text[4] != "-" or text[7] != "-":
        return False
    if not all(letter in "0123456789" for letter in text[0:4] + text[5:7] + text[8:10]):
        return False
    year, month, day = int(text[0:4]), int(text[5:7]), int(text[8:10])
    return year > 0 and 1 <= month <= 12 and 1 <= day <= days_in(year, month)


def _digits(number, width):
    text = str(number)
    return "0" * (width - len(text)) + text
