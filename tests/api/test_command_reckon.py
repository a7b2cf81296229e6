"""`standbook reckon`, inside this process and once as a real one."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from standbook import cli
from standbook.trade import calls
from standbook.trade.calculators import CALCULATORS
from tests.trade.test_vectors import assert_within
from tests.trade.vector_cases import Case, Expected, cases

CASES = cases()
NOT_REFUSED = Expected(False, "flag", None, "refused")
THREAD = ("thread_diameter=7/16", "thread_pitch=0.05 in", "thread_family=unified")


@pytest.fixture(autouse=True)
def no_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STANDBOOK_DATA", str(tmp_path / "none"))
    return tmp_path / "none"


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = cli.main(["reckon", *words])
    told = capsys.readouterr()
    return code, told.out, told.err


def answered(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    code, out, err = run(capsys, *words, "--json")
    assert (code, err) == (0, "")
    answer: dict[str, Any] = json.loads(out)
    return answer


def as_words(inputs: dict[str, Any]) -> list[str]:
    return [f"{key}={value if isinstance(value, str) else json.dumps(value)}" for key, value in inputs.items()]


@pytest.mark.parametrize("case", CASES, ids=[f"{case.vector} {case.calculator}" for case in CASES])
def test_a_vector_typed_at_the_command_line_comes_out_as_elsewhere(
    case: Case, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = answered(capsys, case.calculator, *as_words(case.inputs))
    refused = {"refused", "reason"} if case.outputs.get("refused", NOT_REFUSED).value else set()
    assert set(answer) == {"name", "inputs", "outputs", "sources", "cautions"} | refused
    for expected in case.outputs.values():
        assert set(answer["outputs"][expected.key]) == {"value", "unit"}
        assert_within(answer["outputs"][expected.key], expected, case)


def test_an_answer_for_the_eye_has_its_units_its_source_and_its_cautions(
    capsys: pytest.CaptureFixture[str], no_book: Path
) -> None:
    words = ("torque=60 lbf*ft", "nut_factor=0.11", "thread_diameter=0.4375 in", "proof_load=12757 lbf")
    code, out, err = run(capsys, "tension-from-torque", *words)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].startswith("tension: 66550")
    assert lines[0].endswith(" N")
    assert lines[1] == "share_of_proof: 1.17277"
    assert lines[2].startswith("source: ")
    assert lines[-1] == "Past the proof load by this estimate: the fastener may yield."
    assert not no_book.exists()


def test_the_mark_for_json_may_stand_first_or_last(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("wrench-band", "set_torque=75 lbf*ft")
    first, last = (run(capsys, *marked) for marked in (("--json", *words), (*words, "--json")))
    assert first == last
    assert json.loads(first[1])["outputs"]["lowest_torque"]["unit"] == "N*m"


def test_without_a_name_every_calculator_is_listed_with_its_keys(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys)
    lines = out.splitlines()
    assert code == 0
    assert [line for line in lines if not line.startswith(" ")] == sorted(CALCULATORS)
    at = lines.index("staged-torque")
    assert lines[at + 1 : at + 4] == [
        "  final_torque  torque N*m",
        "  fractions  list, may be left out: 0.5, 0.75, 1",
        "  -> steps  torque N*m",
    ]
    listed = json.loads(run(capsys, "--json")[1])
    assert [one["name"] for one in listed] == sorted(CALCULATORS)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nothing",), "There is no calculator nothing: standbook reckon lists them."),
        (("stress-area", "10 mm"), "10 mm: an input is KEY='NUMBER UNIT', such as stroke='3.75 in'."),
        (("stress-area", *THREAD, THREAD[0]), "thread_diameter: given twice, keep one of the two."),
        (("stress-area", *THREAD), "thread_diameter: this is no number, give a length in mm, in, thou or um."),
        (
            ("cold-lash", "hot_lash=22 in", "correction=0 in"),
            "hot_lash: this is far outside what an engine has, check the number and its unit; "
            "plausible is 0.004 to 0.035 in.",
        ),
        (
            ("wrench-band", "set\ntorque=1"),
            "set torque: this calculator has no such input, it takes set_torque, tolerance.",
        ),
    ],
)
def test_bad_input_is_one_sentence_and_two(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(capsys, *words, "--json") == (2, "", f"standbook: {said}\n")


def test_a_method_that_says_no_is_an_answer(capsys: pytest.CaptureFixture[str]) -> None:
    # No camshaft holds its valves open for 580 degrees: at every moment of the rule one stands on its lobe.
    events = ("intake_opens_btdc", "intake_closes_abdc", "exhaust_opens_bbdc", "exhaust_closes_atdc")
    words = ("setting-order", "firing_order=[1, 3, 4, 2]", *(f"{event}=200 deg" for event in events))
    answer = answered(capsys, *words)
    assert (answer["outputs"], answer["refused"]) == ({}, True)
    assert "on its lobe" in answer["reason"]
    assert run(capsys, *words) == (0, f"refused: {answer['reason']}\n", "")


def process(*words: str) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-c", "import sys; from standbook.cli import main; sys.exit(main())", "reckon", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False, env=os.environ.copy())


def test_a_real_process_answers_as_the_brain_does_and_leaves_no_folder(no_book: Path) -> None:
    inputs = {"final_torque": "75 lbf*ft", "fractions": "[0.5, 0.75, 1]"}
    told = process("staged-torque", *as_words(inputs), "--json")
    assert (told.returncode, told.stderr) == (0, "")
    asked = json.dumps({"name": "staged-torque", "inputs": inputs})
    assert json.loads(told.stdout) == json.loads(calls.call("reckon", asked))
    bad = process("staged-torque", "final_torque=75 lbf")
    assert (bad.returncode, bad.stdout, len(bad.stderr.splitlines())) == (2, "", 1)
    assert "final_torque: this unit does not fit, give a torque in N*m" in bad.stderr
    assert not no_book.exists()
