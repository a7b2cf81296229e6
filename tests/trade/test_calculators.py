"""What every calculator takes and gives, held against the rows of the trade's table; what it says of bad input."""

import json
from collections.abc import Iterator
from math import inf, nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standbook.trade import calls, plain, windows
from standbook.trade.calculator import Calculator, written
from standbook.trade.calculators import CALCULATORS
from standbook.trade.factors import FACTORS
from standbook.trade.reckon import listed
from tests.micropython import Brain

from .vector_cases import Case, cases, rows

LISTED = {one["name"]: one for one in listed()}
CASES = cases()


def refused(name: str, **inputs: Any) -> str:
    """The sentence with which a calculator refuses its inputs."""
    answer = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    message: str = answer["error"]["message"]
    assert answer["error"]["code"] != "call_failed", answer
    return message


def reckoned(name: str, **inputs: Any) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    assert "error" not in answer, answer
    return answer


# --- the table ---------------------------------------------------------------------------------------------------


def default_of(row: dict[str, str]) -> Any:
    """A default as the table writes it, in the form of ours."""
    text = row["default"]
    if text == "" or row["kind"] == "text":
        return text or None
    if row["kind"] == "flag":
        return text == "yes"
    return [float(part) for part in text.split()] if row["kind"] == "list" else float(text)


def plain_value(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


#: Inputs that the table lacks: with the inner edge made by the open end, the lift says where the closed contact was.
BEYOND_THE_TABLE = {
    "smear-only": {"valve_lift"},
    "stress-area": {"min_pitch_diameter"},
    "proof-load": {"min_pitch_diameter"},
}


def test_there_is_a_row_for_every_calculator_and_a_calculator_for_every_row() -> None:
    assert {row["calculator"] for row in rows()} == set(CALCULATORS)


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_a_calculator_takes_exactly_the_inputs_of_its_rows(name: str) -> None:
    wanted = {row["key"]: row for row in rows() if row["calculator"] == name and row["direction"] == "in"}
    ours = {field["key"]: field for field in LISTED[name]["inputs"]}
    assert set(ours) == set(wanted) | BEYOND_THE_TABLE.get(name, set())
    for key, row in wanted.items():
        assert ours[key]["kind"] == row["kind"], key
        assert ours[key]["unit"] == (row["unit"] or None), key
        assert ours[key]["required"] == (row["need"] == "required"), key
        assert plain_value(ours[key]["default"]) == default_of(row), key


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_a_calculator_gives_exactly_the_outputs_of_its_rows_in_their_units(name: str) -> None:
    wanted = {row["key"]: row for row in rows() if row["calculator"] == name and row["direction"] == "out"}
    ours = {field["key"]: field for field in LISTED[name]["outputs"]}
    assert {key: field["unit"] for key, field in ours.items()} == {
        key: row["unit"] or None for key, row in wanted.items()
    }
    # A list is declared by the kind of its elements, whose unit has just been compared.
    assert {key: field["kind"] for key, field in ours.items() if wanted[key]["kind"] != "list"} == {
        key: row["kind"] for key, row in wanted.items() if row["kind"] != "list"
    }


def test_units_are_written_with_their_powers() -> None:
    assert [written(unit) for unit in ("mm2", "cm3", "kgf/cm2", "ft3/min", "N*m", "inH2O", "1/K", "1", "")] == [
        *("mm^2", "cm^3", "kgf/cm^2", "ft^3/min", "N*m", "inH2O", "1/K", "1", None)
    ]


# --- what may be typed -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("0.4375 in", 11.1125),
        ("4.375e-1 in", 11.1125),
        ("4375E-4 in", 11.1125),
        ("437.5 thou", 11.1125),
        ("11,1125 mm", 11.1125),
        ("1.11125e1 mm", 11.1125),
        ("+11.1125e+0 mm", 11.1125),
        (11.1125, 11.1125),
    ],
)
def test_a_number_may_be_typed_in_any_of_these_ways(typed: Any, mm: float) -> None:
    area = reckoned("stress-area", thread_diameter=typed, thread_pitch="1.5 mm", thread_family="metric")["outputs"]
    wanted = reckoned("stress-area", thread_diameter=mm, thread_pitch=1.5, thread_family="metric")["outputs"]
    assert area["stress_area"]["value"] == pytest.approx(wanted["stress_area"]["value"], rel=1e-14)


