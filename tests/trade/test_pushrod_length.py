"""The checking pushrod from the first go to the order.

Checked against the vectors of the trade (rocker geometry and pushrod length: computed apart from this project, origin
beside each in `vectors.json`); what a hand may get wrong is common practice.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from standbook.trade.build import Build
from standbook.trade.preview import preview
from standbook.trade.pushrod_order import Orders

from .book_maker import BUILD, typed
from .checker_goes import HALF_STEM, ROLLERS, SHAFT, STAMPED, STEP, VALVES, Checker, ends, finished, one_go, pad_go

VECTORS: dict[str, dict[str, Any]] = {
    vector["id"]: vector
    for vector in json.loads(Path(__file__).with_name("vectors").joinpath("vectors.json").read_text())["vectors"]
}


def vector(number: int) -> tuple[dict[str, Any], dict[str, Any]]:
    found = VECTORS[f"TV-{number:03d}"]
    return found["in"], found["out"]


def words(maker: Checker) -> list[str]:
    return [flag["words"] for flag in maker.build.step(STEP)["flags"]]


# --- roller tips, by the travel of the contact ---


@pytest.mark.parametrize("number", [89, 90])
def test_one_go_asks_for_the_change_of_the_vector(number: int) -> None:
    given, expected = vector(number)
    maker = Checker().ready().size("1I.lift", f"{given['lift']}")
    one_go(maker, "1I.1", "7.4026", given["x_closed"], given["x_open"])
    assert maker.inches("1I.ideal") - 7.4026 == pytest.approx(expected["change_pushrod_in"], abs=1e-5)
    assert maker.card()["say"] == "2 turns longer"
    assert maker.card()["to"] == "to 7.503 in"


def test_all_goes_together_as_in_the_vector() -> None:
    given, expected = vector(124)
    maker = Checker().ready().size("1I.lift", "0.577")
    for number, (length, closed, opened) in enumerate(given["goes"], 1):
        one_go(maker, f"1I.{number}", f"{length}", closed, opened)
    assert maker.inches("1I.ideal") == pytest.approx(expected["best"], abs=1e-5)
    each = [go["says"] for go in maker.card()["goes"]]
    assert each == [f"best by this go: {best:.3f} in" for best in expected["each"]]
    assert maker.card()["why"].endswith("Both goes taken together.")


def test_the_trust_of_the_best_length_is_the_noise_of_the_vectors() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    for number, go in enumerate((1, 2), 1):
        one_go(maker, f"1I.{go}", "7.4526", -0.003, 0.007)
        judged = next(one for one in maker.build.work(STEP).values if one.value.id == "1I.ideal")
        expected = vector(121 + number)[1]["sigma_dL_in"]
        assert judged.value.u / 25.4 == pytest.approx(expected, abs=1e-5)


# Rows of the demo linkage's table: length off its best, contact closed, contact at full lift; valve lift beside them.
TABLE = (
    (-0.200, 0.5775, -0.0273, 0.0211),
    (-0.100, 0.5772, -0.0111, 0.0131),
    (-0.050, 0.5771, -0.0040, 0.0081),
    (0.050, 0.5769, 0.0081, -0.0040),
    (0.100, 0.5768, 0.0131, -0.0110),
    (0.200, 0.5768, 0.0212, -0.0272),
)


@pytest.mark.parametrize(("off", "lift", "closed", "opened"), TABLE)
def test_from_any_row_of_the_demo_linkage_one_go_finds_its_best_length(
    off: float, lift: float, closed: float, opened: float
) -> None:
    """The two-contact cure finds 0.100 in within 0.002 in, as the reference asserts; contacts are to 0.00005 in."""
    maker = one_go(Checker().ready().size("1I.lift", f"{lift}"), "1I.1", f"{7.5026 + off:.4f}", closed, opened)
    assert maker.inches("1I.ideal") == pytest.approx(7.5026, abs=0.02 * abs(off) + 0.0005)
    assert maker.card()["way"] == ("longer" if off < 0 else "shorter")


def test_at_its_best_length_it_is_good_enough_and_says_what_another_go_would_win() -> None:
    given, expected = vector(125)
    maker = one_go(Checker().ready().size("1I.lift", f"{given['lift']}"), "1I.1", "7.4926", 0.0010, 0.0034)
    card = maker.card()
    assert (card["way"], card["say"], card["to"]) == ("good", "Good enough", None)
    assert "off the best length, nearer than 0.025 in" in card["why"]
    assert f"widens the mark by {expected['extra_width_in']:.3f} in only" in card["why"]
    assert maker.guide()["key"] == "On to the clearances"


@pytest.mark.parametrize(("off", "good"), [("0.02499", True), ("0.02501", False)])
def test_good_enough_ends_before_half_a_length_step(off: str, good: bool) -> None:
    """Contacts that ask for just under or over 0.025 in, found by the law that the vectors hold."""
    wanted = float(off)
    arm, lift = 1.520, 0.577
    raised = wanted / (1 + 1 / 1.6)
    closed = (arm**2 - (lift / 2 + raised) ** 2) ** 0.5
    opened = (arm**2 - (lift / 2 - raised) ** 2) ** 0.5
    maker = one_go(Checker().ready().size("1I.lift", "0.577"), "1I.1", "7.4000", closed - arm, opened - arm)
    assert (maker.card()["way"] == "good") is good


def test_the_predicted_mark_is_that_of_the_linkage_at_its_best_length() -> None:
    """From the row 0.100 in short; the table gives width 0.0276 in at the best length."""
    maker = one_go(Checker().ready().size("1I.lift", "0.5772"), "1I.1", "7.4026", -0.0111, 0.0131)
    assert maker.card()["tip"]["predicted_words"].startswith("after the change about 0.028 in wide")
    inner, outer = maker.card()["tip"]["predicted"]
    # At the best length the mark runs from the contacts, 0.0024, to their outermost, 0.0024 + 0.0276 in.
    assert inner * 0.3415 - HALF_STEM == pytest.approx(0.0024, abs=0.0008)
    assert outer * 0.3415 - HALF_STEM == pytest.approx(0.0300, abs=0.0008)


@pytest.mark.parametrize(("lean", "short", "best"), [("-8", 76, 77), ("8", 79, 80)])
def test_on_a_leaning_stud_the_predicted_mark_moves_along_with_the_pivot(lean: str, short: int, best: int) -> None:
    """From 0.100 in short to the best length: middle and width as the vectors of the leaning stud have them there.

    As near as on an upright stud: the lever from length to pivot is within 1.5 % of the linkage. Without the lean the
    middle would be 0.0086 in off: 0.0615 in of pivot by the tangent of 8 degrees.
    """
    leaning = ROLLERS | {"stud_lean": typed(lean, "deg")}
    begun, there = vector(short)[1], vector(best)[1]
    maker = Checker(leaning).ready().size("1I.lift", "0.5772")
    one_go(maker, "1I.1", "7.4026", begun["closed"], begun["open"])
    inner, outer = maker.valve("1I").predicted(0.1 * 25.4)
    assert (inner + outer) / 2 / 25.4 - HALF_STEM == pytest.approx(there["mean"], abs=0.0008)
    assert (outer - inner) / 25.4 == pytest.approx(there["width"], abs=0.0008)


def test_contacts_that_no_length_could_make_are_asked_about_before_they_are_kept() -> None:
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.cal", "7.4026").size("1I.1.closed", "0.020")
    slips = preview(maker.build.work(STEP), "1I.1.open", typed("1.320"), None)["slips"]
    assert any("No length of this rocker could produce these contacts" in slip["message"] for slip in slips)


def test_a_go_that_cannot_be_is_read_again_and_counts_for_nothing() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    one_go(maker, "1I.1", "7.4026", -0.800, 0.800)
    assert "1I.ideal" not in [one.value.id for one in maker.build.work(STEP).values]
    assert (maker.guide()["now"], maker.guide()["key"]) == ("1I.1.closed", "Read the contacts again")
    assert maker.card()["say"] == "Read it again"


def test_goes_that_do_not_fit_together_hold_a_misread_edge() -> None:
    """Further apart than three deviations of one go, 3 x 0.0214 in (vector 122)."""
    maker = Checker().ready().size("1I.lift", "0.577")
    one_go(maker, "1I.1", "7.4026", -0.012, 0.014)
    one_go(maker, "1I.2", "7.4526", -0.003, 0.007)
    assert not any("do not fit together" in said for said in words(maker))
    one_go(maker, "1I.3", "7.5026", -0.010, 0.012)
    assert any("do not fit together" in said for said in words(maker))


def test_a_go_that_was_struck_out_is_not_asked_for_again() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    one_go(maker, "1I.1", "7.4026", -0.012, 0.014)
    wrong = maker.reading(STEP, "1I.2.cal", "7.5526")
    maker.contacts("1I.2", -0.012, 0.014).edges("1I.2", -0.012, 0.018)
    maker.strike(wrong, "typed the wrong number")
    assert maker.guide()["now"] == "1I.2.cal"
    one_go(maker, "1I.3", "7.5026", 0.0024, 0.0024)
    assert maker.card()["way"] == "good"
    assert "1I.2.cal" not in [place.id for place in maker.build.work(STEP).required()]
    assert maker.inches("1I.ideal") == pytest.approx((7.4026 + 0.10920 + 7.5026) / 2, abs=1e-4)


@pytest.mark.parametrize(
    ("place", "text", "asked"),
    [
        ("1I.2.cal", "74.526", "far from the other lengths of this valve"),
        ("1I.2.cal", "4.7526", "far from the other lengths of this valve"),
        ("1I.2.closed", "1.59", "this contact does not lie on the stem"),
        ("1I.2.open2", "0.3416", "this contact does not lie on the stem"),
    ],
)
def test_a_slip_of_digits_is_asked_about_before_it_is_kept(place: str, text: str, asked: str) -> None:
    maker = one_go(Checker().ready().size("1I.lift", "0.577"), "1I.1", "7.4026", -0.012, 0.014)
    slips = preview(maker.build.work(STEP), place, typed(text), None)["slips"]
    assert any(asked in slip["message"] for slip in slips)


def test_six_goes_used_up_say_what_to_do_and_wait_for_the_lead() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    for go in range(1, 7):
        one_go(maker, f"1I.{go}", "7.4026", -0.012, 0.014)
    flags = [flag for flag in maker.build.step(STEP)["flags"] if "six goes are used up" in flag["words"]]
    assert [flag["severity"] for flag in flags] == ["HOLD"]
    assert maker.guide()["now"] == "1E.lift"
    assert maker.card()["say"] == "Stop and look"


# --- lengths: turns, eighths, caliper ---


def test_base_and_turns_make_the_length_of_the_vector_where_the_caliper_was_skipped() -> None:
    given, expected = vector(93)
    maker = Checker().ready(base=f"{given['base_in']}").size("1I.lift", "0.577").turned("1I.1", "14", "2")
    maker.skip(STEP, "1I.1.cal", "caliper is away")
    maker.contacts("1I.1", -0.012, 0.014).edges("1I.1", -0.012, 0.018)
    assert maker.inches("1I.1.length") == pytest.approx(expected["length_in"], abs=1e-6)
    assert maker.card()["out"] == "193.516 mm, 16 turns and 3/8 out from closed"


@pytest.mark.parametrize(("caliper", "verdict"), [("7.5175", "in"), ("7.5176", "out"), ("7.5075", "in")])
def test_caliper_and_count_agree_within_five_thousandths(caliper: str, verdict: str) -> None:
    maker = Checker().ready(base="6.800").turned("1I.1", "14", "2").size("1I.1.cal", caliper)
    assert maker.value(STEP, "1I.1.count_off")["verdict"] == verdict


@pytest.mark.parametrize(
    ("turns", "eighths", "caliper", "asked"),
    [
        ("13", "2", "7.5125", "one whole turn miscounted"),
        ("2", "6", "7.1125", "turns typed as eighths"),
        ("14", "0", "6.8875", "eighths typed as whole turns"),
        ("14", "2", "7.3938", "fits 24 threads an inch"),
    ],
)
def test_a_slip_in_the_count_is_named(turns: str, eighths: str, caliper: str, asked: str) -> None:
    """14 2/8 turns of 0.050 in from 6.800 in are 7.5125 in (vector 93); 6 2/8 turns; 14 eighths; 24 threads."""
    maker = Checker().ready(base="6.800").turned("1I.1", turns, eighths).size("1I.1.cal", caliper)
    assert any(asked in said for said in words(maker)), words(maker)


def test_turns_with_a_fraction_are_asked_about() -> None:
    maker = Checker().ready(base="6.800").turned("1I.1", "14.25", "0")
    assert any("whole turns here, the rest in eighths" in said for said in words(maker))


# --- marks ---


def test_width_offset_and_margin_of_the_vectors() -> None:
    given, expected = vector(92)
    margin = vector(129)[1]["edge_margin_in"]
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.cal", "7.5")
    maker.size("1I.1.inner", f"{given['inner_edge_in']}").size("1I.1.outer", f"{given['outer_edge_in']}")
    assert maker.inches("1I.1.width") == pytest.approx(expected["width_in"], abs=1e-6)
    assert maker.inches("1I.1.offset") == pytest.approx(expected["offset_in"], abs=1e-6)
    assert maker.inches("1I.1.margin") == pytest.approx(margin, abs=1e-6)


def test_a_trial_is_not_judged_and_the_last_mark_is() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    one_go(maker, "1I.1", "7.2026", -0.0463, 0.0289)
    assert maker.value(STEP, "1I.1.width")["verdict"] == "shown"
    one_go(maker, "1I.2", "7.5026", 0.0024, 0.0024)
    assert maker.card()["way"] == "good"
    assert maker.value(STEP, "1I.2.width")["verdict"] == "in"
    assert maker.value(STEP, "1I.2.margin")["verdict"] == "in"


@pytest.mark.parametrize(
    ("inner", "outer", "asked"),
    [
        ("0.158", "0.118", "swapped, or measured from the outboard edge"),
        ("0.158", "0.360", "beyond the stem"),
        ("0.158", "0.170", "engine not turned through, or dye wiped"),
    ],
)
def test_edges_that_cannot_be_right_are_asked_about(inner: str, outer: str, asked: str) -> None:
    """The narrowest mark of this arm and lift is 0.0276 in (demo linkage); half of it is a mark not made to its end."""
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.cal", "7.5")
    maker.size("1I.1.inner", inner).size("1I.1.outer", outer)
    assert any(asked in said for said in words(maker))


def test_contacts_further_apart_than_the_mark_is_wide_are_asked_about() -> None:
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.cal", "7.4026").contacts("1I.1", -0.020, 0.020)
    maker.edges("1I.1", -0.010, 0.020)
    assert any("further apart than the mark is wide" in said for said in words(maker))


def test_two_readings_of_one_contact_far_apart_are_asked_about() -> None:
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.closed", "0.150").size("1I.1.closed2", "0.170")
    assert not any("inked anew" in said or "ink it anew" in said for said in words(maker))
    maker.size("1I.2.closed", "0.150").size("1I.2.closed2", "0.172")
    assert any("ink it anew" in said for said in words(maker))


def test_a_lift_that_the_ratio_cannot_give_is_out() -> None:
    """The demo linkage: 0.577 in of valve for 0.3625 in of lobe, 1.5917 against a nominal 1.6; 1.50 is out by 0.02."""
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.lobe", "0.3625")
    assert maker.value(STEP, "1I.ratio_off")["verdict"] == "in"
    maker.size("1E.lift", "0.5438").size("1E.lobe", "0.3625")
    assert maker.value(STEP, "1E.ratio_off")["verdict"] == "out"


# --- sliding pads ---


def test_two_goes_of_a_pad_ask_for_the_change_of_the_vector() -> None:
    """Both middles doubled, so that the second lies outside the stop: their line crosses zero where it did."""
    given, expected = vector(117)
    maker = Checker(STAMPED).ready("centre").size("1I.lift", "0.400")
    pad_go(maker, "1I.1", "7.5000", 2 * given["mean_before_in"])
    assert (maker.card()["say"], maker.card()["tip"]["predicted"]) == ("2 turns shorter", None)
    pad_go(maker, "1I.2", "7.4000", 2 * given["mean_after_in"])
    assert maker.valve("1I").change / 25.4 == pytest.approx(expected["next_change_in"], abs=1e-5)
    assert maker.card()["say"] == "\u215e turn shorter"


def test_a_pad_whose_length_did_not_change_is_tried_anew() -> None:
    maker = Checker(STAMPED).ready("centre").size("1I.lift", "0.400")
    pad_go(maker, "1I.1", "7.5000", 0.030)
    pad_go(maker, "1I.2", "7.5000", 0.028)
    assert maker.card()["say"] == "2 turns shorter"
    pad_go(maker, "1I.3", "7.4000", 0.028)
    assert maker.card()["why"].startswith("The middle of the mark did not move")


def test_a_pad_goes_on_by_the_line_through_its_last_two_goes() -> None:
    """The vector's slope from a mark further out: 0.0402756427 to 0.0262904212 over -0.100 in asks for -0.18799 in."""
    maker = Checker(STAMPED).ready("centre").size("1I.lift", "0.400")
    pad_go(maker, "1I.1", "7.5000", 0.0402756427)
    pad_go(maker, "1I.2", "7.4000", 0.0262904212)
    assert maker.card()["say"] == "3\u00be turns shorter"
    assert maker.card()["to"].startswith("to 7.213 in")
    assert maker.card()["why"].endswith("By the last two goes.")
    inner, outer = maker.card()["tip"]["predicted"]
    assert (inner + outer) / 2 * 0.3415 - HALF_STEM == pytest.approx(0.0, abs=0.001)


