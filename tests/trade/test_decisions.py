"""What the mechanic answers and the lead decides, and what a signature binds."""

from standbook.trade.limits import TABLE_SHA256

from .book_maker import BORE_GAUGE, MICROMETER, V8, BookMaker, typed

CLEARANCE = "main_bearing_clearance"


def loose_main() -> BookMaker:
    maker = BookMaker()
    maker.joint()
    maker.bearing(4, "0.0034", "0.0039", "0.0040")
    return maker


def flag_of(maker: BookMaker, about: str) -> dict[str, object]:
    return next(flag for flag in maker.flags() if flag["about"] == about)


def test_an_open_finding_waits_for_the_lead_until_he_accepts_it_with_a_reason() -> None:
    maker = loose_main()
    assert flag_of(maker, "MB4.clearance")["open"] is True
    maker.decide("accept", "MB4.clearance", "race oil", typed("0.0034"))
    flag = flag_of(maker, "MB4.clearance")
    assert (flag["open"], flag["answer"]) == (False, "accepted by lead: race oil")
    assert maker.value(CLEARANCE, "MB4.clearance")["accepted_by_lead"]["person"] == "Jon T."


def test_an_acceptance_lapses_when_the_value_changes() -> None:
    maker = loose_main()
    maker.decide("accept", "MB4.clearance", "race oil", typed("0.0034"))
    old = maker.place(CLEARANCE, "MB4.V")["readings"][0]["id"]
    maker.reading(CLEARANCE, "MB4.V", "0.0036", why="typed_wrong", corrects=old, gauge=BORE_GAUGE)
    assert flag_of(maker, "MB4.clearance")["open"] is True


def test_the_lead_asks_to_measure_again_until_a_later_reading_answers() -> None:
    maker = loose_main()
    maker.decide("measure_again", "MB4.clearance", "gauge was dropped")
    assert maker.place(CLEARANCE, "MB4.V")["asked_again"] == "gauge was dropped"
    assert maker.build.step(CLEARANCE)["next"] == "MB1.V"
    assert maker.place(CLEARANCE, "MB4.V")["next_why"] == "measured_again"
    maker.reading(CLEARANCE, "MB4.V", "0.0034", why="measured_again", gauge=BORE_GAUGE)
    assert maker.place(CLEARANCE, "MB4.V")["asked_again"] is None


def test_found_so_is_asked_once_and_stays_visible_to_the_lead() -> None:
    maker = BookMaker()
    maker.joint()
    maker.reading(CLEARANCE, "MB4.V", "0.0034", gauge=BORE_GAUGE, confirmed=["out"], note="read three times")
    flag = flag_of(maker, "MB4.clearance")
    assert (flag["answer"], flag["open"]) == ("found so: read three times", True)


def test_a_slip_that_was_answered_is_only_a_note() -> None:
    maker = BookMaker()
    maker.reading("journals", "MJ3.F.90", "2.5578", gauge=MICROMETER, confirmed=["swapped"], note="ground so")
    flag = maker.flags("slip")[0]
    assert (flag["severity"], flag["answer"], flag["open"]) == ("NOTE", "found so: ground so", False)


def whole_crank() -> BookMaker:
    maker = BookMaker()
    maker.journals()
    for n in range(1, 5):
        for place in ("F.0", "F.90", "R.0", "R.90"):
            size = "2.0999" if place != "R.90" else "2.0998"
            maker.reading("journals", f"RJ{n}.{place}", size, gauge=MICROMETER)
    return maker


def state_of(maker: BookMaker, step: str) -> str:
    steps = [summary for stage in maker.build.state()["stages"] for summary in stage["steps"]]
    return next(summary["state"] for summary in steps if summary["id"] == step)


def test_a_step_goes_from_not_started_to_accepted() -> None:
    assert state_of(BookMaker(), "journals") == "not started"
    maker = BookMaker()
    maker.reading("journals", "MJ1.F.0", "2.5758", gauge=MICROMETER)
    assert state_of(maker, "journals") == "in work"
    maker = whole_crank()
    assert state_of(maker, "journals") == "measured"
    assert maker.build.step("journals")["sign"]["ready"], maker.build.step("journals")["sign"]["missing"]
    maker.sign("journals")
    assert state_of(maker, "journals") == "accepted"


