"""What setting lash and preload share: the order on any engine, valves that could not be set, re-checks, drift.

The stroke angles beside the property are those of a four-stroke cycle; limits and meanings are *common practice*.
"""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standbook.trade import calls, valve_guide
from tests.micropython import Brain

from .book_maker import BUILD, V8, BookMaker, typed
from .test_alike import assert_alike
from .test_hydraulic_preload import ENGINE as HYDRAULIC
from .test_properties import ORDERS, is_open

LASH, AGAIN, PRELOAD = "solid_lash", "lash_again", "hydraulic_preload"


# --- the order, on any engine ---


@st.composite
def engines(draw: st.DrawFn) -> dict[str, Any]:
    """Any even firing order of 1 to 16 cylinders, any numbering in one row or two, cams from mild to far too long."""
    order = draw(ORDERS)
    numbers = draw(st.permutations(order))
    cut = draw(st.integers(1, len(order) - 1)) if len(order) > 1 and draw(st.booleans()) else None
    rows = [numbers] if cut is None else [numbers[:cut], numbers[cut:]]
    early, late = st.integers(-40, 120), st.integers(0, 140)
    card = (draw(early), draw(late), draw(late), draw(early))
    names = ("intake_opens", "intake_closes", "exhaust_opens", "exhaust_closes")
    return {
        **V8,
        **{name: typed(str(figure), "deg") for name, figure in zip(names, card, strict=True)},
        "cylinders": typed(str(len(order)), "1"),
        "layout": "inline" if cut is None else "vee",
        "numbering": rows,
        "firing_order": order,
        "seat_basis": typed(draw(st.sampled_from(["0.004", "0.006", "0.020"]))),
    }


def margin_of(engine: dict[str, Any]) -> float:
    """25 degrees, 30 where the figures are given at a large lobe rise (common practice)."""
    return 30.0 if engine["seat_basis"]["text"] == "0.020" else 25.0


@given(engines(), st.sampled_from([method for method, _ in valve_guide.METHODS]))
def test_the_guide_leads_to_every_valve_once_and_shut_by_the_margin_or_refuses_the_method_by_name(
    engine: dict[str, Any], method: str
) -> None:
    maker = BookMaker(engine=engine)
    maker.reading(LASH, "state", "cold", None)
    maker.reading(LASH, "method", method, None)
    guide = maker.build.guide(LASH)
    order = engine["firing_order"]
    lying = [cylinder["number"] for bank in guide["plan"] for cylinder in bank["cylinders"]]
    assert sorted(lying) == sorted(order)
    if guide["refused"]:
        assert guide["list"] == []
        assert "cam" in guide["refused"]
        return
    assert sorted(valve["place"] for valve in guide["list"]) == sorted(
        f"{n}{side}.lash" for n in order for side in "IE"
    )
    card = [int(engine[name]["text"]) for name in valve_guide.EVENTS]
    margin = int(margin_of(engine))
    wide = (card[0] + margin, card[1] + margin, card[2] + margin, card[3] + margin)
    exact = valve_guide.order(maker.build.work(LASH).bench, method)
    for angle, cylinder, side in exact:
        fires_at = 720.0 * order.index(cylinder) / len(order)
        assert not is_open(side, wide, (angle - fires_at) % 720.0), (angle, cylinder, side)


@given(engines(), st.sampled_from(["one_by_one", "own_tdc"]))
def test_a_method_that_is_refused_would_have_set_a_valve_within_the_margin_of_its_lobe(
    engine: dict[str, Any], method: str
) -> None:
    maker = BookMaker(engine=engine)
    bench = maker.build.work(LASH).bench
    card = [int(engine[name]["text"]) + int(margin_of(engine)) for name in valve_guide.EVENTS]
    seats = [int(engine[name]["text"]) for name in valve_guide.EVENTS]
    local = {"I": 180.0 - seats[2] + 10.0, "E": 540.0 + seats[1] - 20.0} if method == "one_by_one" else {"I": 0, "E": 0}
    open_there = any(is_open(side, tuple(card), angle % 720.0) for side, angle in local.items())  # type: ignore[arg-type]
    refused = next(one["refused"] for one in valve_guide.methods(bench) if one["id"] == method)
    assert (refused is not None) == open_there
    assert refused is None or "set" in refused or "look at the cam card" in refused


