"""What follows on each key: errors that say what to do, slips, the values touched, and that nothing is stored."""

import json
from typing import Any

import pytest

from standbook.trade import calls
from standbook.trade.plain import parse_number

from .book_maker import BORE_GAUGE, BUILD, MICROMETER, BookMaker, typed


def preview(
    maker: BookMaker, step: str, place: str, value: dict[str, Any], gauge: Any = MICROMETER, why: str = "first"
) -> dict[str, Any]:
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, start=1)]
    calls.call("open", json.dumps({"build": BUILD, "entries": entries}))
    asked = {"build": BUILD, "step": step, "place": place, "typed": value, "why": why, "instrument": gauge}
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
    assert (answer["ask"], answer["value"]["words"], answer["verdict"]) == (False, "0.0024 in (0.061 mm)", "in")


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


def clearance_preview(text: str, unit: str = "in") -> dict[str, Any]:
    maker = BookMaker()
    maker.joint()
    return preview(maker, "main_bearing_clearance", "MB1.V", typed(text, unit), BORE_GAUGE)


@pytest.mark.parametrize(
    ("text", "said"), [("0.025", "Ten times off"), ("0.0250", "Ten times off"), ("2.5", "thousandths")]
)
def test_a_slip_in_a_direct_clearance_is_named_for_what_it_is(text: str, said: str) -> None:
    answer = clearance_preview(text)
    assert any(said in slip["message"] for slip in answer["slips"]), answer["slips"]
    assert all(slip["offer"] != typed("0.0000") for slip in answer["slips"])


@pytest.mark.parametrize("text", ["2.57", "2.58", "2.6"])
def test_missing_digits_are_asked_about(text: str) -> None:
    answer = preview(BookMaker(), "journals", "MJ1.F.0", typed(text))
    assert "digit missing" in answer["slips"][0]["message"]


def test_a_figure_between_the_steps_of_a_strip_is_asked_about() -> None:
    strip = BORE_GAUGE | {"kind": "plastic_strip", "step": typed("0.0005")}
    answer = preview(BookMaker(), "main_bearing_clearance", "MB1.strip", typed("0.0023"), strip)
    assert answer["slips"][0]["id"] == "finer"


def test_a_preview_judges_what_would_count_after_a_repeat() -> None:
    maker = BookMaker()
    maker.joint()
    maker.reading("main_bearing_clearance", "MB1.V", "0.0032", gauge=BORE_GAUGE)
    answer = preview(maker, "main_bearing_clearance", "MB1.V", typed("0.0030"), BORE_GAUGE, "repeat")
    maker.reading("main_bearing_clearance", "MB1.V", "0.0030", why="repeat", gauge=BORE_GAUGE)
    recorded = maker.value("main_bearing_clearance", "MB1.clearance")
    assert answer["verdict"] == recorded["verdict"] == "in, close"


def test_a_repeat_that_does_not_agree_is_told_before_it_is_kept() -> None:
    maker = BookMaker()
    maker.joint()
    maker.reading("main_bearing_clearance", "MB1.V", "0.0036", gauge=BORE_GAUGE)
    answer = preview(maker, "main_bearing_clearance", "MB1.V", typed("0.0026"), BORE_GAUGE, "repeat")
    assert "does not agree" in answer["sentence"]


def test_what_a_step_notices_about_a_place_is_asked_at_the_stand_and_only_once() -> None:
    maker = BookMaker()
    maker.reading("solid_lash", "state", "cold", None)
    answer = preview(maker, "solid_lash", "4E.lash", typed("0.016"), None)
    slip = next(slip for slip in answer["slips"] if "exchanged" in slip["message"])
    maker.reading("solid_lash", "4E.lash", "0.016", confirmed=[slip["id"], "out"], note="checked the card")
    found = next(flag for flag in maker.flags("slip") if "exchanged" in flag["words"])
    assert (found["severity"], found["answer"]) == ("NOTE", "found so: checked the card")


def test_exchanged_digits_of_a_small_clearance_are_offered_the_right_way_round() -> None:
    assert clearance_preview("0.0206")["slips"][0]["offer"] == typed("0.0026")


def test_what_is_only_worth_a_note_is_not_asked_at_the_stand() -> None:
    answer = clearance_preview("0.0036")
    assert (answer["slips"], answer["verdict"], answer["ask"]) == ([], "out", True)
