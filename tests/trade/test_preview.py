"""What follows on each key: errors that say what to do, slips, the values touched, and that nothing is stored."""

import json
from typing import Any

import pytest

from standbook.trade import calls
from standbook.trade.plain import parse_number

from .book_maker import BUILD, MICROMETER, BookMaker, typed


def preview(maker: BookMaker, step: str, place: str, value: dict[str, Any], gauge: Any = MICROMETER) -> dict[str, Any]:
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, start=1)]
    calls.call("open", json.dumps({"build": BUILD, "entries": entries}))
    asked = {"build": BUILD, "step": step, "place": place, "typed": value, "why": "first", "instrument": gauge}
    answer: dict[str, Any] = json.loads(calls.call("preview", json.dumps(asked)))
    return answer


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "number_empty"),
        (".", "number_empty"),
        ("2.5.8", "number_two_marks"),
        ("1_000", "number_not_digits"),
        ("two", "number_not_digits"),
        ("\u0662\u066b\u0665", "number_not_digits"),
        ("\uff12.\uff15", "number_not_digits"),
        ("NaN", "number_not_digits"),
        ("1e400", "number_not_digits"),
        ("1" * 16, "number_long"),
    ],
)
def test_what_is_no_number_is_refused_by_name_with_what_to_do(text: str, code: str) -> None:
    answer = preview(BookMaker(), "journals", "MJ1.F.0", typed(text))
    assert answer["error"]["code"] == code
    assert answer["error"]["message"].endswith(".")


def test_a_comma_counts_as_the_decimal_mark() -> None:
    assert parse_number("2,5758") == 2.5758


def test_a_length_in_psi_is_refused_with_the_units_that_fit() -> None:
    answer = preview(BookMaker(), "journals", "MJ1.F.0", typed("2.5758", "psi"))
    assert answer["error"]["message"] == "This needs another unit: choose one of in, thou, mm."


def test_a_thimble_turn_is_recognised_and_offered() -> None:
    answer = preview(BookMaker(), "journals", "MJ5.R.90", typed("2.6008"))
    assert answer["slips"][0]["offer"] == typed("2.5758")
    assert answer["ask"] is True


def test_a_metric_thimble_turn_is_half_a_millimetre() -> None:
    answer = preview(BookMaker(), "journals", "MJ1.F.0", typed("65.925", "mm"), None)
    assert answer["slips"][0]["offer"] == typed("65.425", "mm")


def test_millimetres_typed_as_inches_are_recognised() -> None:
    answer = preview(BookMaker(), "journals", "MJ1.F.0", typed("65.425"), None)
    assert answer["slips"][0]["offer"] == typed("65.425", "mm")


def test_a_good_reading_asks_nothing_and_echoes_both_systems() -> None:
    maker = BookMaker()
    maker.joint()
    answer = preview(maker, "main_bearing_clearance", "MB1.V", typed("0.0024"))
    assert (answer["ask"], answer["value"]["words"], answer["verdict"]) == (
        False,
        "0.0024 in (0.061 mm)",
        "cannot judge",
    )
    assert answer["values"][0]["verdict"] == "in"


def test_looking_ahead_stores_nothing() -> None:
    maker = BookMaker()
    before = maker.build.step("journals")
    preview(maker, "journals", "MJ1.F.0", typed("2.5758"))
    assert maker.build.step("journals") == before


def test_an_unknown_place_step_or_call_is_an_error_in_the_common_shape() -> None:
    for name, asked in (
        ("preview", {"build": BUILD, "step": "journals", "place": "X", "typed": typed("1")}),
        ("step", {"build": BUILD, "step": "nope"}),
        ("state", {"build": "unopened"}),
        ("nope", {}),
    ):
        error = json.loads(calls.call(name, json.dumps(asked)))["error"]
        assert set(error) == {"code", "message", "details"}