def test_degrees_count_from_the_first_cylinder_of_the_firing_order_and_say_so() -> None:
    maker = BookMaker(engine={**V8, "firing_order": [8, 4, 3, 6, 5, 7, 2, 1]})
    maker.reading(LASH, "state", "cold", None)
    maker.reading(LASH, "method", "two_positions", None)
    now = maker.build.guide(LASH)["now"]
    assert now["when"] == "with the crank at cylinder 8's firing top dead centre"
    assert now["angle"] == "crank 0° of 720° after 8 fires"


# --- solid lash: targets and adjusters ---


def begun(engine: dict[str, Any] | None = None, state: str = "cold") -> BookMaker:
    maker = BookMaker(engine=engine)
    maker.reading(LASH, "state", state, None)
    maker.reading(LASH, "method", "one_by_one", None)
    return maker


def lash_set(maker: BookMaker, intake: str = "0.016", exhaust: str = "0.018") -> BookMaker:
    for n in range(1, 9):
        maker.reading(LASH, f"{n}I.lash", intake)
        maker.reading(LASH, f"{n}E.lash", exhaust)
    return maker


@pytest.mark.parametrize(
    ("block", "heads", "cold"),
    [("iron", "iron", "0.024"), ("iron", "aluminium", "0.016"), ("aluminium", "aluminium", "0.010")],
)
def test_the_cold_target_for_each_pair_of_metals(block: str, heads: str, cold: str) -> None:
    maker = begun({**V8, "block_material": block, "head_material": heads})
    assert maker.build.guide(LASH)["now"]["large"] == f"{cold} in cold"


def test_the_cam_cards_own_cold_figure_goes_before_the_correction_for_the_metals() -> None:
    metals = {"block_material": "aluminium", "head_material": "iron"}
    maker = begun({**V8, **metals, "lash_cold_intake": typed("0.019"), "lash_cold_exhaust": typed("0.021")})
    assert maker.build.guide(LASH)["now"]["large"] == "0.019 in cold"
    maker.reading(LASH, "2I.lash", "0.019")
    assert maker.value(LASH, "2I.lash.off")["verdict"] == "in"


@pytest.mark.parametrize(
    ("adjuster", "change"),  # an eighth of a turn of 20 threads: 0.00625 in of the adjuster (derived: lever)
    [("stud_nut", "0.0163"), ("pushrod_end", "0.0100"), ("valve_end", "0.0063")],
)
def test_what_an_eighth_of_a_turn_does_to_the_lash_at_each_adjuster(adjuster: str, change: str) -> None:
    maker = begun({**V8, "rocker_ratio": typed("1.6", "1")})
    assert maker.build.guide(LASH)["now"]["hint"] is None
    maker.reading(LASH, "adjuster", adjuster, None)
    maker.reading(LASH, "thread", "t20", None)
    assert maker.build.guide(LASH)["now"]["hint"].startswith(f"1/8 turn of this adjuster is {change} in of lash")


# --- what could not be set ---


@pytest.mark.parametrize(("step", "place", "engine"), [(LASH, "lash", V8), (PRELOAD, "turns", HYDRAULIC)])
def test_a_valve_that_could_not_be_set_keeps_the_step_open_and_says_why(
    step: str, place: str, engine: dict[str, Any]
) -> None:
    maker = BookMaker(engine=engine)
    maker.reading(step, "method", "one_by_one", None)
    for n in range(1, 9):
        for side in "IE":
            if (n, side) != (2, "I"):
                maker.reading(step, f"{n}{side}.{place}", *(("0.016", "in") if step == LASH else ("0.5", "turn")))
    maker.skip(step, f"2I.{place}", "rocker stud pulled")
    guide, view = maker.build.guide(step), maker.build.step(step)
    assert guide["list"][0] == {
        "place": f"2I.{place}",
        "words": "INTAKE 2",
        "angle": "22°",
        "state": "couldn't",
        "flag": "WARN",
        "reason": "rocker stud pulled",
    }
    assert (guide["done"], guide["of"], guide["now"]) == (15, 16, None)
    assert guide["after"] == "Not complete. Could not be set: INTAKE 2, rocker stud pulled."
    assert view["state"] == "in work"
    assert any("Cylinder 2 intake" in words for words in view["sign"]["missing"])