def test_a_signature_falls_when_a_reading_under_it_changes() -> None:
    maker = whole_crank()
    maker.sign("journals")
    old = maker.place("journals", "MJ1.F.0")["readings"][0]["id"]
    maker.reading("journals", "MJ1.F.0", "2.5757", why="typed_wrong", corrects=old, gauge=MICROMETER)
    assert state_of(maker, "journals") == "re-check needed"


def test_a_step_with_empty_places_or_open_findings_says_why_it_cannot_be_signed() -> None:
    missing = loose_main().build.step(CLEARANCE)["sign"]["missing"]
    assert missing[0].startswith("12 places are still empty")
    assert any("Main 4, oil clearance" in line for line in missing)


def test_work_out_of_order_is_kept_and_wants_a_decision() -> None:
    flag = next(flag for flag in loose_main().flags("order") if "begun before" in flag["words"])
    assert flag["severity"] == "WARN"
    maker = loose_main()
    maker.decide("accept", flag["about"], "crank came late")
    assert (
        next(f for f in maker.flags("order") if f["id"] == flag["id"])["answer"] == "accepted by lead: crank came late"
    )


def test_an_overdue_gauge_is_flagged_by_its_date_at_the_reading() -> None:
    maker = BookMaker()
    overdue = MICROMETER | {"calibration_due": "2026-10-01"}
    maker.reading("journals", "MJ1.F.0", "2.5758", gauge=overdue)
    assert "calibration was due on 2026-10-01" in maker.flags("instrument")[0]["words"]


def test_a_caliper_is_too_coarse_for_journal_form() -> None:
    maker = BookMaker()
    caliper = MICROMETER | {"id": "cal", "kind": "digital_caliper", "name": "Caliper", "step": typed("0.0005")}
    for place in ("F.0", "F.90", "R.0", "R.90"):
        maker.reading("journals", f"MJ1.{place}", "2.5755", gauge=caliper)
    assert any("too coarse" in flag["words"] for flag in maker.flags("instrument"))


def test_more_than_ten_readings_without_a_zero_check_are_noted() -> None:
    maker = BookMaker()
    maker.joint()
    for n in range(1, 5):
        maker.bearing(n, "0.0022", "0.0028", "0.0029")
    assert "12 readings since" in maker.flags("instrument")[0]["words"]
    maker.reading(CLEARANCE, "gauge_zero", "yes", None)
    assert maker.flags("instrument") == []


def test_one_found_value_in_five_places_in_a_row_is_asked_about_once() -> None:
    maker = BookMaker()
    maker.journals(("2.5758", "2.5758", "2.5758", "2.5758"))
    copied = [flag for flag in maker.flags("slip") if "same value" in flag["words"]]
    assert len(copied) == 1


def test_a_reading_after_a_step_that_rests_on_it_was_signed_is_flagged_and_the_signature_falls() -> None:
    maker = BookMaker()
    maker.journals()
    maker.joint("two_instruments")
    maker.bearing(1, "2.5780", "2.5786", "2.5787")
    maker.sign(CLEARANCE)
    maker.reading("journals", "MJ1.F.0", "2.5757", why="repeat", gauge=MICROMETER)
    assert any("read after Main bearing clearance was signed" in flag["words"] for flag in maker.flags("order"))
    assert state_of(maker, CLEARANCE) == "re-check needed"


def test_a_part_warmer_than_the_room_is_flagged() -> None:
    maker = BookMaker()
    maker.reading("journals", "temperature", "76", "degF")
    maker.reading("journals", "room_temperature", "69", "degF")
    found = maker.value("journals", "temperature.off")
    assert (found["shown"]["words"], found["verdict"]) == ("7 °F (3.9 K)", "out")


def test_a_hot_engine_asks_for_the_ignition_before_the_hand_goes_in() -> None:
    maker = BookMaker()
    maker.reading("solid_lash", "state", "hot", None)
    lines = [c["line"] for c in maker.build.step("solid_lash")["cautions"] if c["level"] == "tap"]
    assert "Hot parts, and the ignition is disabled?" in lines


def signed_through() -> BookMaker:
    """Housings, journals and mains measured and signed in order, all in."""
    maker = whole_crank()
    maker.reading("main_housings", "caps_tight", "yes", None)
    for n in range(1, 6):
        for end in ("F", "R"):
            for plane, size in (("V", "2.7660"), ("P1", "2.7662"), ("P2", "2.7661")):
                maker.reading("main_housings", f"MH{n}.{plane}.{end}", size, gauge=BORE_GAUGE)
    maker.reading("main_housings", "gauge_zero", "yes", None)
    maker.sign("main_housings")
    maker.sign("journals")
    maker.joint()
    for n in range(1, 6):
        maker.bearing(n, "0.0024", "0.0030", "0.0031" if n % 2 else "0.0030")
    maker.reading(CLEARANCE, "gauge_zero", "yes", None)
    maker.sign(CLEARANCE)
    return maker


