"""What the desk is told of the book: what two wrote at once, how a limit came to be, who tightened with what."""

import json
from collections.abc import Iterator
from typing import Any

import pytest

from standbook.trade import calls, limit_history, tightened
from standbook.trade.limits import TABLE_SHA256
from tests.micropython import Brain

from .book_maker import BUILD, MICROMETER, OTHER_PHONE, BookMaker, typed
from .joint_maker import JointMaker

STEP = "main_bearing_clearance"
WRENCH = MICROMETER | {
    "id": "tw-3",
    "kind": "torque_wrench",
    "name": "Torque wrench TW-03",
    "step": typed("1", "lbf*ft"),
    "trust": typed("2", "lbf*ft"),
    "calibration_due": "2027-03-01",
}


def card(
    low: str, high: str, version: int = 1, title: str = "Main bearing sheet", key: str = "main_clearance"
) -> dict[str, Any]:
    return {
        "id": f"card-{title}",
        "version": version,
        "title": title,
        "rows": [{"key": key, "low": typed(low), "high": typed(high)}],
    }


def frozen(book: BookMaker, cards: list[dict[str, Any]], reason: str = "", **more: Any) -> str:
    body = {"defaults": TABLE_SHA256, "cards": cards} | ({"reason": reason} if reason else {})
    return book.entry("limits_frozen", body, person=more.pop("person", "lead"), **more)


def one_too_wide() -> BookMaker:
    book = BookMaker(cards=[card("0.0020", "0.0030")])
    book.joint()
    book.bearing(3, "0.0034", "0.0030", "0.0030")
    return book


def at_once(book: BookMaker) -> list[dict[str, Any]]:
    return [flag for flag in book.flags() if "at two desks at once" in flag["words"]]


# --- decisions -------------------------------------------------------------------------------------------------------


def decided_twice(second: str = "measure_again", seen: int | None = None) -> BookMaker:
    book = one_too_wide()
    before = len(book.texts)
    book.decide("accept", "MB3.clearance", "the grinder's own figure")
    book.decide(second, "MB3.clearance", "gauge was cold", device=OTHER_PHONE, seen=before if seen is None else seen)
    return book


def test_two_who_decide_differently_at_once_are_both_named_and_the_lead_is_asked() -> None:
    (flag,) = at_once(decided_twice())
    assert flag["words"] == (
        "Main 3, oil clearance: decided at two desks at once, Jon T. accepts it (the grinder's own figure) and Jon T."
        " asks to measure again (gauge was cold). The later one holds until a lead who knows both decides."
    )
    assert (flag["severity"], flag["about"], flag["open"]) == ("HOLD", "MB3.clearance", True)


def test_two_who_decide_alike_are_no_matter_and_neither_is_who_knew_of_the_first() -> None:
    assert at_once(decided_twice(second="accept")) == []
    book = one_too_wide()
    assert at_once(decided_twice(seen=len(book.texts) + 1)) == []


@pytest.mark.parametrize("device", ["phone-1", OTHER_PHONE])
def test_a_lead_who_knew_of_both_settles_it_and_one_who_knew_of_one_does_not(device: str) -> None:
    book = decided_twice()
    both = len(book.texts)
    book.decide("accept", "MB3.clearance", "looked at both", device=device, seen=both)
    assert at_once(book) == []
    half = decided_twice()
    half.decide("accept", "MB3.clearance", "knew one only", device="phone-1", seen=both - 1)
    assert len(at_once(half)) == 1


def test_a_decision_about_a_place_or_a_flag_is_told_by_its_words() -> None:
    for about, words in (("MB3.V", "Main 3 bearing, upright:"), (STEP + ":order", "Main bearing clearance")):
        book = one_too_wide()
        before = len(book.texts)
        book.decide("accept", about, "so it was")
        book.decide("measure_again", about, "not so", device=OTHER_PHONE, seen=before)
        (flag,) = at_once(book)
        assert flag["words"].startswith(words)
        assert "_" not in flag["words"]


# --- limits and the specification ------------------------------------------------------------------------------------


