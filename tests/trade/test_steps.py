"""The work steps judged as a builder would: the worked examples of the trade pages through the whole brain.

Limits, uncertainties and verdict words are *common practice*; arithmetic is derived.
"""

import pytest

from standbook.trade.geometry import valve_order

from .book_maker import BORE_GAUGE, MICROMETER, V8, BookMaker, typed

CLEARANCE = "main_bearing_clearance"


def test_a_clearance_read_directly_is_in_where_the_same_from_two_instruments_is_close() -> None:
    direct = BookMaker()
    direct.joint()
    direct.bearing(2, "0.0022", "0.0028", "0.0029")
    found = direct.value(CLEARANCE, "MB2.clearance")
    assert (found["verdict"], found["limits"][0]["band"]) == ("in", "0.0021 to 0.0031 in")
    assert found["limits"][0]["trust"] == "Trusted to ±0.00007 in (gauge zeroed on the journal)"

    two = BookMaker()
    two.journals()
    two.joint("two_instruments")
    two.bearing(2, "2.5780", "2.5786", "2.5787")
    found = two.value(CLEARANCE, "MB2.clearance")
    assert (found["shown"]["text"], found["verdict"]) == ("0.0022", "in, close")
    assert found["limits"][0]["trust"] == "Trusted to ±0.00022 in (two instruments)"


def test_journal_form_comes_out_as_the_worked_example_has_it() -> None:
    maker = BookMaker()
    maker.journals()
    assert maker.value("journals", "MJ2.journal_out_of_round")["shown"]["text"] == "0.0001"
    assert maker.value("journals", "MJ2.journal_out_of_round")["verdict"] == "in"
    assert maker.value("journals", "MJ2.journal_taper")["shown"]["text"] == "0.0000"
    assert maker.value("journals", "MJ2.largest")["shown"]["text"] == "2.5758"


def test_housing_form_comes_out_as_the_worked_example_has_it() -> None:
    maker = BookMaker()
    for end in ("F", "R"):
        for plane, size in (("V", "2.7660"), ("P1", "2.7662"), ("P2", "2.7661")):
            maker.reading("main_housings", f"MH1.{plane}.{end}", size, gauge=BORE_GAUGE)
    found = maker.value("main_housings", "MH1.main_housing_out_of_round")
    assert (found["shown"]["text"], found["verdict"]) == ("0.0002", "in")


def test_a_clearance_over_its_limit_is_out_with_limit_source_and_what_to_do() -> None:
    maker = BookMaker()
    maker.joint()
    maker.bearing(4, "0.0034", "0.0039", "0.0040")
    found = maker.value(CLEARANCE, "MB4.clearance")
    assert found["verdict"] == "out"
    assert found["sentence"] == (
        "Out by 0.0003 in: 0.0034 in (0.086 mm). Limit 0.0021 to 0.0031 in, shop default (common practice). "
        "Measure again, or record it as found so with a note; the lead decides."
    )


def test_a_missing_input_is_said_and_never_called_in() -> None:
    maker = BookMaker()
    maker.joint()
    maker.reading(CLEARANCE, "MB1.V", "0.0022", gauge=BORE_GAUGE)
    eccentricity = maker.value(CLEARANCE, "MB1.eccentricity")
    assert eccentricity["verdict"] == "cannot judge"
    assert (
        eccentricity["sentence"] == "Cannot judge: missing Main 1 bearing, leaning left; Main 1 bearing, leaning right."
    )


def test_without_the_method_no_clearance_is_judged() -> None:
    maker = BookMaker()
    maker.reading(CLEARANCE, "MB1.V", "0.0022", gauge=BORE_GAUGE)
    assert maker.value(CLEARANCE, "MB1.clearance")["missing"] == ["how the clearance was measured"]


def test_swapped_housing_and_journal_are_asked_about() -> None:
    maker = BookMaker()
    maker.journals(("2.5780", "2.5780", "2.5780", "2.5780"))
    maker.joint("two_instruments")
    maker.bearing(1, "2.5758", "2.5764", "2.5765")
    words = [flag["words"] for flag in maker.flags("slip")]
    assert "Main 1: negative clearance: were housing and journal swapped?" in words