@pytest.mark.parametrize(
    "typed", ["1e in", "e5 in", "1e5e5 in", "1e+-5 in", "1e100 in", "--1e5 in", "1.2.3e2 in", "1e٣ in"]
)
def test_an_odd_exponent_is_no_number(typed: str) -> None:
    assert "thread_diameter: " in refused(
        "stress-area", thread_diameter=typed, thread_pitch="1.5 mm", thread_family="metric"
    )


@given(st.decimals(min_value="0.001", max_value="999", places=6), st.integers(-8, 8))
def test_an_exponent_moves_the_point_and_nothing_else(number: Any, power: int) -> None:
    text = f"{number:f}"
    moved = f"{number.scaleb(power):f}"
    if max(len(moved.replace(".", "").lstrip("0")), len(moved.partition(".")[2])) > 15:
        return
    ours = reckoned("cold-lash", hot_lash="0.02 in", correction=f"{text}e{power} mm")["outputs"]["cold_lash"]
    assert ours == reckoned("cold-lash", hot_lash="0.02 in", correction=f"{moved} mm")["outputs"]["cold_lash"]


def test_a_pitch_may_be_given_as_threads_per_inch() -> None:
    by_count = reckoned("stress-area", thread_diameter="0.4375 in", thread_pitch="20 1/in", thread_family="unified")
    by_pitch = reckoned("stress-area", thread_diameter="0.4375 in", thread_pitch="0.05 in", thread_family="unified")
    assert by_count["outputs"] == by_pitch["outputs"]
    assert "above zero" in refused(
        "stress-area", thread_diameter="0.4375 in", thread_pitch="0 1/in", thread_family="unified"
    )


def test_lists_and_tables_are_json_text_as_well_and_quantities_in_them_have_their_units() -> None:
    as_text = reckoned("stretch-reading", stretch="0.0060 in", band='["0.0055 in", "0.1651 mm"]')["outputs"]
    assert as_text == reckoned("stretch-reading", stretch=0.1524, band=[0.1397, 0.1651])["outputs"]
    assert as_text["verdict"]["value"] == "in"
    pattern = '{"1": [0, 0], "2": ["4 in", 0], "3": ["203.2 mm", "0 in"]}'
    assert reckoned("bolt-sequence", points=pattern)["outputs"]["sequence"]["value"] == ["2", "1", "3"]


# --- bad input ---------------------------------------------------------------------------------------------------

