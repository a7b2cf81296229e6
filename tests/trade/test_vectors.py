"""Every vector of our steps on both interpreters: right by its own tolerance, and the two alike.

Alike means 1e-12 of the largest figure that goes in or comes out, in canonical units: the two have their
mathematics from different libraries, an ulp apart.
"""

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from standbook.trade import calls
from tests.micropython import Brain
from tests.trade.vector_cases import VECTORS, Case, Expected, canonical_size, cases, in_unit, vectors

Host = Callable[[str, str], str]
CASES = cases()
IDS = [f"{case.vector} {case.calculator}" for case in CASES]
ALIKE = 1e-12


@pytest.fixture(scope="module")
def phone() -> Iterator[Host]:
    with Brain() as brain:
        yield brain.call


@pytest.fixture(params=["server", "phone"])
def host(request: pytest.FixtureRequest, phone: Host) -> Host:
    return phone if request.param == "phone" else calls.call


def reckon(host: Host, text: str) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(host("reckon", text))
    assert "error" not in answer, answer
    return answer


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_a_vector_comes_out_within_its_own_tolerance(host: Host, case: Case) -> None:
    outputs = reckon(host, case.ask())["outputs"]
    for expected in case.outputs.values():
        assert_within(outputs[expected.key], expected, case)


def assert_within(output: dict[str, Any], expected: Expected, case: Case) -> None:
    """Words, lists and tables exactly; figures by the vector's `tol` in the vector's own unit."""
    if isinstance(expected.value, bool):
        assert output["value"] == ("yes" if expected.value else "no")
    elif isinstance(expected.value, int | float):
        ours = in_unit(output["value"], expected.kind, expected.unit)
        assert ours == pytest.approx(expected.value, **tolerance(case, expected.unit))
    elif expected.kind == "list" and expected.unit:
        ours_each = [in_unit(value, "list", expected.unit) for value in output["value"]]
        assert ours_each == pytest.approx(expected.value, **tolerance(case, expected.unit))
    else:
        assert output["value"] == expected.value


def tolerance(case: Case, unit: str | None) -> dict[str, float]:
    """`exact` still allows for the last bits of the largest input, since sizes pass through millimetres.

    Of "abs 0.01 deg, rel 1e-4" the part that names a unit is for that unit, the other for the rest.
    """
    if case.tol == "exact":
        return {"rel": 0, "abs": ALIKE * canonical_size(case)}
    parts = [part.split(" ") for part in case.tol.split(", ")]
    word, figure = next(part[:2] for part in parts if part[2:] in ([], [unit]))
    return {"rel": float(figure), "abs": 0} if word == "rel" else {"rel": 0, "abs": float(figure)}


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_the_server_and_the_phone_reckon_a_vector_alike(phone: Host, case: Case) -> None:
    here, there = reckon(calls.call, case.ask()), reckon(phone, case.ask())
    assert sorted(here["outputs"]) == sorted(there["outputs"])
    slack = ALIKE * canonical_size(case)
    assert figures(there["outputs"]) == pytest.approx(figures(here["outputs"]), rel=0, abs=slack)
    assert without_figures(there) == without_figures(here)


def figures(value: Any) -> list[float]:
    """Every number in an answer, in order of the keys."""
    if isinstance(value, dict):
        return [number for key in sorted(value) for number in figures(value[key])]
    if isinstance(value, list):
        return [number for item in value for number in figures(item)]
    return [float(value)] if isinstance(value, int | float) else []


def without_figures(value: Any) -> Any:
    """The same answer with every number left out."""
    if isinstance(value, dict):
        return {key: without_figures(item) for key, item in value.items()}
    if isinstance(value, list):
        return [without_figures(item) for item in value]
    return "number" if isinstance(value, int | float) and not isinstance(value, bool) else value


def test_every_vector_of_our_steps_is_there_and_is_put_to_a_calculator() -> None:
    wanted = [*range(1, 39), *range(41, 46), *range(73, 110), *range(116, 138), *range(139, 154)]
    wanted += [201, 222, 223, 267, 286, 287]
    assert sorted(vectors()) == [f"TV-{number:03d}" for number in wanted]
    assert {case.vector for case in CASES} == set(vectors())


def test_every_output_of_every_vector_is_compared() -> None:
    compared: dict[str, int] = {}
    for case in CASES:
        compared[case.vector] = max(compared.get(case.vector, 0), len(case.outputs))
    assert compared == {vector_id: len(vector["out"]) for vector_id, vector in vectors().items()}


# --- the worked examples of the rule for values close to a limit ------------------------------------------------

WORKED = json.loads((VECTORS / "worked_verdicts.json").read_text(encoding="utf-8"))["rows"]


@pytest.mark.parametrize("row", WORKED, ids=[row["step"] for row in WORKED])
def test_a_worked_example_is_judged_as_its_table_has_it(host: Host, row: dict[str, str]) -> None:
    inputs = {"limit_kind": row["kind"], "value": f"{row['value']} in", "uncertainty": f"{row['u']} in"}
    inputs.update({end: f"{row[end]} in" for end in ("low", "high") if row[end]})
    answer = reckon(host, json.dumps({"name": "limit-verdict", "inputs": inputs}))
    assert answer["outputs"]["verdict"]["value"] == row["verdict"]
