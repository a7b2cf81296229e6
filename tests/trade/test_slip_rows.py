"""Every entry check of the trade's table (common practice), at a place of every step, for set and for found values.

The places are found by themselves: the first of each step, kind, family and sort of value for which something can be
expected, by the engine's specification or by the median of the family. All sizes are invented.
"""

import itertools
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import pytest

from standbook.trade import gauges, plain, quantity, shop_gauges, slips, steppers
from standbook.trade.build import Build
from standbook.trade.limits import Limits
from standbook.trade.preview import preview
from standbook.trade.steps import BY_ID, STEPS
from standbook.trade.steps.covers import COVERS

from .book_maker import BORE_GAUGE, BUILD, MICROMETER, BookMaker, typed
from .joint_maker import ENGINE

METRIC = MICROMETER | {
    "id": "mic-mm",
    "kind": "outside_micrometer_metric",
    "step": typed("0.001", "mm"),
    "trust": typed("0.003", "mm"),
}
DIAL = BORE_GAUGE | {"id": "dial", "kind": "dial_indicator", "step": typed("0.001"), "dial": True}
BLADES = BORE_GAUGE | {"id": "blades", "kind": "feeler_gauges", "step": typed("0.001")}
WRENCH = BORE_GAUGE | {
    "id": "wrench",
    "kind": "torque_wrench",
    "name": "Wrench",
    "step": typed("1", "lbf*ft"),
    "trust": typed("4", "%"),
    "band": "4",
    "range_low": typed("30", "lbf*ft"),
    "range_high": typed("150", "lbf*ft"),
}
#: Where only a family can say what is expected: its mates read so much, in inches.
OF_A_FAMILY = ("0.0941", "0.0940", "0.0940", "0.0940")
#: Steps whose only lengths are of a tool (the wrench and its adapter), of which nobody knows what to expect.
NOTHING_EXPECTED = {"head_bolts", "main_cap_bolts", *(cover.ID for cover in COVERS)}
MATES = len(OF_A_FAMILY)


class Spot(NamedTuple):
    """A place of a step, and the inches that are expected there."""

    step: str
    place: str
    found: bool
    expected: float

    def text(self, times: float = 1.0, more: float = 0.0, decimals: int | None = None) -> str:
        usual = 4 if self.found else 3
        return plain.number_text(self.expected * times + more, usual if decimals is None else decimals)


def begun(step: str) -> BookMaker:
    """An engine whose step has its choices answered, each with the first."""
    maker = BookMaker(engine=ENGINE)
    if step == "lash_again":
        for side in "IE":
            maker.reading("solid_lash", f"1{side}.lash", "0.016")
    for place in BY_ID[step].places(maker.build.facts().engine):
        if place.kind in ("choice", "flag") and place.id != "gauge_zero":
            maker.reading(step, place.id, place.choices[0][0], None)
    return maker


def family_of(step: str, place: str) -> list[Any]:
    places = BY_ID[step].places(begun(step).build.facts().engine)
    mine = next(one for one in places if one.id == place)
    return [one for one in places if one.family and (one.family, one.kind) == (mine.family, mine.kind)]


def scene(spot: Spot) -> BookMaker:
    """The step as it is before a reading at the spot; where the specification is silent its family has been read."""
    maker = begun(spot.step)
    if nominal(maker, spot.step, spot.place) is None:
        others = [one for one in family_of(spot.step, spot.place) if one.id != spot.place]
        for one, text in zip(others, OF_A_FAMILY, strict=False):
            maker.reading(spot.step, one.id, text)
    return maker


def nominal(maker: BookMaker, step: str, place: str) -> float | None:
    expected = BY_ID[step].expect(maker.build.work(step).bench, place)
    return None if expected is None else expected.value / 25.4


def spots() -> Iterator[Spot]:
    for step in STEPS:
        maker, seen = begun(step.id), set()
        for place in step.places(maker.build.facts().engine):
            sort = (place.family, place.set_or_found)
            if place.kind != "length" or sort in seen:
                continue
            seen.add(sort)
            size = nominal(maker, step.id, place.id)
            if size is None and len(family_of(step.id, place.id)) > MATES:
                size = 0.0940
            if size is not None:
                yield Spot(step.id, place.id, place.set_or_found == "found", size)


SPOTS = list(spots())
everywhere = pytest.mark.parametrize("spot", SPOTS, ids=lambda spot: f"{spot.step} {spot.place}")


