"""The fold: which readings count, what stands as ink, and that arrival order never matters (LG11)."""

import gc
import json
import random
import weakref

import pytest

from standbook.trade import calls
from standbook.trade.build import Build

from .book_maker import BUILD, MICROMETER, OTHER_PHONE, PHONE, BookMaker

STEP, PLACE = "journals", "MJ1.F.0"


def read(maker: BookMaker, text: str, why: str = "first", **more: object) -> str:
    return maker.reading(STEP, PLACE, text, why=why, gauge=MICROMETER, **more)


def test_one_reading_counts_as_it_was_typed() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    assert maker.place(STEP, PLACE)["accepted"]["words"] == "2.5758 in (65.425 mm)"


def test_two_readings_within_two_steps_count_as_their_mean_and_both_are_named() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    read(maker, "2.5760", "repeat")
    place = maker.place(STEP, PLACE)
    assert place["accepted"]["text"] == "2.57590"
    assert [reading["used"] for reading in place["readings"]] == [True, True]


def test_readings_apart_count_for_nothing_until_a_third_agrees_with_one() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    read(maker, "2.5765", "repeat")
    assert maker.place(STEP, PLACE)["accepted"] is None
    assert any("no two readings agree" in flag["words"] for flag in maker.flags("disagree"))
    read(maker, "2.5764", "repeat")
    assert maker.place(STEP, PLACE)["accepted"]["text"] == "2.57645"


def test_a_reading_typed_wrong_is_struck_out_by_the_one_that_replaces_it() -> None:
    maker = BookMaker()
    wrong = read(maker, "2.5578")
    read(maker, "2.5758", "typed_wrong", corrects=wrong)
    first, second = maker.place(STEP, PLACE)["readings"]
    assert (first["struck"], first["live"], second["used"]) == ("typed wrong, replaced", False, True)


def test_with_a_changed_part_the_old_readings_go() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    read(maker, "2.5659", "part_changed")
    assert maker.place(STEP, PLACE)["accepted"]["text"] == "2.5659"


def test_what_the_lead_strikes_out_no_longer_counts_and_stays_to_be_seen() -> None:
    maker = BookMaker()
    wrong = read(maker, "2.6008")
    maker.strike(wrong, "one turn off")
    place = maker.place(STEP, PLACE)
    assert place["accepted"] is None
    assert place["readings"][0]["struck"] == "struck out by Jon T.: one turn off"


def test_setting_again_replaces_what_was_set_before() -> None:
    maker = BookMaker()
    maker.reading("solid_lash", "2I.lash", "0.019")
    maker.reading("solid_lash", "2I.lash", "0.016", why="measured_again")
    assert maker.place("solid_lash", "2I.lash")["accepted"]["text"] == "0.016"


def two_firsts(second: str, seen: int | None) -> BookMaker:
    maker = BookMaker()
    read(maker, "2.5758", device=PHONE)
    read(maker, second, device=OTHER_PHONE, seen=seen)
    return maker


def test_lg11_two_first_readings_that_never_saw_each_other_disagree_and_nobody_wins() -> None:
    maker = two_firsts("2.5764", seen=3)
    assert maker.place(STEP, PLACE)["disagree"]
    assert maker.place(STEP, PLACE)["accepted"] is None
    assert maker.flags("disagree")[0]["severity"] == "HOLD"


def test_lg11_first_readings_within_what_the_instruments_explain_do_not_disagree() -> None:
    assert not two_firsts("2.5760", seen=3).place(STEP, PLACE)["disagree"]


def test_lg11_a_first_reading_by_someone_who_saw_the_other_is_no_disagreement() -> None:
    assert not any("disagree;" in flag["words"] for flag in two_firsts("2.5764", seen=None).flags("disagree"))


def test_lg11_a_disagreement_is_settled_by_striking_one_out() -> None:
    maker = two_firsts("2.5764", seen=3)
    maker.strike(maker.place(STEP, PLACE)["readings"][1]["id"], "other journal")
    assert maker.place(STEP, PLACE)["accepted"]["text"] == "2.5758"


