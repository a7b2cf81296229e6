"""Preload through the whole brain, as a builder would look at it.

Depths follow from the lever geometry of the rocker (derived; the figures beside them are worked by hand as
turns / threads per inch x (1 + 1/R) for a stud nut, without it for a screw at the pushrod end, and divided by R for one
at the valve). Limits, waits and meanings are *common practice*.
"""

from typing import Any

import pytest

from .book_maker import V8, BookMaker, typed

STEP = "hydraulic_preload"
LIFTERS = {"lifter_kind": "roller_hydraulic", "lifter_travel": "full", "rocker_ratio": typed("1.6", "1")}
ENGINE: dict[str, Any] = {**V8, **LIFTERS, "rocker_kind": "roller_stud"}
DIAL = {
    "id": "dial-1",
    "kind": "dial_indicator",
    "name": "Dial indicator",
    "step": typed("0.001"),
    "trust": typed("0.001"),
    "dial": True,
    "calibration_due": None,
}


def begun(
    engine: dict[str, Any] | None = None,
    *,
    state: str = "oiled",
    adjuster: str = "stud_nut",
    thread: str = "t20",
    cards: list[dict[str, Any]] | None = None,
) -> BookMaker:
    maker = BookMaker(engine=engine or ENGINE, cards=cards)
    answers = {"state": state, "method": "one_by_one", "adjuster": adjuster, "thread": thread, "zero": "up_down"}
    for place, answer in answers.items():
        maker.reading(STEP, place, answer, None)
    return maker


def depth_of(maker: BookMaker, turns: str, unit: str = "turn") -> dict[str, Any]:
    maker.reading(STEP, "2I.turns", turns, unit)
    return maker.value(STEP, "2I.preload")


@pytest.mark.parametrize(
    ("adjuster", "thread", "ratio", "turns", "depth"),
    [
        ("stud_nut", "t20", "1.6", "0.5", "0.0406"),  # 0.025 x 1.625
        ("stud_nut", "t24", "1.5", "0.75", "0.0521"),  # 0.03125 x 1.6667
        ("pushrod_end", "t24", "1.6", "0.5", "0.0208"),  # 1/48
        ("valve_end", "t24", "1.6", "1", "0.0260"),  # 1/24 / 1.6
        ("stud_nut", "t24", "1.6", "1", "0.0677"),  # a whole turn is too deep at either thread
        ("stud_nut", "t20", "1.6", "1", "0.0813"),
    ],
)
def test_turns_become_the_depth_that_the_lever_gives(
    adjuster: str, thread: str, ratio: str, turns: str, depth: str
) -> None:
    engine = {**ENGINE, "rocker_ratio": typed(ratio, "1"), "rocker_kind": "pedestal"}
    maker = begun(engine, adjuster=adjuster, thread=thread)
    shown = depth_of(maker, turns)["shown"]["text"]
    (value,) = [judged.value for judged in maker.build.work(STEP).values if judged.value.number is not None]
    assert f"{value.number / 25.4:.4f}" == depth
    assert shown == f"{float(depth):.3f}"


@pytest.mark.parametrize(("turns", "verdict"), [("0.25", "in, close"), ("0.5", "in"), ("1", "out")])
def test_the_depth_is_judged_and_never_the_turns(turns: str, verdict: str) -> None:
    found = depth_of(begun(), turns)
    assert found["verdict"] == verdict
    assert found["limits"][0]["band"] == "0.020 to 0.060 in"


def test_the_lifter_card_goes_before_the_usual_depth() -> None:
    row = {"key": "preload_depth", "low": typed("0.045"), "high": typed("0.075")}
    maker = begun(cards=[{"id": "c", "version": 1, "title": "Lifter card", "rows": [row]}])
    found = depth_of(maker, "0.5")
    assert (found["verdict"], found["limits"][0]["source"]) == ("out", "spec card: Lifter card, version 1")
    assert maker.build.guide(STEP)["now"]["large"] == "3/4 turn"


def test_short_travel_lifters_have_their_own_depth_and_turns_that_a_hand_can_count() -> None:
    maker = begun({**ENGINE, "lifter_travel": "short"})
    now = maker.build.guide(STEP)["now"]
    assert (now["large"], now["target"]["text"]) == ("1/16 turn", "0.0625")  # 0.0051 of 0.000 to 0.010 in
    assert depth_of(maker, "0.0625")["verdict"] == "in, close"


def test_the_guide_gives_the_valve_the_sign_the_turns_and_the_depth() -> None:
    now = begun().build.guide(STEP)["now"]
    assert (now["set"], now["when"]) == ("Set INTAKE 2", "when EXHAUST 2 just starts to open")
    assert (now["large"], now["target"]["text"], now["target"]["unit"]) == ("1/2 turn", "0.5", "turn")
    assert now["band"] == "0.041 in past zero, limit 0.020 to 0.060 in"
    assert now["hint"].startswith("Zero lash: the pushrod just stops moving up and down.")
    assert now["angle"] == "crank 22° of 720° after 1 fires"