def asked(spot: Spot, text: str, unit: str = "in", gauge: dict[str, Any] | None = BORE_GAUGE) -> list[str]:
    """Ids of what is asked about this reading, before it is kept."""
    work = scene(spot).build.work(spot.step)
    return [slip["id"] for slip in preview(work, spot.place, typed(text, unit), gauge)["slips"]]


def usual_gauge(spot: Spot) -> dict[str, Any]:
    return BORE_GAUGE if spot.found else BLADES


def test_every_step_is_here_and_both_sorts_of_value() -> None:
    lengths = {
        step.id for step in STEPS if any(p.kind == "length" for p in step.places(begun(step.id).build.facts().engine))
    }
    assert lengths - {spot.step for spot in SPOTS} == NOTHING_EXPECTED
    assert {spot.found for spot in SPOTS} == {True, False}


@everywhere
def test_what_is_expected_is_not_asked_about(spot: Spot) -> None:
    assert asked(spot, spot.text(), gauge=usual_gauge(spot)) == []


@everywhere
@pytest.mark.parametrize("turns", [1, -1, 2])
def test_a_thimble_is_read_whole_turns_off_where_the_part_is_found(spot: Spot, turns: int) -> None:
    text = spot.text(more=0.025 * turns)
    if plain.parse_number(text) > 0:
        assert ("turn" in asked(spot, text, gauge=MICROMETER)) == spot.found


@everywhere
def test_a_metric_thimble_turns_by_half_a_millimetre(spot: Spot) -> None:
    text = spot.text(times=25.4, more=0.5, decimals=3)
    assert ("turn" in asked(spot, text, "mm", METRIC)) == spot.found


@everywhere
def test_neighbouring_digits_are_exchanged(spot: Spot) -> None:
    right = spot.text()
    work = scene(spot).build.work(spot.step)
    near = work.step.expect(work.bench, spot.place)
    window = (near.low / 25.4, near.high / 25.4) if near else (spot.expected - 0.010, spot.expected + 0.010)
    wrong = [text for text in exchanged(right) if not window[0] <= plain.parse_number(text) <= window[1]]
    assert wrong
    for text in wrong:
        offers = [s["offer"] for s in preview(work, spot.place, typed(text), None)["slips"] if s["id"] == "swapped"]
        assert typed(right) in offers


def exchanged(text: str) -> list[str]:
    digits = [at for at, letter in enumerate(text) if letter != "."]
    pairs = list(itertools.pairwise(digits))
    return [text[:a] + text[b] + text[a + 1 : b] + text[a] + text[b + 1 :] for a, b in pairs if text[a] != text[b]]


@everywhere
@pytest.mark.parametrize(
    ("times", "unit"),
    [(25.4, "in"), (1000.0, "in"), (1 / 25.4, "mm"), (1 / 1000, "thou")],
    ids=["mm as in", "thou as in", "in as mm", "in as thou"],
)
def test_a_unit_is_taken_for_another(spot: Spot, times: float, unit: str) -> None:
    inches = {"in": spot.expected, "mm": spot.expected * 25.4, "thou": spot.expected * 1000}[unit]
    text = plain.number_text(inches * times, 6)
    assert asked(spot, text, unit, None)[:1] == ["unit"]


@everywhere
@pytest.mark.parametrize("times", [10.0, 0.1])
def test_a_digit_is_missing_or_the_point_in_the_wrong_place(spot: Spot, times: float) -> None:
    assert "digit" in asked(spot, spot.text(times, decimals=5), gauge=None)


@everywhere
def test_a_reading_with_fewer_digits_than_the_gauge_shows(spot: Spot) -> None:
    gauge = usual_gauge(spot)
    short = spot.text(decimals=plain.decimals_of(gauge["step"]["text"]) - 1)
    assert "digit" in asked(spot, short, gauge=gauge)


@everywhere
def test_a_reading_finer_than_the_gauge_reads(spot: Spot) -> None:
    assert "finer" in asked(spot, spot.text() + "5", gauge=usual_gauge(spot))


@everywhere
def test_the_same_gauge_is_as_fine_in_thousandths(spot: Spot) -> None:
    text = plain.number_text(spot.expected * 1000, 1 if spot.found else 0)
    assert asked(spot, text, "thou", usual_gauge(spot)) == []
    assert "finer" in asked(spot, text + ("5" if spot.found else ".5"), "thou", usual_gauge(spot))