def test_cards_written_at_two_desks_at_once_are_told_until_somebody_writes_them_knowing_both() -> None:
    book = BookMaker()
    before = len(book.texts)
    frozen(book, [card("0.0020", "0.0030")])
    frozen(book, [card("0.0001", "0.0003", title="Housing sheet")], device=OTHER_PHONE, person="mara", seen=before)
    (flag,) = at_once(book)
    assert flag["words"].startswith("Limits and cards: changed at two desks at once, by Jon T. and by Mara K.")
    assert flag["open"]
    frozen(book, [card("0.0020", "0.0030"), card("0.0001", "0.0003", title="Housing sheet")])
    assert at_once(book) == []


def test_a_value_of_the_engine_written_differently_at_once_is_told() -> None:
    book = BookMaker()
    before = len(book.texts)
    body = {"field": "bore", "basis": "measured"}
    book.entry("engine_value", body | {"value": typed("4.130")}, person="lead")
    book.entry("engine_value", body | {"value": typed("4.155")}, person="mara", device=OTHER_PHONE, seen=before)
    (flag,) = at_once(book)
    assert flag["words"].startswith("Engine, ")
    assert flag["words"].endswith("write the right value again.")
    book.entry("engine_value", body | {"value": typed("4.155")}, person="lead")
    assert at_once(book) == []


def test_the_history_of_a_limit_says_who_when_from_what_to_what_by_which_source_and_why() -> None:
    book = BookMaker()
    frozen(book, [card("0.0020", "0.0030")], "sheet came with the bearings", made_at="2026-11-25T09:00:00.000Z")
    frozen(book, [card("0.0022", "0.0030", version=2)], person="mara", made_at="2026-11-26T09:00:00.000Z")
    found = limit_history.view(book.build)
    assert [(one["was"], one["now"], one["person"], one["at"][:10], one["reason"]) for one in found["changes"]] == [
        (
            "0.0020 to 0.0030 in, spec card: Main bearing sheet, version 1",
            "0.0022 to 0.0030 in, spec card: Main bearing sheet, version 2",
            "Mara K.",
            "2026-11-26",
            "",
        ),
        (
            # 0.0008 and 0.0012 per inch of 2.5758 in, to the ten-thousandth: common practice.
            "0.0021 to 0.0031 in, shop default (common practice)",
            "0.0020 to 0.0030 in, spec card: Main bearing sheet, version 1",
            "Jon T.",
            "2026-11-25",
            "sheet came with the bearings",
        ),
    ]
    (sheet,) = found["cards"]
    assert (sheet["title"], sheet["version"], sheet["rows"][0]["band"]) == (
        "Main bearing sheet",
        2,
        "0.0022 to 0.0030 in",
    )
    assert found["changes"][0]["words"] == sheet["rows"][0]["words"]


def test_a_limit_that_stays_is_no_change_and_one_whose_card_goes_is() -> None:
    book = BookMaker(cards=[card("0.0020", "0.0030")])
    frozen(book, [card("0.0020", "0.0030"), card("2.7655", "2.7665", title="Block sheet", key="main_housing_size")])
    (added,) = limit_history.view(book.build)["changes"]
    assert (added["was"], added["now"]) == ("no limit", "2.7655 to 2.7665 in, spec card: Block sheet, version 1")
    frozen(book, [card("0.0020", "0.0030")])
    assert limit_history.view(book.build)["changes"][0]["now"] == "no limit"


def test_beside_each_limit_that_a_card_can_give_stands_what_holds_today_and_by_which_source() -> None:
    """0.0008 and 0.0012 per inch of 2.5758 in and 0.060 in of preload at the most are common practice."""
    book = BookMaker(cards=[card("0.0020", "0.0030")])
    now = limit_history.view(book.build)["in_force"]
    assert set(now) == {row["key"] for row in calls.catalogue({})["card_rows"]}
    assert now["main_clearance"] == "0.0020 to 0.0030 in, spec card: Main bearing sheet, version 1"
    assert now["retainer_to_rocker"] == "at least 0.0400 in, shop default (common practice)"
    assert now["rod_bolt_stretch"] == "no limit"
    default = limit_history.view(BookMaker().build)["in_force"]
    assert default["main_clearance"] == "0.0021 to 0.0031 in, shop default (common practice)"


