"""Device time as entries carry it (ISO 8601, UTC). It is a claim: it orders nothing and refuses nothing."""

MINUTES_A_DAY = 1440.0


def minutes(iso):
    """Minutes since the year 0 of a text like 2026-11-25T08:30:00.000Z; None when it cannot be read."""
    try:
        year, month, day = int(iso[0:4]), int(iso[5:7]), int(iso[8:10])
        hour, minute, second = int(iso[11:13]), int(iso[14:16]), int(iso[17:19])
    except ValueError:
        return None
    return days(year, month, day) * MINUTES_A_DAY + hour * 60.0 + minute + second / 60.0


def minutes_between(one, other):
    """Minutes from one moment to a later one; None where one cannot be read or a clock was put back meanwhile."""
    start, end = minutes(one), minutes(other)
    return None if start is None or end is None or end < start else end - start


def days(year, month, day):
    """Days of the proleptic Gregorian calendar; March is the first month, so that the leap day comes last."""
    if month <= 2:
        year, month = year - 1, month + 12
    return 365 * year + year // 4 - year // 100 + year // 400 + (153 * (month - 3) + 2) // 5 + day


def day_of(iso):
    """The date part, which compares as text."""
    return iso[:10]
