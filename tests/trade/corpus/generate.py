"""Writes the corpus: cases for `plain` with the answers of things that this project did not make.

    python -m tests.trade.corpus.generate

Number text and rounding: Python's `decimal`, ROUND_HALF_UP of the shortest decimal text of the float, or of
exact decimal arithmetic on what was typed. Order: `sorted`. Sums: `math.fsum`. Medians: `statistics`. JSON:
the `json` module, told to refuse NaN and a key that comes twice (RFC 8259 4 and 6). The seed is fixed and
only `random()` is used, whose sequence Python promises to keep.
"""

import json
import math
import statistics
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from random import Random
from typing import Any

from tests.trade.corpus.refusals import BROKEN_JSON, BROKEN_NUMBERS, TOO_DEEP
from tests.trade.corpus.runner import as_pair

CORPUS = Path(__file__).with_name("corpus.json")
SEED = 20261125
Case = dict[str, Any]


def half_up(exact: Decimal, decimals: int) -> Decimal:
    """Half away from zero, and never a negative zero."""
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)
    return abs(rounded) if rounded == 0 else rounded


def between(random: Random, low: float, high: float) -> float:
    """A float between two."""
    return low + (high - low) * random.random()


def whole(random: Random, low: int, high: int) -> int:
    """A whole number from low up to, not including, high."""
    return low + int((high - low) * random.random())


# --- number text --------------------------------------------------------------------------------------------


def number_texts(random: Random) -> Iterator[Case]:
    """Floats of every size that a shop shows, ties among them."""
    for x, decimals in [*_named_ties(), *_typed_ties(random), *_any_floats(random), *_near_zero(), *_large()]:
        exact = Decimal(repr(x))
        yield {"do": "number_text", "in": [as_pair(x), decimals], "is": f"{half_up(exact, decimals):f}"}
        yield {"do": "round_away", "in": [as_pair(x), decimals], "is": as_pair(float(half_up(exact, decimals)))}


def _named_ties() -> list[tuple[float, int]]:
    texts = "0.25 0.35 0.45 2.5 3.5 0.5 1.5 1.005 2.675 1.115 0.00015 0.00025 0.00035 4.12505 2.57585 65.4255"
    rows = [(float(text), len(text.partition(".")[2]) - 1) for text in texts.split()]
    return rows + [(-x, decimals) for x, decimals in rows]


def _typed_ties(random: Random) -> list[tuple[float, int]]:
    """Decimal texts that end in 5, one place beyond what is shown."""
    rows = []
    for _ in range(40):
        decimals = whole(random, 0, 6)
        text = f"{whole(random, 0, 200)}.{whole(random, 0, 10**decimals):0{decimals}d}5" if decimals else ""
        rows.append((float(text or f"{whole(random, 0, 9000)}.5"), decimals))
    return rows


def _any_floats(random: Random) -> list[tuple[float, int]]:
    ranges = [(0, 0.01, 4), (0, 0.01, 5), (0, 1, 3), (0, 10, 4), (-10, 10, 4), (0, 200, 3), (0, 9000, 0), (0, 2000, 1)]
    return [(between(random, low, high), decimals) for low, high, decimals in ranges for _ in range(8)]


def _near_zero() -> list[tuple[float, int]]:
    return [
        (0.0, 4),
        (-0.0, 4),
        (-0.0, 0),
        (-0.00004, 4),
        (0.00004, 4),
        (-0.00005, 4),
        (-0.4, 0),
        (-0.5, 0),
        (5e-324, 4),
    ]


def _large() -> list[tuple[float, int]]:
    """Just below and just above a tie, where twelve digits are shown."""
    return [
        (123456789.1234, 3),
        (123456789.12349, 3),
        (99999999.9949, 2),
        (7654321.123449, 4),
        (12345678901.48, 0),
        (999999999.49, 0),
        (999999999.5, 0),
        (-123456789.12349, 3),
    ]