@pytest.mark.parametrize(("mean", "good"), [(0.010, True), (-0.010, True), (0.0101, False)])
def test_a_pad_is_centred_within_ten_thousandths(mean: float, good: bool) -> None:
    maker = pad_go(Checker(STAMPED).ready("centre").size("1I.lift", "0.400"), "1I.1", "7.5", mean)
    assert (maker.card()["way"] == "good") is good


def test_a_pad_that_longer_moves_inboard_is_asked_about() -> None:
    maker = Checker(STAMPED).ready("centre").size("1I.lift", "0.400")
    pad_go(maker, "1I.1", "7.5000", 0.030)
    pad_go(maker, "1I.2", "7.4000", 0.036)
    assert any("the stud leans, or an edge was misread" in said for said in words(maker))


def test_a_centred_pad_too_near_the_edge_is_told_that_no_length_helps() -> None:
    maker = pad_go(Checker(STAMPED).ready("centre").size("1I.lift", "0.400"), "1I.1", "7.5", 0.0, 0.260)
    assert "no length helps that" in maker.card()["why"]
    assert maker.value(STEP, "1I.1.margin")["severity"] == "STOP"


# --- methods, mounts ---


def test_the_roller_method_is_refused_by_name_on_a_stamped_rocker() -> None:
    message = vector(118)[1]["message"]
    maker = Checker(STAMPED)
    refused = {method["id"]: method["refused"] for method in maker.guide()["methods"]}
    assert refused["centre"] is None
    assert message in refused["two_contacts"].lower()
    maker.ready("two_contacts")
    assert any(message in said.lower() for said in words(maker))
    assert message in maker.guide()["refused"].lower()


