"""One bad or newer entry must never make a build unreadable: it is refused by name, or kept as ink (LG12)."""

import json
from typing import Any

import pytest

from standbook.trade import calls, instruments, limits
from standbook.trade.entries import check
from standbook.trade.facts import use_table
from standbook.trade.plain import Refusal

from .book_maker import BUILD, MICROMETER, V8, BookMaker, typed

CLEARANCE = "main_bearing_clearance"


def looked_at(maker: BookMaker) -> dict[str, Any]:
    """Everything that screens ask of a build; raises where the book cannot be read."""
    for step in ("main_housings", "journals", CLEARANCE, "solid_lash"):
        maker.build.step(step)
    maker.build.guide("solid_lash")
    return maker.build.state()


def refused(maker: BookMaker) -> str:
    with pytest.raises(Refusal) as caught:
        check(json.loads(maker.texts[-1]))
    return caught.value.message


@pytest.mark.parametrize(
    ("step", "place", "value"),
    [
        (CLEARANCE, "MB1.V", typed("2.5", "psi")),
        (CLEARANCE, "MB1.V", typed("0.0025", None)),
        (CLEARANCE, "MB1.V", typed("about two", None)),
        ("journals", "temperature", typed("68", "in")),
        (CLEARANCE, "method", typed("2", "in")),
    ],
)
def test_a_reading_that_does_not_fit_its_place_is_refused_and_if_stored_all_the_same_is_only_ink(
    step: str, place: str, value: dict[str, Any]
) -> None:
    maker = BookMaker()
    maker.reading(step, place, value["text"], value["unit"])
    assert refused(maker).endswith((".", "again."))
    looked_at(maker)
    assert maker.place(step, place)["accepted"] is None


@pytest.mark.parametrize(
    "gauge",
    [
        {"id": "x", "kind": "outside_micrometer", "name": "Micrometer"},
        MICROMETER | {"step": typed("", "in")},
        MICROMETER | {"step": typed("0", "in")},
        MICROMETER | {"dial": None},
    ],
)
def test_an_instrument_that_says_too_little_is_refused_and_if_stored_all_the_same_harms_nothing(gauge: Any) -> None:
    maker = BookMaker()
    maker.reading("journals", "MJ1.F.0", "2.5758", gauge=gauge)
    assert "instrument" in refused(maker) or "Nothing typed" in refused(maker)
    looked_at(maker)


@pytest.mark.parametrize(
    "change", [{"dial": 0}, {"used_up": 0}, {"step": typed("0", "in")}, {"range_low": typed("x", "in")}]
)
def test_a_gauge_that_was_whole_before_is_looked_at_again_when_it_says_something_else(change: dict[str, Any]) -> None:
    gauge = MICROMETER | {"id": "known-by-now", "used_up": False, "range_low": typed("1", "in")}
    maker = BookMaker()
    maker.reading("journals", "MJ1.F.0", "2.5758", gauge=gauge)
    check(json.loads(maker.texts[-1]))
    gauge |= change
    maker.reading("journals", "MJ1.F.0", "2.5758", gauge=gauge)
    assert refused(maker)


def test_broken_bodies_of_other_kinds_are_refused() -> None:
    for kind, body, step in (
        ("decision", {"decision": "accept", "about": "x", "reason": "y", "value": {"words": "x"}}, CLEARANCE),
        ("step_signed", {"shown": "0", "uses": [1, "a"], "note": ""}, "journals"),
        ("limits_frozen", {"defaults": "0", "cards": [card(low=typed("2", "psi"))]}, None),
        ("limits_frozen", {"defaults": "0", "cards": [card(low=typed("0.003"), high=typed("0.002"))]}, None),
    ):
        maker = BookMaker()
        maker.entry(kind, body, step)
        refused(maker)


def card(low: Any = None, high: Any = None, key: str = "main_clearance") -> dict[str, Any]:
    return {"id": "c", "version": 1, "title": "Sheet", "rows": [{"key": key, "low": low, "high": high}]}


@pytest.mark.parametrize("kind", ["reading", "engine_value", "decision", "struck_out", "limits_frozen", "step_signed"])
def test_lg12_a_body_of_a_newer_version_is_kept_counted_and_told(kind: str) -> None:
    maker = BookMaker()
    maker.entry(kind, {"v": 2, "other": "shape"}, "journals", "MJ1.F.0", "first")
    check(json.loads(maker.texts[-1]))
    state = looked_at(maker)
    assert state["count"] == len(maker.texts)
    assert [flag["id"] for flag in state["flags"]] == ["newer_entries"]


@pytest.mark.parametrize(
    ("step", "place", "answer"),
    [(CLEARANCE, "method", "air_gauge"), ("solid_lash", "method", "three_positions"), ("solid_lash", "state", "warm")],
)
def test_lg12_a_choice_that_only_a_newer_app_knows_counts_as_not_answered(step: str, place: str, answer: str) -> None:
    maker = BookMaker()
    maker.journals()
    maker.reading(CLEARANCE, "MB1.V", "2.5780")
    maker.reading("solid_lash", "2I.lash", "0.016")
    maker.reading(step, place, answer, None)
    looked_at(maker)
    assert maker.place(step, place)["accepted"]["text"] == answer
    assert maker.build.guide("solid_lash")["now"] is None


