"""Rocker geometry and pushrod length: what the trade says of the mark, what is refused by name, what is bad input.

The demo linkage is invented; the figures of its table were computed apart from this project's code.
"""

import json
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standbook.trade import calls, plain, reckon
from tests.micropython import Brain

INCH = 25.4
DEMO = {
    "valve_arm_length": "1.520 in",
    "roller_radius": "0.250 in",
    "pushrod_arm_length": "0.950 in",
    "arm_angle_between": "168 deg",
    "stud_offset": "1.490 in",
    "stud_lean": "0 deg",
    "lifter_cup_across": "-4.0350 in",
    "lifter_cup_along": "-7.3520 in",
    "lifter_lean": "18 deg",
    "lobe_lift": "0.3625 in",
}


def ask(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    return answer


def inches(name: str, inputs: dict[str, Any]) -> dict[str, float]:
    """The lengths that come out, in inches."""
    answer = ask(name, inputs)
    assert "error" not in answer, answer
    assert "refused" not in answer, answer
    return {
        key: value["value"] / INCH
        for key, value in answer["outputs"].items()
        if value["unit"] == "mm" and value["value"] is not None
    }


def best(lean: str = "0 deg") -> dict[str, float]:
    return inches("best-pushrod", {**DEMO, "stud_lean": lean})


def off_best(by: float, lean: str = "0 deg") -> dict[str, float]:
    """The sweep of a pushrod so many inches longer than the best one."""
    length = best(lean)["centre_to_centre_length"] + by
    return inches("rocker-sweep", {**DEMO, "stud_lean": lean, "centre_to_centre_length": length * INCH})


# --- the demo linkage -----------------------------------------------------------------------------------------------

TABLE = [
    (-0.200, 7.3026, -0.1635, 0.5775, -0.0273, 0.0211, 0.0573, 0.0013),
    (-0.100, 7.4026, -0.1009, 0.5772, -0.0111, 0.0131, 0.0411, 0.0095),
    (-0.050, 7.4526, -0.0697, 0.5771, -0.0040, 0.0081, 0.0340, 0.0130),
    (0.000, 7.5026, -0.0385, 0.5770, 0.0024, 0.0024, 0.0276, 0.0162),
    (0.050, 7.5526, -0.0073, 0.5769, 0.0081, -0.0040, 0.0340, 0.0130),
    (0.100, 7.6026, 0.0239, 0.5768, 0.0131, -0.0110, 0.0410, 0.0095),
    (0.200, 7.7026, 0.0863, 0.5768, 0.0212, -0.0272, 0.0572, 0.0014),
]
KEYS = ("pivot_position", "valve_lift", "contact_closed", "contact_open", "mark_width", "mark_mean")
PRINTED = 0.000051
"""Half of the last printed decimal, and the length itself was printed to four."""


@pytest.mark.parametrize("row", TABLE, ids=[str(row[0]) for row in TABLE])
def test_the_demo_linkage_leaves_the_marks_of_its_table(row: tuple[float, ...]) -> None:
    assert best()["centre_to_centre_length"] + row[0] == pytest.approx(row[1], rel=0, abs=PRINTED)
    sweep = off_best(row[0])
    assert [sweep[key] for key in KEYS] == pytest.approx(row[2:], rel=0, abs=PRINTED)


LEANS = [
    (-8, (0.0237, 0.0216, 0.0058), (0.0414, 0.0276, 0.0413)),
    (-4, (0.0165, 0.0189, 0.0077), (0.0412, 0.0276, 0.0412)),
    (0, (0.0095, 0.0162, 0.0095), (0.0411, 0.0276, 0.0410)),
    (4, (0.0025, 0.0135, 0.0112), (0.0409, 0.0276, 0.0409)),
    (8, (-0.0044, 0.0108, 0.0128), (0.0408, 0.0276, 0.0408)),
]


@pytest.mark.parametrize(("lean", "means", "widths"), LEANS)
def test_a_leaning_stud_moves_the_mark_and_leaves_its_width(
    lean: int, means: tuple[float, ...], widths: tuple[float, ...]
) -> None:
    sweeps = [off_best(by, f"{lean} deg") for by in (-0.1, 0.0, 0.1)]
    assert [sweep["mark_mean"] for sweep in sweeps] == pytest.approx(means, rel=0, abs=PRINTED)
    assert [sweep["mark_width"] for sweep in sweeps] == pytest.approx(widths, rel=0, abs=PRINTED)


def test_the_narrowest_mark_has_the_arm_square_to_the_stem_at_half_lift() -> None:
    found = best()
    closed_form = inches(
        "narrowest-mark",
        {"valve_arm_length": "1.520 in", "roller_radius": "0.250 in", "valve_lift": found["valve_lift"] * INCH},
    )
    assert found["pivot_position"] == pytest.approx(closed_form["pivot_height"], rel=0, abs=1e-9)
    assert found["mark_width"] == pytest.approx(closed_form["mark_width"], rel=0, abs=1e-9)


def test_a_longer_pushrod_lifts_the_pivot_and_moves_each_contact_its_own_way() -> None:
    short, right, long = off_best(-0.1), best(), off_best(0.1)
    assert long["pivot_position"] - right["pivot_position"] == pytest.approx(0.1 / (1 + 1 / 1.6), abs=0.002)
    assert short["contact_closed"] < right["contact_closed"] < long["contact_closed"]
    assert short["contact_open"] > right["contact_open"] > long["contact_open"]
    assert min(short["mark_width"], long["mark_width"]) > right["mark_width"]
    assert max(short["mark_mean"], long["mark_mean"]) < right["mark_mean"]


@pytest.mark.parametrize(("by", "words"), [(-0.1, "pivot too low"), (0.1, "pivot too high")])
def test_two_contacts_tell_how_far_the_pushrod_is_off_and_which_way(by: float, words: str) -> None:
    sweep = off_best(by)
    answer = ask(
        "pushrod-correction",
        {
            "valve_arm_length": "1.520 in",
            "rocker_ratio": 1.6,
            "valve_lift": sweep["valve_lift"] * INCH,
            "contact_closed": sweep["contact_closed"] * INCH,
            "contact_open": sweep["contact_open"] * INCH,
        },
    )["outputs"]
    assert answer["pushrod_change"]["value"] / INCH == pytest.approx(-by, rel=0, abs=0.002)
    assert answer["result"]["value"] == words
    assert answer["refused"]["value"] == "no"


def test_a_short_arm_cannot_centre_its_mark_with_any_pushrod() -> None:
    outputs = ask("centred-lengths", {**DEMO, "stud_offset": "1.515 in"})["outputs"]
    assert outputs["short_centred_length"]["value"] is outputs["long_centred_length"]["value"] is None
    assert outputs["mean_at_best"]["value"] < 0


def test_a_stamped_pad_moves_outboard_with_lift_and_with_the_pivot() -> None:
    stamped = {"valve_arm_length": "1.5338 in", "pad_radius": "0.80 in", "stud_offset": "1.470 in"}
    low, high = (
        ask("stamped-contact", {**stamped, "pivot_height": height, "lifts": ["0 in", "0.2 in", "0.4 in"]})["outputs"][
            "contacts"
        ]["value"]
        for height in ("0.30 in", "0.35 in")
    )
    as_text = {**stamped, "pivot_height": "0.30 in", "lifts": "[0, 5.08, 10.16]"}
    assert ask("stamped-contact", as_text)["outputs"]["contacts"]["value"] == pytest.approx(low, rel=1e-12)
    assert low[0] < low[1] < low[2]
    assert all(above > below for below, above in zip(low, high, strict=True))


def test_the_smear_of_an_open_end_needs_the_lift_and_finds_the_same_pivot() -> None:
    sweep = off_best(0.1)
    smear = {
        "valve_arm_length": "1.520 in",
        "roller_radius": "0.250 in",
        "mark_width": sweep["mark_width"] * INCH,
        "inner_edge_made_by": "open",
    }
    assert ask("smear-only", smear)["error"]["details"] == {"key": "valve_lift"}
    found = inches("smear-only", {**smear, "valve_lift": sweep["valve_lift"] * INCH})
    assert found["pivot_height"] == pytest.approx(sweep["pivot_position"], rel=0, abs=1e-9)
    assert found["model_pivot_height"] == pytest.approx(sweep["pivot_position"], rel=0, abs=1e-9)


@given(st.integers(5000, 11000), st.integers(0, 80), st.sampled_from([25, 50, 100]))
def test_an_ordered_length_is_the_nearest_step_half_a_step_counting_up(length: int, preload: int, step: int) -> None:
    """In thousandths of an inch, against exact decimals."""
    inputs = {"zero_lash_length": length, "preload_depth": preload, "length_step": step}
    ours = inches("order-length", {key: f"{value} thou" for key, value in inputs.items()})
    steps = (Decimal(length + preload) / step).quantize(Decimal(1), ROUND_HALF_UP)
    assert ours["order_length"] == pytest.approx(float(steps * step) / 1000, rel=1e-12)
    assert ours["preload_at_same_pivot"] == pytest.approx(float(steps * step - length) / 1000, rel=0, abs=1e-9)


# --- refused by name, on both interpreters --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def phone() -> Iterator[Any]:
    with Brain() as brain:
        yield brain.call


STAMPED = "travel is always outboard on a stamped rocker: centre the mark instead"
CONTACTS = "No length of this rocker could produce these contacts: read both again and check arm and lift."
TWO = {"valve_arm_length": "1.520 in", "valve_lift": "0.577 in", "rocker_ratio": 1.6}
REFUSED = [
    ("narrowest-mark", {"rocker_kind": "stamped", "valve_lift": "0.4 in"}, STAMPED),
    (
        "pushrod-correction",
        {"rocker_kind": "stamped", **TWO, "contact_closed": "-0.02 in", "contact_open": "0.06 in"},
        STAMPED,
    ),
    ("smear-only", {"rocker_kind": "stamped", "roller_radius": "0.8 in", "mark_width": "0.08 in"}, STAMPED),
    ("pushrod-correction", {**TWO, "contact_closed": "-0.6 in", "contact_open": "0.6 in"}, CONTACTS),
    (
        "pushrod-goes",
        {**TWO, "goes": [["7.40 in", "0 in", "0.01 in"], ["7.45 in", "-0.6 in", "0.6 in"]]},
        "Go 2: " + CONTACTS,
    ),
    (
        "smear-only",
        {"valve_arm_length": "1.520 in", "roller_radius": "0.25 in", "mark_width": "1.6 in"},
        "No length of this rocker could produce so wide a mark: measure it again and check the arm.",
    ),
    (
        "smear-only",
        {**{key: DEMO[key] for key in ("valve_arm_length", "roller_radius")}, "mark_width": "0.01 in"}
        | {"valve_lift": "0.577 in"},
        "This mark is narrower than any length could make it: turn the engine through two turns and mark again.",
    ),
    (
        "smear-only",
        {**{key: DEMO[key] for key in ("valve_arm_length", "roller_radius")}, "mark_width": "0.15 in"}
        | {"valve_lift": "0.577 in"},
        "In a mark this wide the contact did not run out and back: read the contacts closed and at full lift.",
    ),
    (
        "rocker-sweep",
        {**DEMO, "centre_to_centre_length": "12 in"},
        "No height of the pivot takes a pushrod of this length to zero lash: check the length and its basis.",
    ),
    (
        "linkage-position",
        {**DEMO, "pivot_position": "0 in", "centre_to_centre_length": "12 in"},
        "This pushrod cannot reach from the lifter to the rocker: check its length and the lifter's place.",
    ),
    (
        "best-pushrod",
        {**DEMO, "arm_angle_between": "240 deg"},
        "No pushrod length puts this arm square to the stem at half lift: check arms, angles and places.",
    ),
    (
        "stamped-mark",
        {
            "valve_arm_length": "1.4 in",
            "pad_radius": "0.8 in",
            "pivot_height": "0.3 in",
            "stud_offset": "1.47 in",
            "valve_lift": "0.4 in",
            "rocker_ratio": 1.6,
        },
        "No pivot height centres the mark of this rocker: its arm does not fit where the stud stands.",
    ),
    (
        "stamped-mark",
        {
            "valve_arm_length": "40 mm",
            "pad_radius": "20 mm",
            "pivot_height": "8 mm",
            "stud_offset": "10 mm",
            "valve_lift": "12 mm",
            "rocker_ratio": 1.6,
        },
        "No pivot height centres the mark of this rocker: its arm does not fit where the stud stands.",
    ),
    (
        "linkage-position",
        {**DEMO, "lifter_lean": "-85 deg", "pivot_position": "0 in", "centre_to_centre_length": "7.5 in"},
        "With these sizes the lifter would not open the valve: check places, angles and the pushrod's length.",
    ),
    (
        "best-pushrod",
        {**DEMO, "lifter_cup_across": "-9 in", "lifter_cup_along": "2 in", "lifter_lean": "40 deg"},
        "With these sizes the pushrod would stand on the wrong side of the pivot: check the lifter's place.",
    ),
    (
        "stamped-contact",
        {
            "valve_arm_length": "1.5 in",
            "pad_radius": "0.8 in",
            "pivot_height": "0.3 in",
            "stud_offset": "1.47 in",
            "lifts": ["3 in"],
        },
        "The valve arm is too short to reach the tip from this pivot height: check arm, pivot and lift.",
    ),
    (
        "stamped-mark-step",
        {"mean_before": "0.02 in", "mean_after": "0.02 in", "length_change": "0.05 in"},
        "The middle of the mark did not move between the two goes: change the length by more and mark again.",
    ),
]


@pytest.mark.parametrize(("name", "inputs", "reason"), REFUSED)
def test_a_method_that_does_not_hold_is_refused_by_name(
    phone: Any, name: str, inputs: dict[str, Any], reason: str
) -> None:
    here = ask(name, inputs)
    assert (here["refused"], here["reason"]) == (True, reason)
    assert [key for key, output in here["outputs"].items() if output["unit"] is not None] == []
    assert json.loads(phone("reckon", json.dumps({"name": name, "inputs": inputs}))) == here


@given(st.floats(20.0, 60.0), st.floats(5.0, 20.0), st.floats(-100.0, 100.0))
def test_contacts_are_refused_just_where_the_arm_would_stand_upright(arm: float, lift: float, travel: float) -> None:
    """With the arm upright at one end, the other end lies sqrt(lift * (2 * arm - lift)) across: the most there is."""
    answer = ask(
        "pushrod-correction",
        {
            "valve_arm_length": arm,
            "valve_lift": lift,
            "rocker_ratio": 1.5,
            "contact_closed": 0.0,
            "contact_open": travel,
        },
    )
    most = (lift * (2 * arm - lift)) ** 0.5
    if abs(abs(travel) - most) > 1e-9:
        assert answer.get("refused", False) == (abs(travel) > most)


# --- bad input ------------------------------------------------------------------------------------------------------

WRONG = [
    ("best-pushrod", {**DEMO, "valve_arm_length": "0 in"}, "valve_arm_length", "mm"),
    ("best-pushrod", {**DEMO, "valve_arm_length": "38.6 deg"}, "valve_arm_length", "mm"),
    ("best-pushrod", {**DEMO, "lifter_lean": "95 deg"}, "lifter_lean", "deg"),
    ("best-pushrod", {**DEMO, "stud_lean": None}, "stud_lean", "deg"),
    (
        "pushrod-correction",
        {**TWO, "contact_closed": "0 in", "contact_open": "", "rocker_kind": "roller tip"},
        "contact_open",
        "",
    ),
    (
        "pushrod-correction",
        {**TWO, "contact_closed": 0, "contact_open": 0, "rocker_kind": "shaft"},
        "rocker_kind",
        "roller tip or stamped",
    ),
    (
        "pushrod-correction",
        {**TWO, "valve_arm_length": None, "contact_closed": 0, "contact_open": 0},
        "valve_arm_length",
        "mm",
    ),
    ("pushrod-correction", {**TWO, "rocker_ratio": 0, "contact_closed": 0, "contact_open": 0}, "rocker_ratio", ""),
    ("pushrod-goes", {**TWO, "goes": []}, "goes", "mm"),
    ("pushrod-goes", {**TWO, "goes": [[190.0, 0.0]]}, "goes", "mm"),
    ("pushrod-goes", {**TWO, "goes": [[190.0, 0.0, None]]}, "goes", "mm"),
    ("pushrod-goes", {**TWO, "goes": 190.0}, "goes", "mm"),
    (
        "pushrod-correction-noise",
        {**TWO, "edge_deviation": 0.1, "readings_per_contact": 1.5, "goes": 1},
        "readings_per_contact",
        "whole",
    ),
    ("pushrod-correction-noise", {**TWO, "edge_deviation": 0.1, "readings_per_contact": 1, "goes": 0}, "goes", ""),
    ("narrowest-mark", {"valve_lift": "0.5 in"}, "valve_arm_length", "mm"),
    ("narrowest-mark", {"valve_lift": [12.7]}, "valve_lift", "mm"),
    ("narrowest-mark", {"valve_lift": True}, "valve_lift", "mm"),
    ("witness-mark", {"stem_diameter": 8, "inner_edge": 4, "outer_edge": 3}, "outer_edge", "mm"),
    ("witness-mark", {"stem_diameter": 8, "inner_edge": 4, "outer_edge": 9}, "outer_edge", "mm"),
    ("witness-mark", {"stem_diameter": 8, "inner_edge": -1, "outer_edge": 3}, "inner_edge", "mm"),
    ("checking-pushrod", {"base_length": 170, "turns": -1, "thread_pitch": 1.27}, "turns", ""),
    (
        "ball-end",
        {"ball_diameter": 8, "flat_diameter": 9, "gauge_circle_diameter": 4, "caliper_length": 190},
        "flat_diameter",
        "mm",
    ),
    (
        "ball-end",
        {"ball_diameter": 8, "flat_diameter": 3, "gauge_circle_diameter": 2, "caliper_length": 190},
        "gauge_circle_diameter",
        "mm",
    ),
    (
        "pushrod-shortening",
        {"outside_diameter": 8, "wall_thickness": 5, "length": 190, "load": 4000},
        "wall_thickness",
        "mm",
    ),
    ("order-length", {"zero_lash_length": 190, "length_step": 0}, "length_step", "mm"),
    (
        "stamped-contact",
        {"valve_arm_length": 38, "pad_radius": 20, "pivot_height": 7, "stud_offset": 37, "lifts": "[1, 2"},
        "lifts",
        "mm",
    ),
]


@pytest.mark.parametrize(("name", "inputs", "key", "word"), WRONG)
def test_bad_input_is_one_sentence_that_names_the_key_and_what_is_wanted(
    name: str, inputs: dict[str, Any], key: str, word: str
) -> None:
    error = ask(name, inputs)["error"]
    assert error["code"] in ("input_wrong", "input_missing")
    assert error["details"]["key"] == key
    assert error["message"].startswith(key)
    assert word in error["message"]
    assert error["message"].endswith(".")


def test_a_methods_own_refusal_is_an_answer_and_bad_input_is_none() -> None:
    assert reckon.reckon("narrowest-mark", {"rocker_kind": "stamped", "valve_lift": 10.0})["refused"]
    with pytest.raises(plain.Refusal, match="valve_lift is missing, give a length in mm"):
        reckon.reckon("narrowest-mark", {})