def test_centring_is_refused_by_name_on_a_roller_tip() -> None:
    maker = Checker().ready("centre")
    assert any("centring costs width" in said for said in words(maker))


def shaft_go(maker: Checker, go: str, shim: str, length: str, closed: float, opened: float) -> Checker:
    return one_go(maker.size(f"{go}.shim", shim), go, length, closed, opened)


def test_a_shaft_is_raised_or_milled_and_never_given_a_length() -> None:
    """Raise of vector 90 for its contacts; the pushrod that goes with it by the lever, 1 + 1/1.6."""
    given, expected = vector(90)
    maker = Checker(SHAFT).ready().size("1I.lift", "0.577")
    shaft_go(maker, "1I.1", "0", "7.4026", given["x_closed"], given["x_open"])
    card = maker.card()
    assert (card["way"], card["say"]) == ("up", f"Raise the stand {expected['raise_pivot_in']:.3f} in")
    assert card["to"] == f"by a shim; the checker then {0.062 * 1.625:.3f} in longer"
    assert maker.inches("1I.ideal") == pytest.approx(expected["raise_pivot_in"], abs=1e-5)
    shaft_go(maker, "1E.1", "0", "7.4026", given["x_open"], given["x_closed"])
    maker.size("1E.lift", "0.577")
    assert maker.guide()["card"]["say"] == "Raise the stand 0.062 in"