@everywhere
def test_a_dial_is_read_to_a_fifth_of_a_division_and_no_finer(spot: Spot) -> None:
    tens = plain.number_text(spot.expected, 3)
    assert "finer" not in asked(spot, tens + "2", gauge=DIAL)
    assert "finer" in asked(spot, tens + "3", gauge=DIAL)


@everywhere
def test_far_from_everything_is_at_least_looked_at_again(spot: Spot) -> None:
    assert asked(spot, spot.text(more=0.0713, decimals=4), gauge=None) != []


# --- the family ---


@pytest.mark.parametrize("away", [0.0004, -0.0006])
def test_where_no_nominal_is_known_the_odd_one_out_is_asked_about(away: float) -> None:
    spots_of_families = [spot for spot in SPOTS if nominal(begun(spot.step), spot.step, spot.place) is None]
    assert spots_of_families
    for spot in spots_of_families:
        assert ("odd" in asked(spot, spot.text(more=away, decimals=4))) == spot.found
        assert asked(spot, spot.text(more=0.0001, decimals=4)) == []


def test_the_odd_journal_is_a_note_and_names_what_the_others_read() -> None:
    maker = BookMaker()
    maker.journals()
    maker.reading("journals", "MJ3.F.0", "2.5762", why="typed_wrong", corrects=reading_at(maker, "MJ3.F.0"))
    odd = [flag for flag in maker.flags("slip") if "odd one out" in flag["words"]]
    assert [(flag["place"], flag["severity"], flag["open"]) for flag in odd] == [("MJ3.F.0", "NOTE", False)]
    assert "the others here lie around 2.5758 in" in odd[0]["words"]


def reading_at(maker: BookMaker, place: str) -> str:
    return str(maker.place("journals", place)["readings"][-1]["id"])


# --- copied readings ---


@pytest.mark.parametrize("step", [step.id for step in STEPS])
def test_found_values_alike_in_five_places_are_asked_about_and_set_ones_never(step: str) -> None:
    maker = begun(step)
    places = [place for place in BY_ID[step].places(maker.build.facts().engine) if place.kind == "length"]
    for place in places:
        maker.reading(step, place.id, "0.0160", gauge=BORE_GAUGE)
    copied = [flag for flag in maker.flags("slip") if "same value" in flag["words"]]
    found = [place for place in places if place.set_or_found == "found"]
    assert len(copied) == (1 if len(found) > 4 else 0)
    assert all(flag["severity"] == "NOTE" for flag in copied)


def test_a_second_row_of_copies_is_asked_about_as_well() -> None:
    maker = BookMaker()
    sizes = ["2.5758"] * 6 + ["2.5757"] * 7
    places = [f"MJ{n}.{at}" for n in range(1, 5) for at in ("F.0", "F.90", "R.0", "R.90")]
    for place, size in zip(places, sizes, strict=False):
        maker.reading("journals", place, size, gauge=MICROMETER)
    copied = [flag["place"] for flag in maker.flags("slip") if "same value" in flag["words"]]
    assert copied == [places[4], places[10]]


# --- nobody argues twice ---

SLIPS: tuple[tuple[str, Callable[[Spot], str]], ...] = (
    ("ten times", lambda spot: spot.text(10.0)),
    ("millimetres", lambda spot: spot.text(25.4)),
    ("finer", lambda spot: spot.text() + "5"),
)


@everywhere
@pytest.mark.parametrize(("slip", "of"), SLIPS, ids=[name for name, _ in SLIPS])
def test_found_so_stands_for_the_value_also_after_reopening(spot: Spot, slip: str, of: Callable[[Spot], str]) -> None:
    maker, text, gauge = scene(spot), of(spot), usual_gauge(spot)
    said = [one["id"] for one in preview(maker.build.work(spot.step), spot.place, typed(text), gauge)["slips"]]
    assert said, slip
    maker.reading(spot.step, spot.place, text, gauge=gauge, confirmed=said, note="looked twice")
    again = Build(BUILD)
    for seq, entry in enumerate(maker.texts, 1):
        again.add(entry, seq)
    for build in (maker.build, again):
        here = [flag for flag in build.state()["flags"] if flag["sort"] == "slip" and flag["place"] == spot.place]
        assert here, "it stays in sight for the lead"
        assert not any(flag["open"] for flag in here)
        assert preview(build.work(spot.step), spot.place, typed(text), gauge)["slips"] == []
        other = preview(build.work(spot.step), spot.place, typed(spot.text(10.0, 0.07)), gauge)["slips"]
        assert other != [], "another value is asked about"