def test_a_spec_card_replaces_the_shop_default_and_is_named_as_the_source() -> None:
    row = {"key": "main_clearance", "low": typed("0.0018"), "high": typed("0.0021")}
    maker = BookMaker(cards=[{"id": "card-1", "version": 2, "title": "Main bearing sheet", "rows": [row]}])
    maker.joint()
    maker.bearing(1, "0.0022", "0.0028", "0.0029")
    limit = maker.value(CLEARANCE, "MB1.clearance")["limits"][0]
    assert limit["source"] == "spec card: Main bearing sheet, version 2"
    assert limit["verdict"] == "out"


def test_a_limit_that_only_a_card_can_give_is_a_finding_and_no_verdict() -> None:
    maker = BookMaker()
    for end in ("F", "R"):
        maker.reading("main_housings", f"MH1.V.{end}", "2.7660", gauge=BORE_GAUGE)
    assert maker.value("main_housings", "MH1.size.F")["verdict"] == "shown"
    assert len(maker.flags("no card")) == 1


def test_sizes_before_the_caps_are_recorded_as_tight_are_flagged() -> None:
    maker = BookMaker()
    maker.reading(CLEARANCE, "MB1.V", "0.0022", gauge=BORE_GAUGE)
    assert any("before the caps were recorded as tight" in flag["words"] for flag in maker.flags("order"))


def test_an_aluminium_block_has_its_own_cold_band() -> None:
    maker = BookMaker(engine={**V8, "block_material": "aluminium"})
    maker.joint()
    maker.bearing(1, "0.0020", "0.0026", "0.0027")
    assert maker.value(CLEARANCE, "MB1.clearance")["limits"][0]["band"] == "0.0015 to 0.0026 in"


# --- lash ---


def lash(state: str = "cold") -> BookMaker:
    maker = BookMaker()
    maker.reading("solid_lash", "state", state, None)
    maker.reading("solid_lash", "method", "one_by_one", None)
    return maker


def test_the_cold_target_follows_the_metals_of_block_and_heads() -> None:
    guide = lash().build.guide("solid_lash")
    assert (guide["now"]["set"], guide["now"]["when"]) == ("Set INTAKE 2", "when EXHAUST 2 just starts to open")
    assert (guide["now"]["target"]["text"], guide["now"]["band"]) == ("0.016", "0.015 to 0.017 in")
    assert lash("hot").build.guide("solid_lash")["now"]["target"]["text"] == "0.022"


def test_metals_without_a_cold_correction_are_said_to_be_missing() -> None:
    maker = BookMaker(engine={**V8, "block_material": "aluminium", "head_material": "iron"})
    maker.reading("solid_lash", "state", "cold", None)
    maker.reading("solid_lash", "2I.lash", "0.016")
    assert "the cold correction" in maker.value("solid_lash", "2I.lash.off")["sentence"]


def test_sixteen_equal_lashes_come_out_green_and_are_not_asked_about() -> None:
    maker = lash()
    for n in range(1, 9):
        maker.reading("solid_lash", f"{n}I.lash", "0.016")
        maker.reading("solid_lash", f"{n}E.lash", "0.018")
    assert [flag["words"] for flag in maker.flags() if flag["open"]] == []
    assert maker.build.guide("solid_lash")["done"] == 16
    assert maker.build.guide("solid_lash")["after"].startswith("All gone through.")


def test_an_exhaust_set_to_the_intake_target_is_asked_about() -> None:
    maker = lash()
    maker.reading("solid_lash", "4E.lash", "0.016")
    assert any("intake and exhaust exchanged" in flag["words"] for flag in maker.flags("slip"))


def test_the_hot_figure_on_a_cold_engine_is_asked_about() -> None:
    maker = lash()
    maker.reading("solid_lash", "2I.lash", "0.022")
    assert any("this is the hot figure" in flag["words"] for flag in maker.flags("slip"))