def test_a_stand_too_high_is_milled() -> None:
    given, expected = vector(90)
    maker = Checker(SHAFT).ready().size("1I.lift", "0.577")
    shaft_go(maker, "1I.1", "0.100", "7.4026", given["x_open"], given["x_closed"])
    assert maker.card()["say"] == f"Lower the stand {expected['raise_pivot_in']:.3f} in"
    assert maker.card()["to"].startswith("mill it: shims cannot help; the checker then")


@pytest.mark.parametrize("mean", [0.5, -0.5])
def test_a_pad_on_a_shaft_is_tried_with_a_shim_and_then_told_by_two_goes(mean: float) -> None:
    """In millimetres, mark 2 mm wide: a shim of 0.79 mm moved it by 0.4 mm, so it wants -mean/0.4 x 0.79 mm from there.

    The trial of 0.050 in (common practice) over the lever of a ratio of 1.6 is 1.27/1.625 = 0.78 mm.
    """
    stems = {"stem_tip_intake": typed("8.00", "mm"), "stem_tip_exhaust": typed("8.00", "mm")}
    maker = Checker(SHAFT | stems | {"rocker_tip": "pad", "bore": typed("104.8", "mm")}).ready("centre")
    maker.size("1I.lift", "10.0", unit="mm")
    for go, shim, middle in ((1, "0", mean), (2, "0.79", mean + 0.4)):
        maker.size(f"1I.{go}.shim", shim, unit="mm").size(f"1I.{go}.cal", "200.00", unit="mm")
        for again in ("", "2"):
            maker.size(f"1I.{go}.inner{again}", f"{3 + middle:.2f}", unit="mm")
            maker.size(f"1I.{go}.outer{again}", f"{5 + middle:.2f}", unit="mm")
        if go == 1:
            assert maker.card()["say"] == "Raise the stand 0.78 mm"
    if mean > 0:
        assert maker.card()["say"] == "Lower the stand 1.78 mm"
    else:
        assert maker.card()["way"] == "good"