LENGTHS = "a length in mm, in, thou or um"
BAD = (
    ("stress-area", {"thread_diameter": "10 lb"}, f"thread_diameter: this unit does not fit, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": "10"}, f"thread_diameter: the unit is missing, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": "ten mm"}, f"thread_diameter: this is no number, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": "1.2.3 mm"}, "thread_diameter: this number has two decimal marks, give"),
    ("stress-area", {"thread_diameter": "-10 mm"}, f"thread_diameter: this must be above zero, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": []}, f"thread_diameter: this is no number with its unit, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": 1e15}, "thread_diameter: this number has more digits than any gauge shows"),
    ("stress-area", {"thread_diameter": 10**400}, "thread_diameter: this number has more digits than any gauge"),
    ("stress-area", {"thread_pitch": 9e-16}, f"thread_pitch: this must be above zero, give {LENGTHS}."),
    ("stress-area", {"thread_diameter": None}, f"thread_diameter is missing, give {LENGTHS}."),
    ("stress-area", {"thread_family": "pipe"}, "thread_family: unified or metric."),
    ("stress-area", {"thread_family": 7}, "thread_family: this is no text, give words."),
    ("stress-area", {"thread_pitch": "1.5 in"}, "thread_pitch: this pitch leaves no metal in a thread of"),
    ("stress-area", {"bore": "1 in"}, "bore: this calculator has no such input, it takes min_pitch_diameter,"),
    ("staged-torque", {"fractions": "[0.5, 0.7"}, "fractions: this is not whole JSON, give a list as JSON with each a"),
    ("staged-torque", {"fractions": "[0.5, 0.75]"}, "fractions: shares of the final torque that rise from"),
    ("staged-torque", {"fractions": [1, 0.5]}, "fractions: shares of the final torque"),
    ("stretch-reading", {"band": ["0.2 mm", "0.1 mm"]}, "band: the card's lowest and highest stretch, in this order"),
    ("stretch-reading", {"band": ["0.2 mm"]}, "band: the card's lowest"),
    ("bolt-sequence", {"points": {"1": [0]}}, "points: each fastener has a short id and two coordinates"),
    ("bolt-sequence", {"points": {"1": [0, "4 lb"]}}, "points: this unit does not fit, give a length"),
    ("bolt-sequence", {"points": {}}, "points: there is no fastener"),
    ("bolt-sequence", {"points": {"1": [0, 0]}, "pattern": "spiral"}, "pattern: rows or round."),
    ("stretch-load", {"segments": [[1, 0]]}, "segments: lengths and areas must be above zero"),
    ("stretch-load", {"segments": 5}, "segments: there is no part in this table"),
    ("wrench-setting", {"adapter_length": "18 in", "adapter_angle": "180 deg"}, "adapter_length: folded back"),
    ("wrench-band", {"tolerance": "400 %"}, "tolerance: this is no tolerance of a wrench"),
)  # fmt: skip
GOOD: dict[str, dict[str, Any]] = {
    "stress-area": {"thread_diameter": "10 mm", "thread_pitch": "1.5 mm", "thread_family": "metric"},
    "staged-torque": {"final_torque": "75 lbf*ft"},
    "stretch-reading": {"stretch": "0.15 mm", "band": [0.1, 0.2]},
    "bolt-sequence": {"points": {"1": [0, 0], "2": [1, 0]}},
    "stretch-load": {"segments": [[10, 70]], "stretch": 0.1},
    "wrench-setting": {"joint_torque": "65 lbf*ft", "wrench_length": "18 in", "adapter_length": "2 in"},
    "wrench-band": {"set_torque": "75 lbf*ft"},
}


@pytest.mark.parametrize(("name", "bad", "said"), BAD, ids=[f"{name} {json.dumps(bad)}" for name, bad, _ in BAD])
def test_bad_input_is_one_sentence_that_names_the_key_and_what_it_wants(
    name: str, bad: dict[str, Any], said: str
) -> None:
    reckoned(name, **GOOD[name])
    sentence = refused(name, **{**GOOD[name], **bad})
    assert sentence.startswith(said)
    assert sentence.endswith(".")
    assert ". " not in sentence
    assert "\n" not in sentence


ONE_EACH = list({case.calculator: case for case in CASES}.values())


@pytest.mark.parametrize("case", ONE_EACH, ids=[case.calculator for case in ONE_EACH])
@pytest.mark.parametrize("spoilt_by", ["x", "1 furlong", None])
def test_every_input_that_is_spoilt_or_missing_is_named_with_its_unit_and_its_plausible_range(
    case: Case, spoilt_by: str | None
) -> None:
    reckoned(case.calculator, **case.inputs)
    for field in LISTED[case.calculator]["inputs"]:
        key, kind = field["key"], field["kind"]
        if key not in case.inputs or kind in ("text", "flag") or not (spoilt_by or field["required"]):
            continue
        said = refused(case.calculator, **{**case.inputs, key: spoilt_by})
        assert said.startswith((f"{key}: ", f"{key} is missing")), said
        assert "\n" not in said.strip()
        assert ". " not in said
        assert field["unit"] in (None, "1") or field["unit"] in said
        assert ("plausible is" in said) == (windows.window(case.calculator, key) is not None), said


def test_the_sentence_names_the_plausible_range_where_the_trade_has_one() -> None:
    bad = {"turns": 1, "thread_pitch": "0.05 in"}
    ratio = refused("lash-change", rocker_ratio="big", **bad)
    assert ratio == "rocker_ratio: this is no number, give a plain number or one in %; plausible is 1.4 to 2.0."
    lash = refused("cold-lash", hot_lash="0.022 lb", correction="0 in")
    assert lash == f"hot_lash: this unit does not fit, give {LENGTHS}; plausible is 0.004 to 0.035 in."
    torque = refused("staged-torque")
    assert torque.startswith("final_torque is missing, give a torque in N*m, ")
    assert torque.endswith("; plausible is 3 to 300 lbf*ft.")