def differences(random: Random) -> Iterator[Case]:
    """A clearance of two typed sizes: the float difference is off by an ulp or two, the shown one must not be."""
    for _ in range(60):
        first, second = (f"{between(random, 1.5, 3.5):.4f}" for _ in range(2))
        decimals = 4 if random.random() < 0.5 else 3
        shown = f"{half_up(Decimal(first) - Decimal(second), decimals):f}"
        yield {"do": "difference_text", "in": [first, second, decimals], "is": shown}


def conversions(random: Random) -> Iterator[Case]:
    """Typed inches echoed in millimetres: 25.4 times exactly."""
    for _ in range(40):
        typed = f"{between(random, 0.001, 5):.4f}"
        exact = Decimal(typed) * Decimal("25.4")
        yield {"do": "number_text", "in": [as_pair(float(typed) * 25.4), 3], "is": f"{half_up(exact, 3):f}"}


# --- numbers typed ------------------------------------------------------------------------------------------


def typed_numbers(random: Random) -> Iterator[Case]:
    """Texts that are numbers, and what float() makes of them; and texts that are none."""
    texts = ["0", "00", "007", "1.", ".5", ",5", "2,5758", "2.5758", "+1.5", "-0.0015", "-,5", "0.0000", " 2.5 ", "  7"]
    texts += ["7  ", "123456789012345", "0.123456789012345", "1234567890.12345", "000000000000000000001.5", "\t3.1"]
    for _ in range(30):
        whole_part, part = whole(random, 0, 20000), whole(random, 0, 100000)
        texts.append(f"{whole_part}{'.,'[whole(random, 0, 2)]}{part:05d}")
    for text in texts:
        yield {"do": "parse_number", "in": text, "is": as_pair(float(text.replace(",", ".")))}
    for text in BROKEN_NUMBERS:
        yield {"do": "parse_number", "in": text, "refused": True}
    for name in ("inf", "-inf", "nan"):
        yield {"do": "number_text", "in": [name, 3], "refused": True}
        yield {"do": "float_to_json", "in": name, "refused": True}


# --- order, sums --------------------------------------------------------------------------------------------