def test_a_limit_names_the_card_that_gives_it() -> None:
    value = one_too_wide().value(STEP, "MB3.clearance")
    assert [limit["card"] for limit in value["limits"]] == ["card-Main bearing sheet"]
    bare = BookMaker()
    bare.joint()
    bare.bearing(3, "0.0034", "0.0030", "0.0030")
    assert [limit["card"] for limit in bare.value(STEP, "MB3.clearance")["limits"]] == [None]


# --- who tightened what ----------------------------------------------------------------------------------------------


def tightenings() -> BookMaker:
    book = BookMaker()
    book.joint()
    book.reading(STEP, "torque", "65", "lbf*ft", gauge=WRENCH)
    book.reading(STEP, "torque", "70", "lbf*ft", "measured_again", gauge=WRENCH, person="lead", note="card says 70")
    book.reading("main_housings", "torque", "88", "N*m")
    book.bearing(1, "0.0026", "0.0030", "0.0030")
    return book


def test_the_record_is_by_person_and_wrench_with_what_where_and_when() -> None:
    groups = tightened.view(tightenings().build)["groups"]
    assert [(group["person"], group["wrench"], group["due"]) for group in groups] == [
        ("Jon T.", "Torque wrench TW-03", "2027-03-01"),
        ("Mara K.", "Torque wrench TW-03", "2027-03-01"),
        ("Mara K.", "no wrench named", None),
    ]
    (line,) = groups[0]["lines"]
    assert line["words"] == "Main fastener torque, as the card gives it"
    assert line["step"] == "Main bearing clearance"
    assert line["shown"]["words"] == "70 ft-lb (94.9 N\u00b7m)"  # 70 x 1.3558179 N*m, NIST SP 811
    assert (line["note"], line["struck"], line["why"]) == ("card says 70", None, "measured again")


def test_a_pass_of_a_joint_is_in_the_record_by_its_fasteners_and_what_its_card_says_is_not() -> None:
    book = JointMaker().set_up(wrench=WRENCH)
    book.say("H1.pass1", "all", gauge=WRENCH, pulls=10)
    book.say("H1.pass2", "3", gauge=WRENCH, pulls=1)
    (group,) = tightened.view(book.build)["groups"]
    assert [(line["words"], line["shown"]["words"]) for line in group["lines"]] == [
        ("Left head, pass 1", "10 fasteners"),
        ("Left head, pass 2", "1 fastener"),
    ]


def test_what_was_struck_out_stays_in_the_record_with_its_reason() -> None:
    book = tightenings()
    first = tightened.view(book.build)["groups"][1]["lines"][0]["entry"]
    book.strike(first, "the wrench was dropped")
    (line,) = tightened.view(book.build)["groups"][1]["lines"]
    assert line["struck"] == "struck out by Jon T.: the wrench was dropped"


def test_a_torque_of_a_newer_version_is_in_the_record_and_a_crank_angle_is_not() -> None:
    book = BookMaker()
    book.reading("joint_of_tomorrow", "bolt 7", "45", "lbf*ft", gauge=WRENCH)
    book.reading("joint_of_tomorrow", "bolt 8", "90", "deg", gauge=WRENCH)
    book.skip("main_housings", "torque", "no wrench here")
    (group,) = tightened.view(book.build)["groups"]
    assert [line["shown"]["words"] for line in group["lines"]] == ["45 ft-lb (61.0 N\u00b7m)"]
    assert group["lines"][0]["words"] == "a place of a newer version"


# --- both interpreters -----------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def phone() -> Iterator[Brain]:
    with Brain() as brain:
        yield brain


@pytest.mark.parametrize("call", ["limits", "tightened", "state"])
def test_the_phone_tells_what_the_server_tells(phone: Brain, call: str) -> None:
    book = tightenings()
    before = len(book.texts)
    frozen(book, [card("0.0020", "0.0030")], "why")
    frozen(book, [card("0.0021", "0.0030")], device=OTHER_PHONE, seen=before)
    entries = {"build": BUILD, "entries": [{"text": text, "seq": at + 1} for at, text in enumerate(book.texts)]}
    told = []
    for brain in (phone.call, calls.call):
        brain("people", json.dumps({"people": []}))
        brain("open", json.dumps(entries))
        told.append(json.loads(brain(call, json.dumps({"build": BUILD}))))
    assert told[0] == told[1]
    assert "error" not in told[0]