def test_the_lead_may_leave_a_valve_so_with_a_reason_and_setting_it_ends_it() -> None:
    maker = begun()
    lash_set(maker)
    left = BookMaker()
    left.reading(LASH, "state", "cold", None)
    left.reading(LASH, "method", "one_by_one", None)
    for n in range(1, 9):
        for side, text in (("I", "0.016"), ("E", "0.018")):
            if (n, side) == (2, "I"):
                left.skip(LASH, "2I.lash", "rocker stud pulled")
            else:
                left.reading(LASH, f"{n}{side}.lash", text)
    left.decide("accept", f"{LASH}:skipped.2I.lash", "head comes off again", step=LASH)
    assert left.build.step(LASH)["state"] == "measured"
    left.reading(LASH, "2I.lash", "0.016")
    assert left.build.guide(LASH)["after"].startswith("All gone through.")
    assert left.build.step(LASH)["state"] == maker.build.step(LASH)["state"] == "measured"


# --- the crank where it was stated, locks, re-checks ---


@pytest.mark.parametrize(("angle", "asked"), [("22", False), ("480", True), ("350", True)])
def test_a_valve_set_where_the_stated_crank_has_it_on_its_lobe_is_asked_about(angle: str, asked: bool) -> None:
    """Cylinder 2 fires at 630; its intake is open from 240 to 524 of the engine, worked by hand from 30 and 74."""
    maker = begun()
    maker.reading(LASH, "2I.crank", angle, "deg")
    assert any("this valve is on its lobe" in flag["words"] for flag in maker.flags("slip")) == asked


def in_two_positions(valves: str) -> list[str]:
    """What is said of valves set in this order, the crank in two positions."""
    maker = BookMaker()
    maker.reading(LASH, "state", "cold", None)
    maker.reading(LASH, "method", "two_positions", None)
    for valve in valves.split():
        maker.reading(LASH, f"{valve}.lash", "0.016" if valve[1] == "I" else "0.018")
    return [flag["words"] for flag in maker.flags("order") if "other crank position" in flag["words"]]


def test_a_valve_set_among_those_of_the_other_crank_position_is_asked_about() -> None:
    """At 0 degrees intake 1 2 5 7 and exhaust 1 3 4 8, at 360 intake 3 4 6 8 and exhaust 2 5 6 7: the worked example of
    the chapter on setting order, margin 25."""
    assert in_two_positions("1I 2I 5I 7I 1E 3E 4E 8E 3I 4I 6I 8I 2E 5E 6E 7E") == []
    assert in_two_positions("3I 4I 6I 8I 2E 5E 6E 7E 1I 2I 5I 7I 1E 3E 4E 8E") == []
    (asked,) = in_two_positions("1I 2I 3I 5I 7I")
    assert asked.startswith("Cylinder 3 intake: it belongs to the other crank position")
    assert "was it the list of another firing order?" in asked


def test_a_stated_crank_answers_for_a_valve_set_out_of_its_turn() -> None:
    maker = begun()
    maker.reading(LASH, "method", "two_positions", None, why="measured_again")
    for valve in ("1I", "3I", "2I"):
        maker.reading(LASH, f"{valve}.lash", "0.016")
    assert any("other crank position" in flag["words"] for flag in maker.flags("order"))
    maker.reading(LASH, "3I.crank", "360", "deg")
    assert not any("other crank position" in flag["words"] for flag in maker.flags("order"))
    assert not any("on its lobe" in flag["words"] for flag in maker.flags("slip"))