def test_a_value_outside_the_plausible_range_is_asked_about_and_one_far_outside_is_refused() -> None:
    inside = reckoned("cold-lash", hot_lash="0.035 in", correction="0 in")
    outside = reckoned("cold-lash", hot_lash="0.036 in", correction="0 in")
    assert len(outside["cautions"]) == len(inside["cautions"]) + 1
    assert "hot_lash: outside the usual range, plausible is 0.004 to 0.035 in" in outside["cautions"][-1]
    assert outside["outputs"]["cold_lash"]["value"] == pytest.approx(0.036 * 25.4)
    for far in ("22 in", "0.3501 in", "0 in", "0.0003 in", "-0.02 in"):
        said = refused("cold-lash", hot_lash=far, correction="0 in")
        assert said.startswith("hot_lash: this is far outside"), far
        assert said.endswith("plausible is 0.004 to 0.035 in."), far


def test_a_housing_is_not_taken_for_a_cylinder() -> None:
    same = {"block_expansion": "1.28e-5 1/degF", "shaft_expansion": "6.5e-6 1/degF", "temperature_rise": "110 ddegF"}
    assert len(reckoned("housing-growth", bore_diameter="2.0 in", **same)["cautions"]) == 1
    assert "plausible" not in refused("housing-growth", bore_diameter="2.0 lb", **same)


def test_the_first_output_by_its_key_that_is_no_finite_number_is_named_and_so_is_one_in_a_list() -> None:
    calculator = Calculator({}, {"zeta": "length", "alpha": "length"}, dict, "arithmetic")
    for results, key in (({"zeta": inf, "alpha": nan}, "alpha"), ({"zeta": [1.0, inf], "alpha": 1.0}, "zeta")):
        with pytest.raises(plain.Refusal, match=f"^{key}: this is no finite number.$"):
            calculator.write(results)


JUNK = st.one_of(
    st.none(),
    st.sampled_from([1e302, -1e154, 1e15, 1e-16, 5e-324]),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(),
    st.sampled_from(
        ["", " ", "1", "0 mm", "1 in", "-3 deg", "5 %", "1e5", "[]", "{}", "[1]", '{"1": [0, 0]}', "yes", "\x00"]
    ),
    st.text(max_size=8),
    st.lists(
        st.one_of(st.integers(-5, 20), st.text(max_size=4), st.none(), st.lists(st.integers(0, 9), max_size=3)),
        max_size=5,
    ),
    st.dictionaries(st.text(max_size=3), st.one_of(st.none(), st.lists(st.integers(-9, 9), max_size=3)), max_size=4),
)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """A question to some calculator: a vector's inputs, some of them replaced by junk or left out."""
    case = draw(st.sampled_from(CASES))
    keys = [field["key"] for field in LISTED[case.calculator]["inputs"]]
    junk = draw(st.dictionaries(st.sampled_from(keys), JUNK, min_size=1))
    # A number that is none is no JSON: no host hands one on.
    kept = json.loads(json.dumps({**case.inputs, **junk}), parse_constant=str)
    return json.dumps({"name": case.calculator, "inputs": kept})


@given(spoilt())
def test_no_calculator_breaks_over_junk(asked: str) -> None:
    answer = json.loads(calls.call("reckon", asked), parse_constant=pytest.fail)
    assert answer.get("error", {}).get("code") != "call_failed", answer


@pytest.fixture(scope="module")
def phone() -> Iterator[Brain]:
    with Brain() as brain:
        yield brain


@given(spoilt())
def test_the_phone_says_of_junk_what_the_server_says(phone: Brain, asked: str) -> None:
    here, there = (json.loads(call("reckon", asked)) for call in (calls.call, phone.call))
    assert there.get("error") == here.get("error")
    assert there.get("cautions") == here.get("cautions")


@pytest.mark.parametrize(("name", "bad", "said"), BAD, ids=[f"{name} {json.dumps(bad)}" for name, bad, _ in BAD])
def test_the_phone_refuses_with_the_servers_sentence(phone: Brain, name: str, bad: dict[str, Any], said: str) -> None:
    asked = json.dumps({"name": name, "inputs": {**GOOD[name], **bad}})
    assert json.loads(phone.call("reckon", asked)) == json.loads(calls.call("reckon", asked))


