"""The engine specification: plausible windows (*common practice*) and what must fit together (crank geometry)."""

from typing import Any

import pytest

from standbook.trade import engine
from standbook.trade.engine import Engine

from .book_maker import V8, typed


def messages(**changed: Any) -> list[str]:
    return [problem["message"] for problem in Engine({**V8, **changed}).problems()]


def test_a_whole_specification_has_no_problems() -> None:
    assert messages() == []


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"bore": typed("40")}, "Bore should lie between 2.5 to 5.0 in"),
        ({"bore": typed("4.125", "psi")}, "choose one of in, thou, mm"),
        ({"bore": typed("4.1.25")}, "Two decimal marks"),
        ({"cylinders": typed("8.5", "1")}, "a whole number"),
        ({"firing_order": [1, 8, 4, 3, 6, 5, 7, 7]}, "repeated or missing number"),
        ({"firing_order": [1, 3, 4, 2]}, "has 4 numbers, and the engine 8 cylinders"),
        ({"firing_order": [1, 8, 4, 3, 6, 7, 5, 2]}, "cannot fire evenly in this order"),
        ({"numbering": [[1, 3, 5], [2, 4, 6, 8]]}, "numbering must name each cylinder"),
        ({"rod_journals": [[1, 2], [3, 4], [5, 6], [7, 9]]}, "Every cylinder belongs to one rod journal"),
        ({"rod_length": typed("4.6")}, "longer than 1.3 times the stroke"),
        ({"main_housing_diameter": typed("2.5700")}, "larger than its journal"),
        ({"block_material": "brass"}, "choose one of the list"),
        ({"stroke": None}, "Stroke is missing"),
    ],
)
def test_a_specification_that_cannot_be_is_told_with_what_to_do(changed: dict[str, Any], words: str) -> None:
    assert any(words in message for message in messages(**changed)), messages(**changed)


def test_a_swap_of_companions_passes_since_only_the_cam_card_can_tell() -> None:
    assert messages(firing_order=[1, 8, 7, 3, 6, 5, 4, 2]) == []


def test_an_in_line_engine_needs_no_bank_angle_and_no_shared_rod_journals() -> None:
    six = {**V8, "cylinders": typed("6", "1"), "layout": "inline", "numbering": [[1, 2, 3, 4, 5, 6]]}
    six = {key: value for key, value in six.items() if key not in ("bank_angle", "rod_journals")}
    assert Engine({**six, "firing_order": [1, 5, 3, 6, 2, 4], "main_bearings": typed("7", "1")}).problems() == []


def test_companions_and_firing_points_are_told() -> None:
    lines = {line["words"]: line["shown"] for line in engine.derived(Engine(V8))}
    assert lines["Companions"] == "1 and 6, 8 and 5, 4 and 7, 3 and 2"
    assert lines["Firing top dead centre"].startswith("1 at 0°, 8 at 90°")


def test_an_order_with_a_number_left_out_is_told_by_the_engine_s_cylinders() -> None:
    problems = Engine(V8 | {"firing_order": [1, 8, 4, 3, 6, 5, 7]}).problems()
    assert [problem["field"] for problem in problems] == ["firing_order"]
    assert problems[0]["message"] == "The firing order has 7 numbers, and the engine 8 cylinders: each once."
