"""A vector's inputs as a person types them on the page of the calculators: digits here, the unit picked there."""

from decimal import Decimal
from typing import Any

from standbook.trade import reckon_page

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