def busy_book() -> BookMaker:
    maker = two_firsts("2.5764", seen=3)
    wrong = maker.reading(STEP, "MJ1.F.90", "2.5578", gauge=MICROMETER)
    maker.reading(STEP, "MJ1.F.90", "2.5758", why="typed_wrong", corrects=wrong, gauge=MICROMETER)
    maker.strike(maker.place(STEP, PLACE)["readings"][1]["id"], "other journal")
    maker.joint()
    maker.bearing(1, "0.0034", "0.0039", "0.0040")
    maker.decide("accept", "MB1.clearance", "loose on purpose")
    maker.decide("measure_again", "MB1.eccentricity", "odd")
    return maker


@pytest.mark.parametrize("seed", range(12))
def test_lg11_entries_in_any_order_and_twice_come_to_the_same_state(seed: int) -> None:
    maker = busy_book()
    numbered = list(enumerate(maker.texts, start=1))
    dice = random.Random(seed)
    shuffled = numbered + dice.sample(numbered, 10)
    dice.shuffle(shuffled)
    other = Build(BUILD, maker.build.names)
    for seq, text in shuffled:
        other.add(text, seq)
    assert other.state() == maker.build.state()
    assert other.step(STEP) == maker.build.step(STEP)
    assert other.step("main_bearing_clearance") == maker.build.step("main_bearing_clearance")


def test_lg11_own_unsent_entries_come_after_pulled_ones_and_learn_their_number_later() -> None:
    maker = BookMaker()
    unsent = read(maker, "2.5759", "repeat", sent=False)
    text = maker.texts[-1]
    read(maker, "2.5758", device=OTHER_PHONE)
    assert [reading["seq"] for reading in maker.place(STEP, PLACE)["readings"]] == [len(maker.texts), None]
    maker.build.add(text, len(maker.texts) - 1)
    assert maker.place(STEP, PLACE)["readings"][0]["id"] == unsent


def test_lg12_an_unknown_kind_of_entry_is_passed_over_without_harm() -> None:
    maker = BookMaker()
    maker.entry("from_the_future", {"v": 7, "what": "ever"})
    assert [flag["words"][:9] for flag in maker.build.state()["flags"]] == ["1 entries"]
    assert maker.build.state()["count"] == len(maker.texts)


def test_entries_of_another_build_are_left_out() -> None:
    maker = BookMaker()
    foreign = json.loads(maker.texts[0]) | {"build": "another", "id": "foreign"}
    maker.build.add(json.dumps(foreign), 99)
    assert maker.build.state()["count"] == len(maker.texts)


def test_a_repeat_that_agrees_raises_no_question_about_its_mean() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    read(maker, "2.5757", "repeat")
    assert maker.flags("slip") == []


def test_one_coarse_reading_does_not_widen_what_two_fine_ones_may_differ() -> None:
    maker = BookMaker()
    read(maker, "2.5750")
    read(maker, "2.5760", "repeat")
    caliper = MICROMETER | {"kind": "digital_caliper", "step": {"text": "0.0005", "unit": "in"}}
    maker.reading(STEP, PLACE, "2.5700", why="repeat", gauge=caliper)
    assert maker.place(STEP, PLACE)["accepted"] is None


def test_few_digits_without_a_gauge_do_not_agree_with_everything() -> None:
    maker = BookMaker()
    maker.reading(STEP, PLACE, "2.57")
    maker.reading(STEP, PLACE, "2.5758", why="repeat")
    assert maker.place(STEP, PLACE)["accepted"] is None


def test_lg11_a_disagreement_ends_when_somebody_who_saw_both_reads_again() -> None:
    maker = two_firsts("2.5764", seen=3)
    read(maker, "2.5763", "measured_again")
    assert maker.place(STEP, PLACE)["accepted"]["text"] == "2.57635"


def test_what_was_typed_wrong_stays_struck_out_when_its_correction_is_struck_too() -> None:
    maker = BookMaker()
    wrong = read(maker, "2.5578")
    right = read(maker, "2.5758", "typed_wrong", corrects=wrong)
    maker.strike(right, "other journal")
    assert maker.place(STEP, PLACE)["accepted"] is None