def test_a_valve_that_could_not_be_set_stays_on_the_list_with_its_reason() -> None:
    maker = lash()
    maker.skip("solid_lash", "2I.lash", "rocker stud pulled")
    guide = maker.build.guide("solid_lash")
    assert guide["list"][0]["state"] == "couldn't"
    assert guide["now"]["set"] == "Set EXHAUST 4"
    assert any("rocker stud pulled" in flag["words"] for flag in maker.flags("not measured"))


def test_a_long_cam_refuses_two_crank_positions_by_name() -> None:
    long_cam = {**V8, "intake_opens": typed("90", "deg"), "exhaust_closes": typed("90", "deg")}
    maker = BookMaker(engine=long_cam)
    refused = {method["id"]: method["refused"] for method in maker.build.guide("solid_lash")["methods"]}
    assert "do not reach every valve" in refused["two_positions"]


def test_hydraulic_lifters_have_no_lash_step() -> None:
    maker = BookMaker(engine={**V8, "lifter_kind": "roller_hydraulic"})
    steps = [step["id"] for stage in maker.build.state()["stages"] for step in stage["steps"]]
    assert steps == ["main_housings", "journals", CLEARANCE, "hydraulic_preload"]


@pytest.mark.parametrize(("text", "asked"), [("0.16", "Ten times off"), ("0.406", "millimetres typed as inches")])
def test_a_lash_slip_is_asked_about(text: str, asked: str) -> None:
    maker = lash()
    maker.reading("solid_lash", "2I.lash", text)
    assert any(asked in flag["words"] for flag in maker.flags("slip"))


def test_a_digit_slip_in_a_journal_offers_the_likely_size_and_changes_nothing() -> None:
    maker = BookMaker()
    maker.reading("journals", "MJ3.F.90", "2.5578", gauge=MICROMETER)
    assert any("Did you mean 2.5758?" in flag["words"] for flag in maker.flags("slip"))
    assert maker.place("journals", "MJ3.F.90")["accepted"]["text"] == "2.5578"


def test_seat_figures_at_a_large_lobe_rise_take_the_wider_margin() -> None:
    assert valve_order.margin_for(0.006 * 25.4) == 25.0
    assert valve_order.margin_for(0.020 * 25.4) == 30.0
    assert valve_order.margin_for(None) == 25.0


@pytest.mark.parametrize(("hot", "state"), [("0.012", "no lash left"), ("0.015", "no lash left")])
def test_a_correction_that_would_leave_no_lash_gives_no_target(hot: str, state: str) -> None:
    metals = {"block_material": "aluminium", "head_material": "aluminium"}
    maker = BookMaker(engine={**V8, **metals, "lash_hot_intake": typed(hot), "lash_hot_exhaust": typed(hot)})
    maker.reading("solid_lash", "state", "cold", None)
    maker.reading("solid_lash", "method", "one_by_one", None)
    guide = maker.build.guide("solid_lash")
    assert (guide["now"], state) == (None, "no lash left")
    assert "the usual correction would leave no lash" in guide["refused"]
    assert any(flag["severity"] == "HOLD" and "no target" in flag["words"] for flag in maker.flags("missing"))


def test_sizes_taken_with_loose_caps_stay_flagged_after_the_caps_are_tight() -> None:
    maker = BookMaker()
    maker.reading("main_housings", "caps_tight", "no", None)
    assert maker.flags() == []
    first = maker.reading("main_housings", "MH1.V.F", "2.7660", gauge=BORE_GAUGE)
    assert any("not at full torque" in flag["words"] for flag in maker.flags())
    maker.reading("main_housings", "caps_tight", "yes", None, why="measured_again")
    assert any("1 sizes were taken before" in flag["words"] for flag in maker.flags("order"))
    maker.strike(first, "caps were loose")
    maker.reading("main_housings", "MH1.V.F", "2.7660", gauge=BORE_GAUGE)
    assert maker.flags("order") == []