def test_what_the_specification_lacks_is_named() -> None:
    maker = Checker({key: value for key, value in ROLLERS.items() if key != "rocker_arm"}).ready()
    assert any("the specification lacks Rocker arm, pivot to roller centre" in said for said in words(maker))
    assert maker.guide()["refused"].startswith("No length can be told")


@pytest.mark.parametrize(
    ("place", "answer", "asked"),
    [
        ("springs", "no", "light checking springs first"),
        ("gasket", "no", "Without the measured gasket"),
        ("caps", "off", "Lash caps raise the tips"),
    ],
)
def test_a_mock_up_that_would_mislead_is_flagged(place: str, answer: str, asked: str) -> None:
    assert any(asked in said for said in words(Checker().said(place, answer)))


def test_a_hydraulic_lifter_that_can_collapse_is_held() -> None:
    maker = Checker(ROLLERS | {"lifter_kind": "roller_hydraulic", "lifter_travel": "full"}).said("lifter", "free")
    assert any("can collapse" in said for said in words(maker))


def test_the_caution_at_the_act_and_the_deference_to_the_maker() -> None:
    cautions = {c["id"]: c for c in Checker().build.step(STEP)["cautions"]}
    assert cautions["checker"]["level"] == "tap"
    assert "never run it" in cautions["checker"]["line"]
    assert "defer" in cautions