def test_a_value_that_was_measured_is_not_undone_by_not_measured() -> None:
    maker = BookMaker()
    read(maker, "2.5758")
    maker.skip(STEP, PLACE, "part is not here")
    place = maker.place(STEP, PLACE)
    assert (place["accepted"]["text"], place["not_measured"]) == ("2.5758", None)


def test_a_changed_part_takes_all_readings_of_that_part_along() -> None:
    maker = BookMaker()
    maker.journals()
    read(maker, "2.5658", "part_changed")
    others = [maker.place(STEP, f"MJ1.{place}")["accepted"] for place in ("F.90", "R.0", "R.90")]
    assert others == [None, None, None]
    assert maker.place(STEP, "MJ2.F.0")["accepted"]["text"] == "2.5758"


def test_of_temperatures_and_words_the_latest_counts_and_nobody_disagrees() -> None:
    maker = BookMaker()
    maker.reading(STEP, "room_temperature", "69", "degF")
    maker.reading(STEP, "room_temperature", "75", "degF", device=OTHER_PHONE, seen=3)
    maker.reading("main_housings", "lubricant", "Moly paste", None)
    maker.reading("main_housings", "lubricant", "moly paste", None, device=OTHER_PHONE, seen=3)
    assert maker.place(STEP, "room_temperature")["accepted"]["text"] == "75"
    assert maker.flags("disagree") == []


def test_a_clearance_that_was_looked_at_follows_a_journal_that_is_measured_again() -> None:
    maker = BookMaker()
    maker.journals()
    maker.joint("two_instruments")
    maker.bearing(1, "2.5780", "2.5786", "2.5787")
    before = maker.value("main_bearing_clearance", "MB1.clearance")["shown"]["text"]
    for place in ("MJ1.F.0", "MJ1.R.0"):
        for _ in range(2):
            maker.reading("journals", place, "2.5761", why="repeat", gauge=MICROMETER)
    after = maker.value("main_bearing_clearance", "MB1.clearance")["shown"]["text"]
    assert (before, after) == ("0.0022", "0.0019")


def test_a_name_that_is_learned_later_stands_in_what_was_looked_at_before() -> None:
    maker = BookMaker()
    maker.reading("journals", "MJ1.F.0", "2.5758")
    calls.call("people", '{"people": []}')
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]
    calls.call("open", json.dumps({"build": BUILD, "entries": entries}))
    ask = json.dumps({"build": BUILD})
    assert json.loads(calls.call("state", ask))["engine"][0]["person"] == "lead"
    calls.call("people", '{"people": [{"id": "lead", "name": "Jon T."}]}')
    assert json.loads(calls.call("state", ask))["engine"][0]["person"] == "Jon T."


def opened(maker: BookMaker) -> Build:
    """Its book, opened and looked at as a phone does."""
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]
    calls.call("open", json.dumps({"build": BUILD, "entries": entries}))
    assert json.loads(calls.call("state", json.dumps({"build": BUILD})))["stages"]
    build: Build = calls._builds[BUILD]  # noqa: SLF001 nobody outside is handed one
    return build


@pytest.mark.parametrize("name", ["close", "open"])
def test_a_book_that_is_closed_or_opened_anew_is_let_go_of_whoever_still_holds_the_build(name: str) -> None:
    maker = BookMaker()
    maker.journals()
    build = opened(maker)
    held = [weakref.ref(one) for one in (build.book, build.work(STEP), build.fold(STEP, build.work(STEP).places[0]))]
    gc.disable()
    try:
        calls.call(name, json.dumps({"build": BUILD, "entries": []}))
        assert [one() for one in held] == [None, None, None]
    finally:
        gc.enable()


def test_a_book_holds_together_without_a_ring_that_only_a_collector_takes_apart() -> None:
    maker = BookMaker()
    maker.journals()
    book = opened(maker).book
    readings = weakref.ref(book._places[STEP][PLACE])  # noqa: SLF001 nobody outside is handed one
    gc.disable()
    try:
        calls.call("close", json.dumps({"build": BUILD}))
        del book
        assert readings() is None
    finally:
        gc.enable()
