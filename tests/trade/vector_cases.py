"""The test vectors of our steps as calculator calls: inputs with their units, what must come out, how close.

`vectors/vectors.json` holds the vectors with origin and tolerance, `vectors/calculators.csv` names for each
input and output the calculator, its key and the vector's own unit. The inputs are invented, the outputs were
computed apart from this project's code.
"""

import csv
import json
from decimal import Context, Decimal
from pathlib import Path
from typing import Any, NamedTuple

from standbook.trade.factors import FACTORS

VECTORS = Path(__file__).with_name("vectors")
#: A table's columns whose units its own key tells, not the row of the calculator.
COLUMNS = {"segments_in_in2": ("in", "in^2")}
#: Units that the table spells otherwise than we do.
SPELT = {"1/degC": "1/K", "ddegC": "K"}
#: A person types no more digits than this.
FIFTEEN_DECIMALS = Context(prec=14)


class Expected(NamedTuple):
    """One figure of a vector: its value in the vector's unit (None where the kind has none), and our output's key."""

    value: Any
    kind: str
    unit: str | None
    key: str


class Case(NamedTuple):
    """One vector put to one calculator; `outputs` by the vector's own keys."""

    vector: str
    calculator: str
    inputs: dict[str, Any]
    outputs: dict[str, Expected]
    tol: str

    def ask(self) -> str:
        """The JSON text that a host is asked with."""
        return json.dumps({"name": self.calculator, "inputs": self.inputs})


def vectors() -> dict[str, dict[str, Any]]:
    """Every vector by its id."""
    whole = json.loads((VECTORS / "vectors.json").read_text(encoding="utf-8"))
    return {vector["id"]: vector for vector in whole["vectors"]}


def rows() -> list[dict[str, str]]:
    """The rows of the calculators that the vectors name."""
    with (VECTORS / "calculators.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def cases() -> list[Case]:
    """One case for every pair of vector and calculator."""
    by_id = vectors()
    found: dict[tuple[str, str], Case] = {}
    for row in rows():
        for entry in row["vectors"].split("; "):
            vector_id, _, mapped = entry.partition("=")
            vector = by_id[vector_id]
            empty = Case(vector_id, row["calculator"], {}, {}, vector["tol"])
            _fill(found.setdefault((vector_id, row["calculator"]), empty), row, vector, mapped)
    return [found[key] for key in sorted(found)]


def _fill(case: Case, row: dict[str, str], vector: dict[str, Any], mapped: str) -> None:
    """One row's share of a case; `mapped` is key, key@unit, or words in quotes that the vector implies."""
    key, _, unit = mapped.partition("@")
    unit = SPELT.get(unit, unit)
    if mapped.startswith('"'):
        case.inputs[row["key"]] = mapped.strip('"')
    elif row["direction"] == "in":
        units = COLUMNS.get(key)
        given = _part(vector["in"], key)
        case.inputs[row["key"]] = _table(given, units) if units else _typed(given, unit)
    else:
        case.outputs[key] = Expected(vector["out"][key], row["kind"], unit or None, row["key"])


def _part(values: Any, key: str) -> Any:
    """A vector's input by its key; `geo.a` is one part of a geometry."""
    for name in key.split("."):
        values = values[name]
    return values


def _table(lines: list[list[Any]], units: tuple[str, ...]) -> list[list[Any]]:
    return [[_typed(value, unit) for value, unit in zip(line, units, strict=True)] for line in lines]


def _typed(value: Any, unit: str) -> Any:
    """A vector's input as a person would give it: "2.5758 in", yes or no; in a list or table each for itself."""
    if isinstance(value, list) and unit not in ("", "1"):
        return [_typed(element, unit) for element in value]
    if isinstance(value, dict):
        return {name: _typed(element, unit) for name, element in value.items()}
    if isinstance(value, bool):
        return "yes" if value else "no"
    if unit == "1/in":  # threads per inch: the pitch is one inch over them
        return f"{FIFTEEN_DECIMALS.divide(Decimal(1), Decimal(value)):f} in"
    if isinstance(value, int | float) and unit not in ("", "1"):
        return f"{Decimal(repr(value)):f} {unit}"
    return f"{Decimal(repr(value)):f}" if isinstance(value, int | float) else value


def in_unit(value: float, kind: str, unit: str | None) -> float:
    """A canonical figure in the vector's unit."""
    if unit is None or unit == "1":
        return value
    scale, offset = FACTORS[_kind_of(kind, unit)][unit.replace("^", "")]
    return (value - offset) / scale


def canonical_size(case: Case) -> float:
    """The largest figure that goes in or comes out, in canonical units: what 1e-12 is relative to."""
    kinds = {row["key"]: row["kind"] for row in rows() if row["calculator"] == case.calculator}
    sizes = [abs(value) for key, text in case.inputs.items() for value in _canonical(text, kinds[key])]
    for expected in case.outputs.values():
        figures = expected.value if isinstance(expected.value, list) else [expected.value]
        kind = _kind_of(expected.kind, expected.unit)
        sizes += [abs(_scaled(x, kind, expected.unit)) for x in figures if type(x) in (int, float)]
    return max(sizes, default=1.0)


def _canonical(given: Any, kind: str) -> list[float]:
    if not isinstance(given, str) or kind in ("text", "flag"):
        return []
    number, _, unit = given.partition(" ")
    return [_scaled(float(number), _kind_of(kind, unit), unit)]


def _scaled(value: float, kind: str, unit: str | None) -> float:
    if not unit or unit == "1":
        return float(value)
    scale, offset = FACTORS[kind][unit.replace("^", "")]
    return value * scale + offset


def _kind_of(kind: str, unit: str | None) -> str:
    """A list is of the kind of its elements' unit."""
    kinds = {"in": "length", "deg": "angle", "lbf*ft": "torque"}
    return kinds.get(str(unit), kind) if kind == "list" else kind