@pytest.mark.parametrize(("thread", "words"), [("t24", "5/8 turn"), ("m125", "1/2 turn"), ("m100", "5/8 turn")])
def test_another_thread_wants_other_turns_for_the_same_depth(thread: str, words: str) -> None:
    assert begun(thread=thread).build.guide(STEP)["now"]["large"] == words + ""


# --- slips ---


def slips(maker: BookMaker) -> list[str]:
    return [flag["words"] for flag in maker.flags("slip")]


def test_turns_typed_as_eighths_are_asked_about_and_the_eighths_are_offered() -> None:
    maker = begun()
    depth_of(maker, "4")
    assert any("Counted in eighths? Did you mean 4 eighths?" in words for words in slips(maker))
    again = begun()
    assert depth_of(again, "4", "eighth")["shown"]["text"] == "0.041"
    assert slips(again) == []


def test_one_whole_turn_is_out_and_not_argued_about_as_a_slip() -> None:
    maker = begun()
    assert depth_of(maker, "1")["verdict"] == "out"
    assert slips(maker) == []


def test_equal_turns_on_every_valve_are_no_finding() -> None:
    maker = begun()
    for n in range(1, 9):
        for side in "IE":
            maker.reading(STEP, f"{n}{side}.turns", "0.5", "turn")
    assert [flag["words"] for flag in maker.flags() if flag["open"]] == []
    assert maker.value(STEP, "preload_spread")["verdict"] == "in"


def test_a_depth_beyond_the_whole_travel_stops_the_work() -> None:
    maker = begun({**ENGINE, "lifter_total_travel": typed("0.120")})
    depth_of(maker, "1.375")  # 0.1117 in
    assert [flag for flag in maker.flags() if flag["severity"] == "STOP"] == []
    maker.reading(STEP, "2I.turns", "1.5", "turn", why="measured_again")  # 0.1219 in
    (stop,) = [flag for flag in maker.flags() if flag["severity"] == "STOP"]
    assert "stands on its bottom and holds the valve open" in stop["words"]
    assert stop["open"]


def test_a_measured_depth_goes_before_the_turns_and_finds_the_wrong_thread() -> None:
    maker = begun(thread="t20")
    depth_of(maker, "0.5")
    maker.reading(STEP, "2I.depth", "0.0338", gauge=DIAL)  # 1/48 x 1.625: the thread is 24
    assert maker.value(STEP, "2I.preload")["shown"]["text"] == "0.0338"
    assert any("24 threads per inch make this depth" in words for words in slips(maker))


def test_a_measured_depth_that_fits_the_declared_thread_says_nothing_of_it() -> None:
    maker = begun(thread="t20")
    depth_of(maker, "0.5")
    maker.reading(STEP, "2I.depth", "0.0402", gauge=DIAL)
    assert slips(maker) == []


@pytest.mark.parametrize(("rocker", "adjuster"), [("shaft", "stud_nut"), ("stamped", "pushrod_end")])
def test_an_adjuster_that_these_rockers_cannot_have_is_asked_about(rocker: str, adjuster: str) -> None:
    wrong = slips(begun({**ENGINE, "rocker_kind": rocker}, adjuster=adjuster))
    assert any("look at the adjuster again" in words for words in wrong)
    assert slips(begun({**ENGINE, "rocker_kind": "pedestal"}, adjuster=adjuster)) == []


def test_a_spread_of_depths_over_its_limit_is_out() -> None:
    maker = begun()
    depth_of(maker, "0.5")
    maker.reading(STEP, "4E.turns", "0.25", "turn")  # 0.0203 in apart
    assert maker.value(STEP, "preload_spread")["verdict"] == "out"


def test_a_zero_felt_by_spinning_is_warned_of() -> None:
    maker = begun()
    maker.reading(STEP, "zero", "spin", None, why="measured_again")
    assert any("stops spinning late" in flag["words"] for flag in maker.flags("order"))


# --- what is missing ---


def test_without_travel_or_card_no_depth_is_judged_and_the_lead_is_named() -> None:
    engine = {name: value for name, value in ENGINE.items() if name != "lifter_travel"}
    maker = begun(engine)
    assert depth_of(maker, "0.5")["verdict"] == "cannot judge"
    assert "the lifter card's preload" in maker.build.guide(STEP)["refused"]
    assert any(flag["severity"] == "HOLD" for flag in maker.flags("missing"))