def orders(random: Random) -> Iterator[Case]:
    """Few keys for many rows, so that only a stable order is right; sorted, reversed and mixed input."""
    keys: list[Callable[[], Any]] = [
        lambda: whole(random, 0, 4),
        lambda: "abcÄΩ—z"[whole(random, 0, 7)],
        lambda: [whole(random, 0, 3), "FR"[whole(random, 0, 2)]],
        lambda: whole(random, 0, 8) / 4,
    ]
    for size in (0, 1, 2, 3, 7, 16, 33, 100):
        for make in keys:
            rows = [[make(), number] for number in range(size)]
            yield from _ordered(rows)
    ascending = [[number // 2, number] for number in range(300)]
    yield from _ordered(ascending)
    yield from _ordered(ascending[::-1])


def _ordered(rows: list[list[Any]]) -> Iterator[Case]:
    forward = sorted(rows, key=lambda row: row[0])
    backward = sorted(rows, key=lambda row: row[0], reverse=True)
    yield {"do": "in_order", "in": rows, "is": [row[1] for row in forward]}
    yield {"do": "in_reverse_order", "in": rows, "is": [row[1] for row in backward]}


def sums(random: Random) -> Iterator[Case]:
    """Sums that a plain loop gets wrong by an ulp or by everything."""
    lists = [[0.1] * 10, [1e16, 1.0, -1e16], [1.0, 1e100, 1.0, -1e100], [0.1, 0.2, 0.3, -0.6], [], [-0.0], [3.3]]
    for size in (2, 3, 5, 10, 40, 200):
        lists.append([between(random, -3, 3) for _ in range(size)])
        lists.append([between(random, 60, 70) * 10.0 ** whole(random, -6, 6) for _ in range(size)])
    for values in lists:
        slack = sum(abs(x) for x in values) * len(values) ** 2 * 2.0**-104
        pairs = [as_pair(x) for x in values]
        yield {"do": "total", "in": pairs, "is": as_pair(math.fsum(values)), "slack": slack}
        if values:
            yield {"do": "median", "in": pairs, "is": as_pair(statistics.median(values))}


# --- JSON ---------------------------------------------------------------------------------------------------


def compact(value: Any) -> str:
    """JSON with keys in order and nothing else between, as the json module writes it."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def written_json(random: Random) -> Iterator[Case]:
    """Keys in every order, nesting, other scripts, escapes; and floats that only 17 digits tell apart."""
    values: list[Any] = [
        None,
        True,
        False,
        0,
        -7,
        2**40,
        "",
        'a"b\\c\nd\te\rf',
        "µm — Ω \u2028 😀",
        "\x01\x1f\x7f",
        [],
        {},
    ]
    values += [[[]], {"b": 1, "a": 2, "C": 3, "ä": 4, "": 5, "a b": 6}, {"x": {"z": [1, {"y": None}], "a": True}}]
    for size in (2, 5, 12, 40):
        keys = [f"{chr(97 + whole(random, 0, 26))}{whole(random, 0, 1000)}" for _ in range(size)]
        values.append({key: {"v": number, "k": [key]} for number, key in enumerate(keys)})
    for value in values:
        yield {"do": "to_json", "in": value, "is": compact(value)}
    for x in _telling_floats(random):
        yield {"do": "float_to_json", "in": as_pair(x), "is": compact([x])}


def _telling_floats(random: Random) -> list[float]:
    named = [0.1, 0.1 + 0.2, 1 / 3, 100.0, 2.5758 * 25.4, 1e-5, 1e-7, 1e15, 1e16, 1e22, -0.0, 1.7976931348623157e308]
    return named + [between(random, 0, 10) * 10.0 ** whole(random, -6, 6) for _ in range(30)]


def read_json(random: Random) -> Iterator[Case]:
    """Whole JSON is read as the json module reads it; anything else is refused."""
    texts = ['{"b":1,"a":[true,false,null]}', " [ 1 , 2 ] ", '"\\u00b5\\n\\/"', "0", "-0.5", "1e3", "1E-2", '{"":{}}']
    texts += ["[]", "\n{}\t", '"\\ud83d\\ude00"', "123456789012345678901234567890", '["\u2028"]', "[[[[[[[[1]]]]]]]]"]
    texts += [compact([whole(random, -1000, 1000) for _ in range(20)]), compact({"k": "x" * 200})]
    for text in texts:
        yield {"do": "from_json", "in": text, "is": compact(json.loads(text))}
    for text in BROKEN_JSON:
        assert not _json_accepts(text), text
        yield {"do": "from_json", "in": text, "refused": True}
    yield {"do": "from_json", "in": TOO_DEEP, "refused": True}


def _json_accepts(text: str) -> bool:
    try:
        value = json.loads(text, parse_constant=_refuse, object_pairs_hook=_once)
    except ValueError:
        return False
    return not (isinstance(value, float) and math.isinf(value))


def _refuse(name: str) -> None:
    raise ValueError(name)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(dict(pairs)) < len(pairs):
        raise ValueError("a key twice")
    return dict(pairs)


def corpus() -> list[Case]:
    """Every case, numbered."""
    random = Random(SEED)
    parts = (number_texts, differences, conversions, typed_numbers, orders, sums, written_json, read_json)
    cases = [case for part in parts for case in part(random)]
    return [{"id": number, **case} for number, case in enumerate(cases, 1)]


def corpus_text() -> str:
    """The file: one case a line."""
    lines = [json.dumps(case, ensure_ascii=False) for case in corpus()]
    return "[\n" + ",\n".join(lines) + "\n]\n"


if __name__ == "__main__":
    CORPUS.write_text(corpus_text(), encoding="utf-8", newline="\n")
