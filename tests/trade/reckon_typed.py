"""The page of the calculators in tests: a vector's inputs as a person types them, and what a result's lines say."""

import json
import re
from decimal import Decimal
from typing import Any

from standbook.trade import reckon_page, reckon_units
from standbook.trade.factors import FACTORS

NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
SMALL = ("1/K", "1/degF", "in/lbf", "mm/N")
Typed = dict[str, dict[str, Any]]


def typed(calculator: str, inputs: dict[str, Any]) -> Typed:
    """key -> {text, units} for what the page asks; what it leaves out is only for a record."""
    asked = reckon_page.asked(calculator)
    return {key: one(reckon_page.shape(calculator, key), value) for key, value in inputs.items() if key in asked}


def one(shape: str, value: Any) -> dict[str, Any]:
    if shape in ("choice", "text"):
        return {"text": value, "units": []}
    if shape == "number":
        return line([value])
    if shape == "numbers":
        row = line(value)
        return {"text": row["text"], "units": row["units"][:1]}
    rows = [[name, *cells] for name, cells in value.items()] if isinstance(value, dict) else value
    lines = [line(row) for row in rows]
    return {"text": "\n".join(row["text"] for row in lines), "units": lines[0]["units"]}


def line(cells: list[Any]) -> dict[str, Any]:
    parts = [cell_of(str(cell)) for cell in cells]
    return {"text": " ".join(text for text, _ in parts), "units": [unit for _, unit in parts]}


def cell_of(cell: str) -> tuple[str, str]:
    text, _, unit = cell.partition(" ")
    unit = unit.replace("^", "")
    if unit in SMALL:
        return f"{(Decimal(text) * 1_000_000).normalize():f}", f"1e-6 {unit}"
    return text, unit


def assert_same(name: str, kind: str, lines: list[str], value: Any) -> None:
    """The lines say the value to the last digit shown."""
    if value is None:
        assert lines == [reckon_page.EMPTY]
    elif isinstance(value, str):
        assert lines == [value]
    elif kind not in FACTORS:
        assert digits(lines) == digits([json.dumps(value)]), name
    else:
        figures = value if isinstance(value, list) else [value]
        assert len(lines) == max(1, len(figures))
        for said, figure in zip(lines, figures, strict=bool(figures)):
            assert_near(kind, said, figure)


def digits(found: list[str]) -> list[float]:
    """The numbers of a text, in order of size: a table's rows are worded, its figures stay."""
    return sorted(float(number) for text in found for number in NUMBER.findall(text))


def assert_near(kind: str, said: str, figure: float) -> None:
    for one in re.split(r" \(|\)", said):
        number = NUMBER.match(one)
        if number is None:
            continue
        unit = unit_named(kind, one[number.end() :].strip())
        small = 1e-6 if unit.startswith(reckon_units.MILLIONTHS) else 1.0
        scale, offset = FACTORS[kind][unit.removeprefix(reckon_units.MILLIONTHS)]
        last = 10.0 ** -len(number[0].partition(".")[2])
        assert abs(float(number[0]) * small * scale + offset - figure) <= 0.5001 * last * small * scale + 1e-12 * abs(
            figure
        )


def unit_named(kind: str, words: str) -> str:
    units = [unit for unit, said in reckon_units.WORDS.items() if said == words]
    fitting = [unit for unit in units if unit.removeprefix(reckon_units.MILLIONTHS) in FACTORS[kind]]
    return fitting[0] if fitting else next(iter(FACTORS[kind]))