def test_without_the_rocker_ratio_a_stud_nut_gives_no_depth_and_a_screw_at_the_pushrod_does() -> None:
    engine = {name: value for name, value in ENGINE.items() if name != "rocker_ratio"} | {"rocker_kind": "shaft"}
    assert depth_of(begun(engine), "0.5")["missing"] == ["Rocker ratio, nominal"]
    assert depth_of(begun(engine, adjuster="pushrod_end", thread="t24"), "1")["shown"]["text"] == "0.042"


def test_a_rocker_that_cannot_be_adjusted_has_its_depth_measured() -> None:
    maker = begun(adjuster="fixed")
    now = maker.build.guide(STEP)["now"]
    assert (now["act"], now["set"], now["place"]) == ("measure", "Measure INTAKE 2", "2I.depth")
    maker.reading(STEP, "2I.depth", "0.031", gauge=DIAL)
    assert maker.value(STEP, "2I.preload")["verdict"] == "in"
    wanted = [
        place["id"] for group in maker.build.step(STEP)["groups"] for place in group["places"] if place["required"]
    ]
    assert not any(place.endswith(".turns") or place in ("thread", "zero", "locks") for place in wanted)


# --- after the last valve ---

LATER = "2026-11-25T08:{minute:02d}:00.000Z"


def all_set(maker: BookMaker) -> BookMaker:
    for n in range(1, 9):
        for side in "IE":
            maker.reading(STEP, f"{n}{side}.turns", "0.5", "turn")
    return maker


def words_of(maker: BookMaker) -> str:
    return " ".join(flag["words"] for flag in maker.flags())


def test_oiled_lifters_want_no_wait_and_full_ones_do() -> None:
    oiled, full = all_set(begun()), all_set(begun(state="full"))
    assert not oiled.place(STEP, "bled_down")["required"]
    assert oiled.build.guide(STEP)["wait"] is None
    assert full.place(STEP, "bled_down")["required"]
    wait = full.build.guide(STEP)["wait"]
    assert (wait["minutes"], wait["since"]) == (30, "2026-11-25T08:00:00.000Z")
    assert "holds its valve open until it has bled down" in wait["words"]


def test_the_lifter_card_gives_the_wait() -> None:
    maker = all_set(begun({**ENGINE, "bleed_down": typed("12", "min")}, state="full"))
    assert maker.build.guide(STEP)["wait"]["minutes"] == 12


@pytest.mark.parametrize(("minute", "early"), [(12, True), (31, False)])
def test_bled_down_before_its_time_is_said(minute: int, early: bool) -> None:
    maker = all_set(begun(state="full"))
    maker.reading(STEP, "bled_down", "yes", None, made_at=LATER.format(minute=minute))
    assert ("Bled down after 12 of 30 minutes" in words_of(maker)) == early
    assert maker.build.guide(STEP)["wait"] is None


def test_full_lifters_and_no_wait_hold_the_work() -> None:
    maker = all_set(begun(state="full"))
    maker.reading(STEP, "bled_down", "no", None)
    assert "do not turn the engine yet" in words_of(maker)


def test_turned_before_the_wait_or_before_the_last_valve_is_said() -> None:
    maker = all_set(begun(state="full"))
    maker.reading(STEP, "turned", "yes", None)
    assert "Turned before the full lifters were recorded as bled down" in words_of(maker)
    late = all_set(begun())
    late.reading(STEP, "turned", "yes", None)
    assert "after the engine was turned" not in words_of(late)
    late.reading(STEP, "2I.turns", "0.5", "turn", why="measured_again")
    assert "Valves were set after the engine was turned" in words_of(late)


def test_resistance_while_turning_stops_the_work() -> None:
    maker = all_set(begun())
    maker.reading(STEP, "turned", "no", None)
    (stop,) = [flag for flag in maker.flags() if flag["severity"] == "STOP"]
    assert "Resistance while turning by hand: stop." in stop["words"]


def test_the_step_is_whole_when_turned_felt_again_and_locked() -> None:
    maker = all_set(begun())
    assert maker.build.step(STEP)["state"] == "in work"
    for place, answer in (("turned", "yes"), ("felt_again", "yes"), ("locks", "all")):
        maker.reading(STEP, place, answer, None)
    assert maker.build.step(STEP)["sign"]["missing"] == []
    maker.sign(STEP)
    assert maker.build.step(STEP)["state"] == "accepted"


def test_a_full_engine_is_cautioned_before_each_turn_of_the_crank() -> None:
    taps = [
        caution["line"] for caution in begun(state="full").build.step(STEP)["cautions"] if caution["level"] == "tap"
    ]
    assert any(line.startswith("Full lifters: wait") for line in taps)
    oiled = [caution["line"] for caution in begun().build.step(STEP)["cautions"] if caution["level"] == "tap"]
    assert not any("Full lifters" in line for line in oiled)
