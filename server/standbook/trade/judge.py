"""Values against limits: which word, with which uncertainty.

Three kinds of limit (common practice, after the manner of ISO 14253-1 but kind by kind): one that *hurts* wants the
value clear of it by the uncertainty, a *quality* limit is judged at the line itself, an *info* figure is only shown.
An *abort* row belongs to a running engine: at the value or past it. Lengths are canonical (mm).
"""

import math

from . import plain

WORST_FIRST = ("abort", "out", "cannot judge", "too close, measure again", "in, close", "in", "shown")
KINDS = ("hurts", "quality", "abort", "info")
SEVERITIES = ("STOP", "HOLD", "WARN", "NOTE")
#: Value and limit are first rounded to so many decimals: else a value on its limit is a coin toss.
PLACES = 6
HALF_PLACE = 0.6e-6  # a little more than half of the last place
#: Half a reading step, twice, one gauge and one zero: 0.00007 in with a 0.0001 in gauge (common practice).
FORM_SHARE_OF_STEP = 0.7
DIAL_PARTS = 5


def verdict(kind, value, low, high, u, note_only=False):
    """The word for a value against one limit: in / in, close / too close, measure again / out / abort / shown.

    `low` and `high` may be None; `u` is the value's uncertainty; a limit whose severity is only NOTE knows no "close".
    """
    if kind == "info":
        return "shown"
    left = room(value, low, high)
    if kind == "abort":
        return "in" if left > 0 else "abort"
    near = left < plain.round_away(u, PLACES)
    if kind == "hurts":
        return _hurts(left, u)
    if left < 0:
        return "out"
    return "in, close" if near and not note_only else "in"


def _hurts(left, u):
    width = plain.round_away(u, PLACES)
    if left >= width:
        return "in"
    return "out" if left < -width else "too close, measure again"


def room(value, low, high):
    """Distance to the nearer end, negative outside; both rounded before they are compared."""
    at = plain.round_away(value, PLACES)
    rooms = []
    if low is not None:
        rooms.append(plain.round_away(at - plain.round_away(low, PLACES), PLACES))
    if high is not None:
        rooms.append(plain.round_away(plain.round_away(high, PLACES) - at, PLACES))
    return min(rooms) if rooms else float("inf")


def worst(words):
    """The worst verdict word of a list; None of an empty one."""
    for word in WORST_FIRST:
        if word in words:
            return word
    return None


def combined(first, second):
    """Uncertainty of a figure made of two sizes: root of the sum of squares (derived: statistics)."""
    return math.sqrt(first * first + second * second)


def form_uncertainty(step):
    """u of a form figure or a direct-zero clearance: the setting error cancels, only repeatability counts."""
    return FORM_SHARE_OF_STEP * step


def effective_step(division, dial):
    """A dial may be read to a fifth of a division by eye (common practice)."""
    return division / DIAL_PARTS if dial else division


def fine_enough(set_or_found, division, dial, low, high, shares):
    """Whether the instrument can see the band at all: {"step", "band", "fine"}.

    `shares` gives the largest step as a share of the band for "set" and "found" (limits table).
    """
    step = effective_step(division, dial)
    band = high - low
    allowed = plain.round_away(band * shares[set_or_found], PLACES + 3)
    return {"step": step, "band": band, "fine": plain.round_away(step, PLACES + 3) <= allowed}


def agree(first, second, resolution, steps):
    """Two independent readings of one place agree within so many steps of the gauge."""
    return plain.round_away(abs(first - second), PLACES) <= plain.round_away(steps * resolution, PLACES)


def closest_pair(values, resolutions, steps):
    """Indices of the closest pair that agrees by its own gauges, ties to the earliest; None when no two agree."""
    best = None
    for j in range(len(values)):
        for i in range(j):
            gap = abs(values[i] - values[j])
            if best is not None and gap > best[0] + HALF_PLACE:
                continue
            gap = plain.round_away(gap, PLACES)
            closer = best is None or gap < best[0]
            if closer and agree(values[i], values[j], max(resolutions[i], resolutions[j]), steps):
                if gap == 0:
                    return i, j
                best = (gap, i, j)
    return None if best is None else (best[1], best[2])


def worst_severity(severities):
    """The worst of STOP, HOLD, WARN, NOTE in a list; None of an empty one."""
    for severity in SEVERITIES:
        if severity in severities:
            return severity
    return None