def test_a_tight_housing_is_judged_at_its_tight_end() -> None:
    row = {"key": "main_housing_size", "low": typed("2.7655"), "high": typed("2.7665")}
    maker = BookMaker(cards=[{"id": "c", "version": 1, "title": "Bearing sheet", "rows": [row]}])
    maker.reading("main_housings", "MH1.V.F", "2.7653", gauge=BORE_GAUGE)
    maker.reading("main_housings", "MH1.V.R", "2.7660", gauge=BORE_GAUGE)
    assert maker.value("main_housings", "MH1.size.F")["verdict"] == "out"
    assert maker.value("main_housings", "MH1.size.R")["verdict"] == "in"


def test_the_cold_figure_on_a_hot_engine_is_asked_about() -> None:
    maker = lash("hot")
    maker.reading("solid_lash", "2I.lash", "0.016")
    assert any("this is the cold figure" in flag["words"] for flag in maker.flags("slip"))


def test_the_sentence_names_the_limit_that_gave_the_severity() -> None:
    maker = BookMaker()
    maker.journals(("2.5758", "2.5752", "2.5758", "2.5752"))
    assert "Reject limit up to 0.0005 in" in maker.value("journals", "MJ1.journal_out_of_round")["sentence"]
    assert ". Limit up to 0.0002 in" in maker.value("journals", "MJ1.journal_taper")["sentence"]


def test_a_valve_off_its_target_says_both_and_to_set_it_again() -> None:
    maker = lash()
    maker.reading("solid_lash", "2I.lash", "0.012")
    sentence = maker.value("solid_lash", "2I.lash.off")["sentence"]
    assert sentence.startswith("Lash 0.012 in, target 0.016 in. Out by 0.003 in")
    assert "Set it again" in sentence


def test_the_spread_over_the_mains_is_a_form_figure() -> None:
    maker = BookMaker()
    maker.journals()
    maker.joint("two_instruments")
    for n in range(1, 6):
        upright = "2.5783" if n == 3 else "2.5780"
        maker.bearing(n, upright, "2.5786", "2.5787")
    found = maker.value(CLEARANCE, "MB.spread")
    assert (found["shown"]["text"], found["verdict"]) == ("0.0003", "in")


def test_a_dial_counts_with_a_fifth_of_its_division() -> None:
    dial = MICROMETER | {"kind": "dial_indicator", "name": "Dial", "step": typed("0.001"), "dial": True}
    maker = BookMaker()
    maker.reading("main_housings", "ML1", "0.0002", gauge=dial)
    assert maker.value("main_housings", "ML1.step")["limits"][0]["trust"].startswith("Trusted to ±0.00014 in")


def test_a_metric_limit_is_told_with_digits_that_a_shop_can_use() -> None:
    metric = {**V8, "bore": typed("104.8", "mm"), "main_journal_diameter": typed("65.42", "mm")}
    maker = BookMaker(engine=metric)
    maker.joint()
    gauge = BORE_GAUGE | {"kind": "dial_bore_gauge_metric", "step": typed("0.002", "mm")}
    maker.reading(CLEARANCE, "MB1.V", "0.060", "mm", gauge=gauge)
    limit = maker.value(CLEARANCE, "MB1.clearance")["limits"][0]
    assert limit["band"] == "0.053 to 0.079 mm"
    assert limit["trust"].startswith("Trusted to ±0.0014 mm")


def test_a_v6_with_split_pins_can_fire_evenly() -> None:
    six = {**V8, "cylinders": typed("6", "1"), "bank_angle": typed("60", "deg"), "split_angle": typed("60", "deg")}
    six |= {"numbering": [[1, 3, 5], [2, 4, 6]], "rod_journals": [[1, 2], [3, 4], [5, 6]]}
    six |= {"firing_order": [1, 2, 3, 4, 5, 6], "main_bearings": typed("4", "1")}
    assert BookMaker(engine=six).flags("engine") == []