def test_work_done_in_order_and_signed_comes_out_green() -> None:
    maker = signed_through()
    assert [state_of(maker, step) for step in ("main_housings", "journals", CLEARANCE)] == ["accepted"] * 3
    assert [flag["words"] for flag in maker.flags() if flag["open"]] == []


def test_one_honest_correction_does_not_lock_two_steps_against_each_other() -> None:
    maker = signed_through()
    old = maker.place("journals", "MJ1.F.0")["readings"][0]["id"]
    maker.reading("journals", "MJ1.F.0", "2.5757", why="typed_wrong", corrects=old, gauge=MICROMETER)
    for step in ("journals", CLEARANCE):
        assert state_of(maker, step) == "re-check needed"
        assert maker.build.step(step)["sign"]["missing"] == []
        maker.sign(step)
        assert state_of(maker, step) == "accepted"


def test_work_begun_out_of_order_stays_flagged_when_the_need_is_signed_later() -> None:
    maker = whole_crank()
    maker.joint()
    maker.sign("journals")
    assert any("begun before" in flag["words"] and "Crank journals" in flag["words"] for flag in maker.flags("order"))


def test_a_signature_falls_when_a_finding_opens_under_it() -> None:
    maker = signed_through()
    nominal = {"field": "main_journal_diameter", "value": typed("3.5000"), "basis": "nominal"}
    maker.entry("engine_value", nominal, person="lead")
    assert state_of(maker, CLEARANCE) == "re-check needed"


def test_a_skipped_place_that_the_lead_accepts_makes_the_step_accepted_by_lead() -> None:
    maker = whole_crank()
    last = maker.place("journals", "RJ4.R.90")["readings"][0]["id"]
    maker.strike(last, "wrong journal")
    maker.skip("journals", "RJ4.R.90", "flange in the way")
    about = next(flag["about"] for flag in maker.flags("not measured"))
    maker.decide("accept", about, "three are enough", step="journals")
    maker.sign("journals")
    assert state_of(maker, "journals") == "accepted by lead"


def test_a_decision_speaks_of_its_own_step_only() -> None:
    maker = BookMaker()
    for step in ("main_housings", "journals"):
        maker.reading(step, "temperature", "80", "degF")
        maker.reading(step, "room_temperature", "68", "degF")
    maker.decide("accept", "temperature.off", "it is July", typed("12", "ddegF"), step="journals")
    opened = {flag["step"]: flag["open"] for flag in maker.flags("out")}
    assert opened == {"main_housings": True, "journals": False}


def test_only_the_latest_decision_about_a_value_stands() -> None:
    maker = loose_main()
    maker.decide("measure_again", "MB4.clearance", "gauge was dropped")
    maker.decide("accept", "MB4.clearance", "race oil", typed("0.0034"))
    assert maker.place(CLEARANCE, "MB4.V")["asked_again"] is None


def test_a_reading_by_somebody_who_did_not_know_of_the_request_does_not_answer_it() -> None:
    maker = loose_main()
    maker.decide("measure_again", "MB4.clearance", "gauge was dropped")
    known = len(maker.texts) - 1
    maker.reading(CLEARANCE, "MB4.V", "0.0034", why="repeat", gauge=BORE_GAUGE, device="phone-2", seen=known)
    assert maker.place(CLEARANCE, "MB4.V")["asked_again"] == "gauge was dropped"


def test_measuring_a_spread_again_asks_for_its_ends_only_and_says_so_once() -> None:
    maker = BookMaker()
    maker.journals()
    old = maker.place("journals", "MJ5.R.90")["readings"][0]["id"]
    maker.reading("journals", "MJ5.R.90", "2.5770", why="typed_wrong", corrects=old, gauge=MICROMETER)
    maker.decide("measure_again", "MJ.spread", "odd one", step="journals")
    asked = maker.flags("asked again")
    assert len(asked) == 1
    places = [f"MJ{n}.R.90" for n in range(1, 6) if maker.place("journals", f"MJ{n}.R.90")["asked_again"]]
    assert places == ["MJ1.R.90", "MJ5.R.90"]