def test_an_answer_covers_what_later_readings_make_of_the_value() -> None:
    maker = BookMaker()
    maker.reading("journals", "MJ1.F.0", "2.6008", gauge=MICROMETER, confirmed=["far"], note="welded up")
    flags = [flag for flag in maker.flags("slip") if flag["place"] == "MJ1.F.0"]
    assert [(flag["severity"], flag["open"]) for flag in flags] == [("NOTE", False)]
    assert "one turn" in flags[0]["words"]


# --- torques and angles ---


@pytest.mark.parametrize(
    ("text", "unit", "expected", "in_unit", "meant"),
    [
        # ft-lb to N*m 1.356, ft-lb to in-lb 12 (derived; NIST SP 811: 1 lbf*ft = 1.355818 N*m)
        ("101.7", "lbf*ft", 75.0, "lbf*ft", "N*m"),
        ("75", "N*m", 101.686, "N*m", "lbf*ft"),
        ("84", "lbf*ft", 7.0, "lbf*ft", "lbf*in"),
        ("7", "lbf*in", 84.0, "lbf*in", "lbf*ft"),
        ("9.5", "lbf*in", 84.0, "lbf*in", "N*m"),
    ],
)
def test_a_torque_in_another_unit(text: str, unit: str, expected: float, in_unit: str, meant: str) -> None:
    (slip,) = asked_of("torque", text, unit, expected, in_unit)
    assert (slip["id"], slip["offer"]) == ("unit", typed(text, meant))


@pytest.mark.parametrize(
    ("kind", "text", "unit", "expected", "slip"),
    [
        ("torque", "750", "lbf*ft", 75.0, "digit"),
        ("torque", "57", "lbf*ft", 75.0, "swapped"),
        ("torque", "40", "lbf*ft", 75.0, "far"),
        ("angle", "54", "deg", 45.0, "swapped"),
        ("angle", "600", "deg", 60.0, "digit"),
        ("angle", "30", "deg", 60.0, "far"),
    ],
)
def test_other_slips_of_a_torque_and_of_an_angle(kind: str, text: str, unit: str, expected: float, slip: str) -> None:
    assert [one["id"] for one in asked_of(kind, text, unit, expected, unit)] == [slip]


def test_a_torque_that_the_wrench_cannot_give_or_show() -> None:
    assert [one["id"] for one in asked_of("torque", "20", "lbf*ft", 20.0, "lbf*ft", WRENCH)] == ["range"]
    assert [one["id"] for one in asked_of("torque", "75.5", "lbf*ft", 75.0, "lbf*ft", WRENCH)] == ["finer"]
    assert asked_of("torque", "150", "lbf*ft", 150.0, "lbf*ft", WRENCH) == []


def asked_of(
    kind: str, text: str, unit: str, expected: float, in_unit: str, gauge: dict[str, Any] | None = None
) -> list[dict[str, Any]]:
    near = slips.near_the_median(kind, quantity.to_canonical(kind, expected, in_unit))
    reading = slips.Typed(kind, typed(text, unit), gauge, set_value=True)
    found: list[dict[str, Any]] = slips.suspicions(reading, near, Limits())
    return found


# --- calibration ---

TORQUES = [
    (step.id, place.id)
    for step in STEPS
    for place in step.places(begun(step.id).build.facts().engine)
    if place.kind == "torque"
]


@everywhere
def test_a_gauge_past_its_date_warns(spot: Spot) -> None:
    maker = scene(spot)
    late = usual_gauge(spot) | {"calibration_due": "2026-11-24"}
    maker.reading(spot.step, spot.place, spot.text(), gauge=late)
    (flag,) = [one for one in maker.flags("instrument") if "calibration" in one["words"]]
    assert (flag["severity"], flag["open"], flag["place"]) == ("WARN", True, spot.place)


@everywhere
def test_a_gauge_is_in_date_on_its_day(spot: Spot) -> None:
    maker = scene(spot)
    maker.reading(spot.step, spot.place, spot.text(), gauge=usual_gauge(spot) | {"calibration_due": "2026-11-25"})
    assert not any("calibration" in flag["words"] for flag in maker.flags())