def test_every_kind_of_an_input_has_units_or_words() -> None:
    for one in LISTED.values():
        for field in one["inputs"]:
            assert field["kind"] in (*FACTORS, "text", "flag", "table", "list"), (one["name"], field["key"])


# --- what the values themselves ask ------------------------------------------------------------------------------


def test_a_proof_stress_that_is_not_its_grades_is_asked_about() -> None:
    thread = {"thread_diameter": "0.4375 in", "thread_pitch": "14 1/in", "thread_family": "unified"}
    fits = reckoned("proof-load", **thread, grade="SAE J429 grade 8", proof_stress="120000 psi")["cautions"]
    other = reckoned("proof-load", **thread, grade="SAE J429 grade 5", proof_stress="120000 psi")["cautions"]
    unknown = reckoned("proof-load", **thread, grade="my own", proof_stress="120000 psi")["cautions"]
    assert fits == unknown == reckoned("proof-load", **thread, proof_stress="120000 psi")["cautions"]
    assert len(other) == len(fits) + 1
    assert "SAE J429 grade 5" in other[-1]
    assert "586054 kPa" in other[-1]  # 85 ksi


def test_a_tension_past_the_proof_load_is_said() -> None:
    same = {"torque": "60 lbf*ft", "thread_diameter": "0.4375 in", "proof_load": "12757 lbf"}
    dry = reckoned("tension-from-torque", **same, nut_factor=0.2)["cautions"]
    paste = reckoned("tension-from-torque", **same, nut_factor=0.11)["cautions"]
    assert [words for words in paste if words not in dry] == [
        "Past the proof load by this estimate: the fastener may yield."
    ]
    # 720 lbf*in over 0.142 (0.144) times 0.4375 in: 90.8 % (89.6 %) of the proof load.
    near, below = (reckoned("tension-from-torque", **same, nut_factor=k)["cautions"] for k in (0.142, 0.144))
    assert [words for words in near if words not in dry] == ["Above 90 % of the proof load by this estimate."]
    assert below == dry
    without = reckoned("tension-from-torque", torque="60 lbf*ft", thread_diameter="0.4375 in", nut_factor=0.11)
    assert without["outputs"]["share_of_proof"] == {"value": None, "unit": "1"}


def test_a_bolt_that_grew_shorter_is_asked_about() -> None:
    shorter = reckoned("permanent-stretch", free_length_before="1.9055 in", free_length_after="1.9042 in")
    assert shorter["outputs"]["replace"]["value"] == "no"
    assert "swapped" in shorter["cautions"][-1]


def test_growth_on_the_line_is_inside_and_so_is_a_stretch_on_the_cards_end() -> None:
    grown = reckoned("permanent-stretch", free_length_before="1.9042 in", free_length_after="1.9052 in")
    assert grown["outputs"]["replace"]["value"] == "no"
    for stretch in ("0.0055 in", "0.0065 in"):
        same = reckoned("stretch-reading", stretch=stretch, band=["0.0055 in", "0.0065 in"])
        assert same["outputs"]["verdict"]["value"] == "in"


def test_a_reading_on_the_line_is_no_outlier_and_one_beyond_it_is() -> None:
    family = [0.0023, 0.0022, 0.0024, 0.0023]
    assert reckoned("family-outlier", values=[*family, 0.0026])["outputs"]["outliers"]["value"] == []
    assert reckoned("family-outlier", values=[*family, 0.00261])["outputs"]["outliers"]["value"] == [0.00261]
    assert reckoned("family-outlier", values=[*family, 0.00261], smallest_deviation=0.0004)["outputs"]["outliers"] == {
        "value": [],
        "unit": "1",
    }


def test_a_family_of_equal_readings_has_no_outlier_and_no_modified_z() -> None:
    outputs = reckoned("family-outlier", values=[0.002, 0.002, 0.002])["outputs"]
    assert outputs["outliers"]["value"] == []
    assert outputs["modified_z_of_worst"]["value"] is None
    assert reckoned("family-outlier", values=[0.002, 0.002, 0.0024], smallest_deviation=0.0004)["outputs"][
        "outliers"
    ] == {
        "value": [],
        "unit": "1",
    }