def test_an_acceptance_lapses_when_the_limit_changes() -> None:
    maker = loose_main()
    limit = maker.value(CLEARANCE, "MB4.clearance")["limits"][0]
    words = f"{limit['words']} {limit['band']}, {limit['source']}"
    maker.decide("accept", "MB4.clearance", "race oil", typed("0.0034"), limit=words)
    assert flag_of(maker, "MB4.clearance")["open"] is False
    row = {"key": "main_clearance", "low": typed("0.0015"), "high": typed("0.0020")}
    cards = [{"id": "c", "version": 1, "title": "Sheet", "rows": [row]}]
    maker.entry("limits_frozen", {"defaults": TABLE_SHA256, "cards": cards}, person="lead")
    assert flag_of(maker, "MB4.clearance")["open"] is True


def test_an_acceptance_without_its_value_accepts_nothing() -> None:
    maker = loose_main()
    maker.decide("accept", "MB4.clearance", "race oil")
    assert flag_of(maker, "MB4.clearance")["open"] is True


def test_an_accepted_slip_lapses_when_the_place_is_read_again() -> None:
    maker = BookMaker()
    first = maker.reading("journals", "MJ3.F.90", "2.5578", gauge=MICROMETER)
    about = maker.flags("slip")[0]["about"]
    maker.decide("accept", about, "ground so", step="journals")
    assert maker.flags("slip")[0]["answer"] == "accepted by lead: ground so"
    maker.reading("journals", "MJ3.F.90", "2.7558", why="typed_wrong", corrects=first, gauge=MICROMETER)
    assert maker.flags("slip")[0]["open"] is True


def test_a_problem_of_the_specification_can_be_accepted_with_a_reason() -> None:
    maker = BookMaker(engine={**V8, "firing_order": [1, 8, 4, 3, 6, 7, 5, 2]})
    about = maker.flags("engine")[0]["about"]
    maker.decide("accept", about, "odd-fire crank", step=None)
    assert maker.flags("engine")[0]["answer"] == "accepted by lead: odd-fire crank"


def test_a_signature_binds_units_reasons_and_answers() -> None:
    def shown(unit: str) -> str:
        maker = BookMaker()
        maker.reading("journals", "temperature", "20", unit)
        maker.skip("journals", "MJ1.F.0", "no gauge")
        text: str = maker.build.step("journals")["sign"]["shown"]
        return text

    assert shown("degC") != shown("degF")
    assert "not measured: no gauge" in shown("degC")


def test_a_struck_reading_says_nothing_about_its_gauge() -> None:
    maker = BookMaker()
    overdue = MICROMETER | {"calibration_due": "2026-10-01"}
    entry = maker.reading("journals", "MJ1.F.0", "2.5758", gauge=overdue)
    maker.strike(entry, "gauge out of date")
    assert maker.flags("instrument") == []


def test_a_zero_check_that_found_the_zero_off_does_not_count_as_one() -> None:
    maker = BookMaker()
    maker.joint()
    for n in range(1, 5):
        maker.bearing(n, "0.0022", "0.0028", "0.0029")
    maker.reading(CLEARANCE, "gauge_zero", "no", None)
    assert "12 readings since" in maker.flags("instrument")[0]["words"]


def test_a_long_time_since_the_zero_check_is_told_in_minutes() -> None:
    maker = BookMaker()
    maker.joint()
    maker.reading(CLEARANCE, "MB1.V", "0.0022", gauge=BORE_GAUGE)
    maker.reading(CLEARANCE, "MB2.V", "0.0022", gauge=BORE_GAUGE, made_at="2026-11-25T08:50:00.000Z")
    assert "50 minutes since" in maker.flags("instrument")[0]["words"]


def test_a_strip_or_a_coarse_gauge_is_not_fine_enough_for_a_bearing_bore() -> None:
    strip = BORE_GAUGE | {"id": "strip", "kind": "plastic_strip", "name": "Strip", "step": typed("0.0005")}
    coarse = BORE_GAUGE | {"id": "coarse", "name": "Bore gauge, half a thou", "step": typed("0.0005")}
    for gauge in (strip, coarse):
        maker = BookMaker()
        maker.joint()
        maker.reading(CLEARANCE, "MB1.V", "0.0025", gauge=gauge)
        assert any("too coarse" in flag["words"] for flag in maker.flags("instrument"))