# --- the order ---


def order(maker: Checker) -> float:
    found = [one for one in maker.build.work(STEP).values if one.value.id == "order.IE"]
    return float(found[0].value.number) / 25.4


def wanted(maker: Checker) -> float:
    return float(Orders(maker.build.work(STEP).bench).lists[0].wanted) / 25.4


@pytest.mark.parametrize(
    ("basis", "out"), [("overall", "theoretical"), ("gauge", "gauge_length"), ("centre", "centre_to_centre")]
)
def test_each_basis_of_the_order_is_that_of_the_vector(basis: str, out: str) -> None:
    given, expected = vector(94)
    maker = finished(Checker().ready(), dict.fromkeys(VALVES, f"{given['caliper_length_in']}"))
    ends(maker, basis, circle=f"{given['gauge_circle_in']}" if basis == "gauge" else None)
    assert wanted(maker) == pytest.approx(expected[out], abs=1e-5)
    assert order(maker) == pytest.approx(round(expected[out] / 0.05) * 0.05, abs=1e-9)


def test_the_order_length_of_the_vector_with_its_preload() -> None:
    """7.512 + 0.040 = 7.552 in, rounded to 7.550; the lifter's end of the rod is a complete ball here (flat 0)."""
    given, expected = vector(95)
    hydraulic = ROLLERS | {"lifter_kind": "roller_hydraulic", "lifter_travel": "full"}
    maker = Checker(hydraulic).ready().said("lifter", "locked")
    finished(maker, dict.fromkeys(VALVES, f"{given['zero_lash_in']}"))
    ends(maker, "overall", flat="0")
    assert maker.guide()["order"] == []
    maker.size("preload", f"{given['preload_in']}")
    assert wanted(maker) == pytest.approx(expected["raw"], abs=1e-9)
    assert order(maker) == pytest.approx(expected["ordered"], abs=1e-9)
    (line,) = maker.guide()["order"]
    assert line["words"] == "Intake and exhaust, overall, over complete balls"
    assert line["shown"] == "7.550 in (191.770 mm)"
    assert "worked out 7.552 in, rounded to the step of 0.050 in" in line["why"]