@pytest.mark.parametrize("change", ["rocker", "head_gasket", "cam"])
def test_a_changed_part_brings_every_valve_set_before_it_back_onto_the_list(change: str) -> None:
    maker = lash_set(begun())
    maker.sign(LASH)
    assert maker.build.step(LASH)["state"] == "accepted"
    maker.reading(LASH, "changed", change, None)
    assert maker.build.step(LASH)["state"] == "re-check needed"
    assert any("changed after 16 valves were set" in flag["words"] for flag in maker.flags("order"))
    assert (maker.build.guide(LASH)["now"]["set"], maker.build.guide(LASH)["done"]) == ("Set INTAKE 2", 0)
    for n in range(1, 9):
        for side, text in (("I", "0.016"), ("E", "0.018")):
            maker.reading(LASH, f"{n}{side}.lash", text, why="measured_again")
    assert maker.flags("order") == []
    assert maker.build.guide(LASH)["done"] == 16
    maker.sign(LASH)
    assert maker.build.step(LASH)["state"] == "accepted"


def test_locks_that_are_open_are_named() -> None:
    maker = lash_set(begun())
    maker.reading(LASH, "locks", "all", None)
    assert not any("Not locked" in flag["words"] for flag in maker.flags())
    maker.reading(LASH, "4E.lock", "open", None)
    assert any(flag["words"].startswith("Not locked: Cylinder 4 exhaust.") for flag in maker.flags("missing"))


# --- lash found again ---


def found_again(maker: BookMaker, off: dict[str, str], state: str = "cold", cycle: int = 1) -> BookMaker:
    """Every valve found as it was set, but those of `off`."""
    maker.reading(AGAIN, f"H{cycle}.state", state, None)
    for n in range(1, 9):
        for side, text in (("I", "0.016"), ("E", "0.018")):
            maker.reading(AGAIN, f"H{cycle}.{n}{side}.found", off.get(f"{n}{side}", text))
    return maker


def change_of(maker: BookMaker, valve: str, cycle: int = 1) -> dict[str, Any]:
    return maker.value(AGAIN, f"H{cycle}.{valve}.found.change")


def test_lash_found_as_it_was_set_is_in() -> None:
    maker = found_again(lash_set(begun()), {})
    assert change_of(maker, "2I")["verdict"] == "in"
    assert maker.build.step(AGAIN)["state"] == "measured"
    assert [flag["words"] for flag in maker.flags() if flag["open"] and flag["step"] == AGAIN] == [
        "Valve lash found again was begun before this was accepted: Valve lash, solid lifters."
    ]


@pytest.mark.parametrize(
    ("found", "verdict", "severity", "meaning"),
    [
        ("0.018", "in", None, ""),
        ("0.020", "out", "WARN", "Grown: wear of lobe, lifter, pushrod end or rocker, or a nut that backs off."),
        ("0.022", "out", "STOP", "Grown: "),
        ("0.012", "out", "WARN", "Shrunk: the valve sinks into its seat, or stretches."),
        ("0.010", "out", "STOP", "Shrunk: "),
    ],
)
def test_the_change_of_one_valve_is_judged_and_said_what_it_means(
    found: str, verdict: str, severity: str | None, meaning: str
) -> None:
    change = change_of(found_again(lash_set(begun()), {"2I": found}), "2I")
    assert (change["verdict"], change["severity"]) == (verdict, severity)
    assert meaning in change["sentence"]
    assert change["sentence"].startswith(f"Found {found} in, set 0.016 in.")


def test_the_mean_change_has_a_limit_of_its_own() -> None:
    grown = {f"{n}{side}": text for n in range(1, 9) for side, text in (("I", "0.0185"), ("E", "0.0205"))}
    mean = found_again(lash_set(begun()), grown)
    assert (mean.value(AGAIN, "H1.mean_change")["verdict"], change_of(mean, "2I")["verdict"]) == ("out", "in")