def test_lg12_rows_of_a_newer_table_are_passed_over_and_told() -> None:
    rows = limits.as_dicts()
    rows.append({**rows[0], "id": "LIM-900", "key": "boost", "when": ["boosted engine"], "acts_on": "main_clearance"})
    rows = [row for row in rows if row["key"] != "reading_difference_in_steps"]
    use_table("newer", json.dumps({"rows": rows}))
    maker = BookMaker()
    maker.entry("limits_frozen", {"defaults": "newer", "cards": []}, person="lead")
    maker.joint()
    maker.bearing(1, "0.0024", "0.0030", "0.0031")
    assert "limits_unread" in [flag["id"] for flag in looked_at(maker)["flags"]]
    assert maker.value(CLEARANCE, "MB1.clearance")["verdict"] == "in"


@pytest.mark.parametrize(
    "changed",
    [
        {"rod_journals": [[1], [2], [3], [4], [5], [6], [7], [8]]},
        {"rod_journals": [[1, 2, 3], [4, 5, 6], [7, 8]]},
        {"layout": "inline"},
        {"main_bearings": typed("3", "1")},
    ],
)
def test_a_specification_that_was_changed_can_still_be_looked_at(changed: dict[str, Any]) -> None:
    maker = BookMaker(engine={**V8, **changed})
    maker.journals()
    looked_at(maker)


def test_readings_at_places_that_the_engine_lost_are_told() -> None:
    maker = BookMaker()
    maker.journals()
    maker.entry("engine_value", {"field": "main_bearings", "value": typed("3", "1"), "basis": "nominal"}, person="lead")
    words = [flag["words"] for flag in maker.flags("engine")]
    assert words == ["Crank journals: 8 readings belong to places that this engine no longer has."]


def test_a_card_with_one_end_guides_with_one_end() -> None:
    maker = BookMaker(cards=[card(high=typed("0.001"), key="lash_off_target")])
    maker.reading("solid_lash", "state", "cold", None)
    maker.reading("solid_lash", "method", "one_by_one", None)
    assert maker.build.guide("solid_lash")["now"]["band"] == "up to 0.017 in"


@pytest.mark.parametrize(
    "asked",
    [
        '{"name": "combined-uncertainty", "inputs": {"first_uncertainty": 1e400, "second_uncertainty": 1}}',
        '{"name": "combined-uncertainty", "inputs": {"first_uncertainty": 1e300, "second_uncertainty": 1e300}}',
        '{"name": "limit-verdict", "inputs": {"limit_kind": "blah", "value": 1, "uncertainty": 1}}',
        '{"name": "reference-size", "inputs": ' + "[" * 4000 + "]" * 4000 + "}",
        "[1]",
        "nonsense",
    ],
)
def test_no_call_raises_and_every_answer_is_json(asked: str) -> None:
    answer = json.loads(calls.call("reckon", asked), parse_constant=pytest.fail)
    assert set(answer["error"]) == {"code", "message", "details"}


def test_entries_read_in_one_piece_come_to_the_same_book_as_one_by_one() -> None:
    maker = BookMaker()
    maker.journals()
    seqs = list(range(1, len(maker.texts) + 1))
    one_by_one = [{"text": text, "seq": seq} for text, seq in zip(maker.texts, seqs, strict=True)]
    read = [json.loads(text) for text in maker.texts]
    shown = []
    for fed in ({"entries": one_by_one}, {"read": read, "seqs": seqs}):
        assert json.loads(calls.call("open", json.dumps({"build": BUILD, **fed}))) == {}
        shown.append(calls.call("state", json.dumps({"build": BUILD})))
    assert shown[0] == shown[1]
    assert json.loads(shown[1])["count"] == len(seqs)


def test_entries_that_do_not_come_out_whole_are_refused_and_none_is_taken() -> None:
    maker = BookMaker()
    read = [json.loads(text) for text in maker.texts]
    answer = calls.call("open", json.dumps({"build": BUILD, "read": read, "seqs": [1]}))
    assert json.loads(answer)["error"]["code"] == "entries_uncounted"
    assert json.loads(calls.call("state", json.dumps({"build": BUILD})))["count"] == 0


def test_a_thousand_gauges_that_nobody_has_take_no_memory_for_good() -> None:
    for number in range(3 * instruments.MOST_SIZES):
        gauge = {"kind": "dial_indicator", "step": {"text": f"0.{number + 1:05}", "unit": "in"}}
        assert instruments.step_of(gauge) == pytest.approx((number + 1) / 100_000 * 25.4)
    assert len(instruments._sizes) <= instruments.MOST_SIZES  # noqa: SLF001
