"""Runs corpus cases through `plain` on whichever interpreter imports this; written for MicroPython too.

A float crosses as [whole number, power of two], since reading decimal text into a float is one of the
things that interpreters may do an ulp apart, and a case must start from the very same float.
"""

import math


def run(plain, cases):
    """The answer to each case, in order: {"is": value} or {"refused": code}."""
    return [_answer(plain, case) for case in cases]


def _answer(plain, case):
    try:
        return {"is": JOBS[case["do"]](plain, case["in"])}
    except plain.Refusal as refusal:
        return {"refused": refusal.code}


def as_float(pair):
    """[m, e] as the float m * 2**e; "inf", "-inf", "nan" and "-0.0" by name."""
    if type(pair) is str:
        return float(pair)
    return math.ldexp(pair[0], pair[1])


def as_pair(x):
    """A finite float as [m, e], exactly; a negative zero by name."""
    if x == 0 and math.copysign(1.0, x) < 0:
        return "-0.0"
    fraction, power = math.frexp(x)
    return [int(fraction * 9007199254740992.0), power - 53]


def _number_text(plain, given):
    return plain.number_text(as_float(given[0]), given[1])


def _round_away(plain, given):
    return as_pair(plain.round_away(as_float(given[0]), given[1]))


def _difference_text(plain, given):
    return plain.number_text(plain.parse_number(given[0]) - plain.parse_number(given[1]), given[2])


def _parse_number(plain, given):
    return as_pair(plain.parse_number(given))


def _in_order(plain, given):
    return [row[1] for row in plain.in_order(given, key=lambda row: _key(row[0]))]


def _in_reverse_order(plain, given):
    return [row[1] for row in plain.in_order(given, key=lambda row: _key(row[0]), reverse=True)]


def _key(key):
    return tuple(key) if type(key) is list else key


def _total(plain, given):
    return as_pair(plain.total([as_float(pair) for pair in given]))


def _median(plain, given):
    return as_pair(plain.median([as_float(pair) for pair in given]))


def _to_json(plain, given):
    return plain.to_json(given)


def _float_to_json(plain, given):
    return plain.to_json([as_float(given)])


def _from_json(plain, given):
    return plain.to_json(plain.from_json(given))


JOBS = {
    "number_text": _number_text,
    "round_away": _round_away,
    "difference_text": _difference_text,
    "parse_number": _parse_number,
    "in_order": _in_order,
    "in_reverse_order": _in_reverse_order,
    "total": _total,
    "median": _median,
    "to_json": _to_json,
    "float_to_json": _float_to_json,
    "from_json": _from_json,
}