def test_on_a_fixed_pivot_the_preload_that_rounding_leaves_is_judged() -> None:
    """Vector 95: the same pivot keeps 0.038 in of preload."""
    expected = vector(95)[1]["preload_at_same_pivot"]
    pedestal = ROLLERS | {
        "rocker_kind": "pedestal",
        "rocker_tip": "roller",
        "lifter_kind": "roller_hydraulic",
        "lifter_travel": "full",
    }
    maker = Checker(pedestal).ready().said("lifter", "locked")
    for valve in VALVES:
        maker.size(f"{valve}.1.shim", "0")
    finished(maker, dict.fromkeys(VALVES, "7.512"))
    ends(maker, "overall", flat="0").size("preload", "0.040")
    assert maker.inches("preload.I") == pytest.approx(expected, abs=1e-9)
    assert maker.value(STEP, "preload.I")["verdict"] == "in"


def test_a_checking_lifter_is_corrected_as_in_the_vector() -> None:
    given, expected = vector(126)
    maker = (
        Checker(ROLLERS | {"lifter_kind": "roller_hydraulic", "lifter_travel": "full"})
        .ready()
        .said("lifter", "solid_checker")
    )
    assert any("without both cup heights" in said for said in words(maker))
    maker.size("cup_checker", f"{given['checker_cup_height_in']}").size("cup_real", f"{given['real_cup_height_in']}")
    finished(maker, dict.fromkeys(VALVES, f"{given['measured_in']}"))
    ends(maker, "overall", flat="0").size("preload", "0.030")
    assert wanted(maker) - 0.030 == pytest.approx(expected["length_in"], abs=1e-6)
    assert not any("cup heights" in said for said in words(maker))


CHANGES = {"deck_cut": "0.010", "head_mill": "0.020", "gasket_marked": "0.051", "gasket_final": "0.040"}
CHANGES |= {"base_smaller": "0.030", "tip_higher": "0.015", "tip_lower": "0"}


def changed(maker: Checker) -> float:
    """How much the order grows by the changes of vector 96."""
    ends(finished(maker.ready(), dict.fromkeys(VALVES, "7.512")), "overall", flat="0")
    before = wanted(maker)
    maker.said("changes", "yes")
    assert maker.build.step(STEP)["next"] == "deck_cut"
    for place, text in CHANGES.items():
        maker.size(place, text)
    maker.reading(STEP, "bore_angle", "20", "deg")
    return wanted(maker) - before


def test_what_changes_after_the_marks_goes_into_the_order_as_in_the_vector() -> None:
    """Vector 96; a gasket of 0.051 in when marked and 0.040 in at last is 0.011 in thinner."""
    assert changed(Checker()) == pytest.approx(vector(96)[1]["delta_L"], abs=1e-5)


def test_on_a_fixed_pivot_a_higher_tip_shortens_the_pushrod() -> None:
    """The trade's rule for a fixed pivot: the term of the tip, 0.015 in, becomes -0.015/1.6 in."""
    maker = Checker(SHAFT)
    for valve in VALVES:
        maker.size(f"{valve}.1.shim", "0")
    assert changed(maker) == pytest.approx(vector(96)[1]["delta_L"] - 0.015 - 0.015 / 1.6, abs=1e-5)


def test_intake_and_exhaust_half_a_tenth_apart_get_their_own_lengths() -> None:
    lengths = {valve: "7.5500" if valve[1] == "I" else "7.5000" for valve in VALVES}
    maker = ends(finished(Checker().ready(), lengths), "overall", flat="0")
    assert [line["shown"][:8] for line in maker.guide()["order"]] == ["7.550 in", "7.500 in"]
    close = {valve: "7.5499" if valve[1] == "I" else "7.5000" for valve in VALVES}
    both = ends(finished(Checker().ready(), close), "overall", flat="0")
    assert len(both.guide()["order"]) == 1


def test_a_spread_above_a_quarter_of_a_tenth_waits_for_a_signature() -> None:
    lengths = dict.fromkeys(VALVES, "7.5000") | {"7I": "7.5250"}
    maker = finished(Checker().ready(), lengths)
    assert maker.value(STEP, "spread.I")["verdict"] == "in"
    wide = finished(Checker().ready(), lengths | {"7I": "7.5260"})
    assert (wide.value(STEP, "spread.I")["verdict"], wide.value(STEP, "spread.I")["severity"]) == ("out", "HOLD")


def test_a_valve_one_turn_from_its_neighbours_is_asked_about() -> None:
    maker = finished(Checker().ready(), dict.fromkeys(VALVES, "7.5000") | {"2E": "7.5500"})
    assert any("Exhaust 2: one turn of the checker from its neighbours" in said for said in words(maker))


