"""The page of the calculators: every one has its words, no key or unit's id is seen, its answer is the command's."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from standbook.trade import calls, reckon_page, reckon_units, reckon_words
from standbook.trade.calculators import CALCULATORS
from standbook.trade.factors import FACTORS
from tests.micropython import Brain

from .reckon_typed import assert_same, typed
from .vector_cases import Case, cases

CASES = cases()
IDS = [f"{case.calculator} {case.vector}" for case in CASES]
#: What a screen must not show: keys, units as programs write them.
CODE = re.compile(r"\w_\w|lbf\*|N\*m|\bdeg[CF]?\b|ddeg|\^|\b(in|mm|cm)[23]\b|1e-6|\{|\[|None")


def ask(**question: Any) -> Any:
    answer = json.loads(calls.call("reckon_page", json.dumps(question)))
    assert "error" not in answer, answer
    return answer


def command(case: Case) -> Any:
    """What `standbook reckon --json` prints for the vector."""
    answer = json.loads(calls.call("reckon", case.ask()))
    assert "error" not in answer, answer
    return answer


def texts(found: Any) -> list[str]:
    """Every text of an answer that a screen shows: all but keys, names and ids."""
    if isinstance(found, dict):
        return [
            text for key, value in found.items() if key not in ("key", "name", "id", "shape") for text in texts(value)
        ]
    if isinstance(found, list):
        return [text for value in found for text in texts(value)]
    return [found] if isinstance(found, str) else []


# --- words -----------------------------------------------------------------------------------------------------------


def test_the_list_has_every_calculator_once_under_a_title_of_its_own() -> None:
    listed = [one for chapter in ask()["chapters"] for one in chapter["calculators"]]
    assert sorted(one["name"] for one in listed) == sorted(CALCULATORS)
    assert len({one["title"] for one in listed}) == len(listed)
    assert all(one["purpose"].endswith(".") for one in listed)


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_every_input_and_result_has_words_and_no_two_of_a_calculator_the_same(name: str) -> None:
    one = CALCULATORS[name]
    for keys in (one.inputs, one.outputs):
        words = [reckon_words.words_for(name, key) for key in keys if (name, key) not in reckon_words.LEFT_OUT]
        assert len(set(words)) == len(words)
        assert all(words)
        assert all(not CODE.search(said) for said in words)


def test_there_are_no_words_for_what_no_calculator_has() -> None:
    known = {(name, key) for name, one in CALCULATORS.items() for key in (*one.inputs, *one.outputs)}
    assert set(reckon_words.OWN) <= known
    assert set(reckon_words.WORDS) <= {key for name, key in known if (name, key) not in reckon_words.OWN}
    assert {(name, key) for name, key in reckon_words.WANTED.items()} <= known
    assert set(reckon_words.COLUMNS) | set(reckon_words.LEFT_OUT) <= known


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_a_form_asks_for_all_that_the_calculator_takes_in_words_alone(name: str) -> None:
    form = ask(name=name)
    left_out = {key for one, key in reckon_words.LEFT_OUT if one == name}
    assert {field["key"] for field in form["inputs"]} == set(CALCULATORS[name].inputs) - left_out
    for said in texts(form):
        assert not CODE.search(said), said


def test_only_what_is_for_the_record_is_left_out() -> None:
    assert all(not CALCULATORS[name].inputs[key].required for name, key in reckon_words.LEFT_OUT)


@pytest.mark.parametrize("kind", sorted({kind for kind, _ in reckon_units.UNITS}))
def test_units_to_pick_are_of_their_kind_and_each_has_a_word(kind: str) -> None:
    for (one, _), units in reckon_units.UNITS.items():
        for unit in units if one == kind else ():
            plain_unit = unit.removeprefix(reckon_units.MILLIONTHS)
            assert plain_unit in FACTORS[kind] or plain_unit == reckon_units.PER_INCH
            assert reckon_units.WORDS[unit]


# --- answers ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_the_page_answers_what_the_command_answers(case: Case) -> None:
    found, wanted = ask(name=case.calculator, typed=typed(case.calculator, case.inputs)), command(case)
    assert found["problem"] is None
    assert found["missing"] == []
    assert bool(found["refused"]) == bool(wanted.get("refused"))
    shown = {result["words"]: result["lines"] for result in found["results"]}
    for key, output in wanted["outputs"].items() if not found["refused"] else ():
        if key not in reckon_page.SAID_APART and output["value"] != "":
            lines = shown[reckon_words.words_for(case.calculator, key)]
            assert_same(case.calculator, CALCULATORS[case.calculator].outputs[key], lines, output["value"])


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_no_answer_shows_a_key_or_the_id_of_a_unit(case: Case) -> None:
    for said in texts(ask(name=case.calculator, typed=typed(case.calculator, case.inputs))):
        assert not CODE.search(said), said


def spoilt(case: Case) -> Iterator[dict[str, Any]]:
    """The vector with each of its typed figures in turn replaced by what is none."""
    whole = typed(case.calculator, case.inputs)
    for key, one in whole.items():
        if reckon_page.shape(case.calculator, key) != "text":
            for bad in ("x..y", "1 2 3 4 5", "-1"):
                yield {**whole, key: {**one, "text": bad}}


ONE_EACH = list({case.calculator: case for case in CASES}.values())


@pytest.mark.parametrize("case", ONE_EACH, ids=[case.calculator for case in ONE_EACH])
def test_bad_input_is_one_sentence_in_words(case: Case) -> None:
    said = [ask(name=case.calculator, typed=one)["problem"] for one in spoilt(case)]
    told = [problem["words"] for problem in said if problem is not None]
    assert told
    for words in told:
        assert not CODE.search(words), words
        assert words.endswith(".")
        assert words[0].isupper() or words[0].isdigit() or words[0] in "\"'", words
        assert ". " not in words


def test_what_is_missing_is_named_and_a_slip_is_told_before_all_is_typed() -> None:
    typed_now = {"bore_diameter": {"text": "4.125", "units": ["in"]}, "stroke": {"text": " ", "units": ["in"]}}
    assert ask(name="displacement", typed=typed_now)["missing"] == ["number of cylinders", "stroke"]
    typed_now["bore_diameter"]["text"] = "4.1.25"
    said = ask(name="displacement", typed=typed_now)["problem"]
    assert said == {
        "key": "bore_diameter",
        "words": "Cylinder bore: this number has two decimal marks; plausible is 2.5 to 5.0 in.",
    }


def test_a_method_that_refuses_itself_says_why_and_gives_no_number() -> None:
    inputs = {"rocker_kind": "stamped", "valve_lift": "0.577 in", "rocker_ratio": "1.6"}
    contacts = {"contact_closed": "0.010 in", "contact_open": "0.020 in"}
    found = ask(name="pushrod-correction", typed=typed("pushrod-correction", {**inputs, **contacts}))
    assert found["refused"] == "travel is always outboard on a stamped rocker: centre the mark instead"
    assert found["results"] == []


def test_results_follow_the_system_that_was_typed_in_with_the_other_beside_it() -> None:
    inch = {"bore_diameter": "4.125 in", "stroke": "3.75 in", "cylinders": "8"}
    metric = {"bore_diameter": "104.775 mm", "stroke": "95.25 mm", "cylinders": "8"}
    lines = [
        ask(name="displacement", typed=typed("displacement", one))["results"][0]["lines"] for one in (inch, metric)
    ]
    # Vector TV-001: 400.92122 in^3, 6569.9217 cm^3, by geometry.
    assert lines == [["400.92 in\u00b3 (6569.9 cm\u00b3)"], ["6569.9 cm\u00b3 (400.92 in\u00b3)"]]


def test_the_result_that_is_looked_for_stands_first() -> None:
    case = next(case for case in CASES if case.calculator == "stretch-load")
    found = ask(name=case.calculator, typed=typed(case.calculator, case.inputs))["results"]
    assert [one["words"] for one in found] == ["pull at this stretch", "stretch per pull", "stress in the thread"]


def test_an_unknown_calculator_is_said() -> None:
    answer = json.loads(calls.call("reckon_page", json.dumps({"name": "boost"})))
    assert answer["error"]["code"] == "calculator_unknown"


@pytest.fixture(scope="module")
def phone() -> Iterator[Brain]:
    with Brain() as brain:
        yield brain


def test_the_phone_shows_what_the_desk_shows(phone: Brain) -> None:
    questions = [{}, *({"name": name} for name in CALCULATORS)]
    questions += [{"name": case.calculator, "typed": typed(case.calculator, case.inputs)} for case in CASES]
    questions += [{"name": case.calculator, "typed": one} for case in ONE_EACH for one in spoilt(case)]
    for question in questions:
        asked = json.dumps(question)
        assert json.loads(phone.call("reckon_page", asked)) == json.loads(calls.call("reckon_page", asked)), asked
