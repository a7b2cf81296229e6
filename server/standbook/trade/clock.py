"""Device time as entries carry it (ISO 8601, UTC). It is a claim: it orders nothing and refuses nothing."""

from . import plain

MINUTES_A_DAY = 1440.0


def minutes(iso):
    """Minutes since the year 0 of a text like 2026-11-25T08:30:00.000Z; None when it cannot be read."""
    try:
        year, month, day = int(iso[0:4]), int(iso[5:7]), int(iso[8:10])
        hour, minute, second = int(iso[11:13]), int(iso[14:16]), int(iso[17:19])
    except ValueError:
        return None
    return _days(year, month, day) * MINUTES_A_DAY + hour * 60.0 + minute + second / 60.0


def minutes_between(one, other):
    """Minutes from one moment to a later one; None where one cannot be read or a clock was put back meanwhile."""
    start, end = minutes(one), minutes(other)
    return None if start is None or end is None or end < start else end - start


def _days(year, month, day):
    """Days of the proleptic Gregorian calendar; March is the first month, so that the leap day comes last."""
    if month <= 2:
        year, month = year - 1, month + 12
    return 365 * year + year // 4 - year // 100 + year // 400 + (153 * (month - 3) + 2) // 5 + day


def day_of(iso):
    """The date part, which compares as text."""
    return iso[:10]


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
    return _days(following[0], following[1], 1) - _days(year, month, 1)


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