def test_a_cylinder_whose_intake_was_filed_under_its_exhaust_is_asked_about() -> None:
    lengths = {valve: "7.560" if valve[1] == "I" else "7.500" for valve in VALVES}
    assert not any("filed under" in said for said in words(finished(Checker().ready(), lengths)))
    crossed = finished(Checker().ready(), lengths | {"7I": "7.500", "7E": "7.560"})
    assert any(said.startswith("Cylinder 7: intake and exhaust read like each other's") for said in words(crossed))


def test_a_whole_work_step_comes_out_green_and_is_signed() -> None:
    maker = ends(finished(Checker().ready(), dict.fromkeys(VALVES, "7.5000")), "overall", flat="0")
    view = maker.build.step(STEP)
    assert [flag["words"] for flag in view["flags"] if flag["open"]] == []
    assert view["sign"]["ready"]
    maker.sign(STEP)
    assert maker.build.step(STEP)["state"] == "accepted"


def test_a_valve_without_a_length_leaves_no_order_and_waits_for_the_lead() -> None:
    maker = finished(Checker().ready(), dict.fromkeys(VALVES[:5], "7.5000"))
    maker.skip(STEP, "2E.lift", "indicator is away")
    ends(one_go(maker, "2E.1", "7.5000", 0.0024, 0.0024), "overall", flat="0")
    flags = [flag for flag in maker.build.step(STEP)["flags"] if flag["words"].startswith("No order length yet")]
    assert [(flag["severity"], flag["open"]) for flag in flags] == [("HOLD", True)]
    assert "Exhaust 2, its length" in flags[0]["words"]


def test_without_an_order_it_says_what_is_lacking() -> None:
    maker = finished(Checker().ready(), dict.fromkeys(VALVES, "7.5000"))
    view = maker.build.step(STEP)
    assert not view["sign"]["ready"]
    assert view["next"] == "ball"


def test_in_line_four_valves_are_marked_and_in_a_v_six() -> None:
    """Common practice: at least four of an in-line engine, six of a V: both ends of one bank, a pair of the other."""
    inline = ROLLERS | {"layout": "inline", "numbering": [[1, 2, 3, 4, 5, 6]]}
    assert [Checker(engine).guide()["of"] for engine in (inline, ROLLERS)] == [4, 6]
    named = [group["id"] for group in Checker().build.step(STEP)["groups"]]
    assert [name for name in named if "." not in name] == ["how", *VALVES, "order"]


def test_the_second_reading_of_a_contact_is_blind_to_the_first() -> None:
    maker = Checker().ready().size("1I.lift", "0.577").size("1I.1.closed", "0.150")
    assert [maker.place(STEP, f"1I.1.{place}")["blind"] for place in ("closed", "closed2", "open2")] == [
        False,
        True,
        True,
    ]
    assert maker.place(STEP, "1I.1.closed2")["hint"] == "Inked anew, without a look at the first."


def test_later_goes_stand_in_the_form_only_once_they_are_wanted() -> None:
    maker = Checker().ready().size("1I.lift", "0.577")
    shown = [place for place in maker.build.step(STEP)["walk"] if place.startswith("1I.2.")]
    assert shown == []
    one_go(maker, "1I.1", "7.4026", -0.012, 0.014)
    shown = [place for place in maker.build.step(STEP)["walk"] if place.startswith("1I.2.")]
    assert shown[0] == "1I.2.cal"
    assert (maker.build.step(STEP)["next"], maker.guide()["begins"]) == ("1I.2.cal", True)


@pytest.mark.parametrize("engine", [ROLLERS, STAMPED], ids=["roller", "stamped"])
def test_a_book_looked_at_after_every_reading_says_what_one_fed_at_once_says(engine: dict[str, Any]) -> None:
    maker = Checker(engine).ready(base="6.800").size("1I.lift", "0.577")
    wrong = maker.reading(STEP, "1I.1.cal", "7.9026")
    one_go(maker.turned("1I.1", "12", "0"), "1I.1", "7.4026", -0.012, 0.014)
    maker.strike(wrong, "another valve's")
    pad_go(maker.turned("1I.2", "13", "0"), "1I.2", "7.4526", 0.006)
    ends(finished(maker.contacts("1I.2", -0.003, 0.007), dict.fromkeys(VALVES[1:], "7.5")), "gauge", circle="0.140")
    looked = Build(BUILD, maker.build.names)
    for seq, text in enumerate(maker.texts, 1):
        looked.add(text, seq)
        looked.step(STEP)
        looked.guide(STEP)
    assert looked.step(STEP) == maker.build.step(STEP)
    assert looked.guide(STEP) == maker.build.guide(STEP)