@pytest.mark.parametrize(("step", "place"), TORQUES)
@pytest.mark.parametrize("late", [{"calibration_due": "2026-11-24"}, {"used_up": True}], ids=["by date", "by pulls"])
def test_a_wrench_past_its_calibration_stops(step: str, place: str, late: dict[str, Any]) -> None:
    maker = begun(step)
    asked_before = preview(maker.build.work(step), place, typed("75", "lbf*ft"), WRENCH | late, day="2026-11-25")
    assert "overdue" in [slip["id"] for slip in asked_before["slips"]]
    in_date = preview(maker.build.work(step), place, typed("75", "lbf*ft"), WRENCH, day="2026-11-25")
    assert "overdue" not in [slip["id"] for slip in in_date["slips"]]
    maker.reading(step, place, "75", "lbf*ft", gauge=WRENCH | late, confirmed=["overdue"], note="no other here")
    (flag,) = [one for one in maker.flags("instrument") if "calibration" in one["words"]]
    assert (flag["severity"], flag["open"]) == ("STOP", True)
    maker.decide("accept", flag["about"], "checked on the standard today", step=step)
    (flag,) = [one for one in maker.flags("instrument") if "calibration" in one["words"]]
    assert (flag["open"], flag["answer"]) == (False, "accepted by lead: checked on the standard today")


def test_a_wrench_is_due_after_twelve_months_or_more_than_five_thousand_pulls() -> None:
    """ISO 6789:2003 (from memory): 12 months or 5000 cycles, where no other interval is set."""
    assert shop_gauges.due_after("2025-11-30") == "2026-11-30"
    assert shop_gauges.due_after("2024-02-29") == "2025-02-28"
    assert (shop_gauges.is_used_up(5000), shop_gauges.is_used_up(5001)) == (False, True)


@pytest.mark.parametrize("date", ["", "2026-13-01", "2026-02-30", "26-1-1", "2026-1-01x", "2026/11/27"])
def test_what_is_no_date_is_refused(date: str) -> None:
    with pytest.raises(plain.Refusal):
        shop_gauges.due_after(date)


# --- the pad's steps ---


@pytest.mark.parametrize(
    ("text", "unit", "gauge", "less", "more", "by"),
    [
        ("2.5758", "in", MICROMETER, "2.5757", "2.5759", "0.0001 in"),
        ("0.016", "in", BLADES, "0.015", "0.017", "0.001 in"),
        ("0.016", "in", None, "0.015", "0.017", "0.001 in"),
        ("16", "thou", BLADES, "15", "17", "1 thou"),
        ("0.40", "mm", None, "0.39", "0.41", "0.01 mm"),
        ("2.58", "in", MICROMETER, "2.5799", "2.5801", "0.0001 in"),
        ("0.0005", "in", BLADES, None, "0.0015", "0.001 in"),
        ("9.99", "mm", None, "9.98", "10.00", "0.01 mm"),
        ("75", "lbf*ft", WRENCH, "74", "76", "1 ft-lb"),
    ],
)
def test_a_step_of_the_pad_is_one_step_of_the_gauge_or_a_thousandth(
    text: str, unit: str, gauge: Any, less: str | None, more: str, by: str
) -> None:
    kind = "torque" if unit == "lbf*ft" else "length"
    found = steppers.of_reading(kind, typed(text, unit), gauge)
    assert (found["less"] and found["less"]["text"], found["more"], found["by"]) == (less, typed(more, unit), by)


def test_what_is_not_measured_has_no_steps() -> None:
    assert steppers.of_reading("choice", typed("yes", None), None) is None


def test_the_sheet_of_gauges_says_what_each_reads_and_what_to_check() -> None:
    found = gauges.notes([MICROMETER, WRENCH | {"calibration_due": "2026-11-24"}], "2026-11-25")
    assert found["mic-1"]["words"] == "reads to 0.0001 in, trusted to \u00b10.0001 in"
    assert found["wrench"]["words"] == (
        "reads to 1 ft-lb, trusted to \u00b14 %, 30 ft-lb to 150 ft-lb, calibration due 2026-11-24"
    )
    assert (found["mic-1"]["overdue"], found["mic-1"]["severity"]) == (None, None)
    assert found["wrench"]["severity"] == "STOP"
    assert found["wrench"]["overdue"].startswith("Wrench: calibration was due on 2026-11-24")
    assert all(note["check"] for note in found.values())