@pytest.mark.parametrize(
    ("lifters", "off", "stopped"),
    [
        ("flat_solid", {"2I": "0.020"}, True),
        ("flat_solid", {"2I": "0.020", "4E": "0.022"}, False),
        ("flat_solid", {"2I": "0.012"}, False),
        ("roller_solid", {"2I": "0.020"}, False),
    ],
)
def test_one_valve_alone_that_grew_on_a_flat_cam_stops_the_work(
    lifters: str, off: dict[str, str], stopped: bool
) -> None:
    maker = found_again(lash_set(begun({**V8, "lifter_kind": lifters})), off)
    assert any("alone grew" in flag["words"] and flag["severity"] == "STOP" for flag in maker.flags()) == stopped


def test_a_lash_set_again_afterwards_hides_nothing_that_was_found() -> None:
    maker = found_again(lash_set(begun()), {"2I": "0.022"})
    maker.reading(LASH, "2I.lash", "0.016", why="measured_again")
    assert change_of(maker, "2I")["severity"] == "STOP"
    found_again(maker, {"2I": "0.017"}, cycle=2)
    assert change_of(maker, "2I", cycle=2)["verdict"] == "in"
    assert change_of(maker, "2I")["severity"] == "STOP"


def test_a_setting_put_right_later_counts_as_it_was_meant() -> None:
    maker = lash_set(begun())
    slip = maker.reading(LASH, "2I.lash", "0.061", why="measured_again")
    found_again(maker, {})
    assert change_of(maker, "2I")["verdict"] == "out"
    maker.reading(LASH, "2I.lash", "0.016", why="typed_wrong", corrects=slip)
    assert change_of(maker, "2I")["verdict"] == "in"


def test_hot_lash_is_not_compared_with_a_cold_setting_but_shown_against_its_own_target() -> None:
    maker = found_again(lash_set(begun()), {"2I": "0.024"}, state="hot")
    assert change_of(maker, "2I")["verdict"] == "cannot judge"
    assert "the lash found cold, as it was set" in change_of(maker, "2I")["sentence"]
    off = maker.value(AGAIN, "H1.2I.found.off")
    assert (off["shown"]["text"], off["verdict"]) == ("0.002", "shown")


# --- the phone says the same ---


def preloaded() -> BookMaker:
    """Full lifters, one valve in eighths, one that could not be set, one measured, then waited and turned."""
    maker = BookMaker(engine={**HYDRAULIC, "lifter_total_travel": typed("0.120")})
    answers = {"state": "full", "method": "two_positions", "adjuster": "stud_nut", "thread": "t24", "zero": "spin"}
    for place, answer in answers.items():
        maker.reading(PRELOAD, place, answer, None)
    maker.skip(PRELOAD, "3E.turns", "rocker stud pulled")
    maker.reading(PRELOAD, "1I.turns", "5", "eighth")
    maker.reading(PRELOAD, "2I.turns", "4", "turn")
    maker.reading(PRELOAD, "1I.depth", "0.0302")
    for place in ("bled_down", "turned"):
        maker.reading(PRELOAD, place, "yes", None, made_at="2026-11-25T08:07:00.000Z")
    return maker


@pytest.mark.parametrize(
    "maker", [preloaded(), found_again(lash_set(begun()), {"2I": "0.022"})], ids=["preload", "lash"]
)
def test_these_steps_read_alike_at_the_stand_and_at_the_desk(maker: BookMaker) -> None:
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]
    step = PRELOAD if maker.build.step(PRELOAD)["groups"] else AGAIN
    turns = {"step": PRELOAD, "place": "4E.turns", "typed": typed("4", "turn"), "why": "first", "instrument": None}
    asked: list[tuple[str, dict[str, Any]]] = [("open", {"entries": entries}), ("state", {}), ("step", {"step": step})]
    asked += [("guide", {"step": PRELOAD}), ("preview", turns)] if step == PRELOAD else [("guide", {"step": LASH})]
    with Brain() as phone:
        for name, more in [("people", {"people": []}), *asked, ("close", {})]:
            text = json.dumps({"build": BUILD, **more})
            here = json.loads(calls.call(name, text))
            assert "error" not in here or here["error"] is None, here
            assert_alike(here, json.loads(phone.call(name, text)), name)
