"""Number text, rounding, typed numbers, order, sums and JSON: every case of the corpus on both interpreters.

The answers are those of Python's decimal, sorted, math.fsum, statistics and json (`corpus/generate.py`).
"""

import json
import math
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from standbook.brainpack import TRADE
from standbook.trade import plain
from tests.micropython import Brain
from tests.trade.corpus import generate, runner

Case = dict[str, Any]
CASES: list[Case] = json.loads(generate.CORPUS.read_text(encoding="utf-8"))
JOBS = sorted(runner.JOBS)
CALLS_ON_THE_PHONE = """
import json
from . import plain
from .runner import run

def call(name, text):
    return json.dumps(run(plain, json.loads(text)))
"""


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Brain]:
    """The interpreter of the browser with our package, whose calls are the corpus runner's."""
    package = Path(shutil.copytree(TRADE, tmp_path_factory.mktemp("corpus") / "trade"))
    shutil.copy(runner.__file__, package / "runner.py")
    (package / "calls.py").write_text(CALLS_ON_THE_PHONE, encoding="utf-8")
    with Brain(package) as brain:
        yield brain


@pytest.fixture(params=["server", "phone"])
def answers(request: pytest.FixtureRequest, phone: Brain) -> Callable[[list[Case]], list[Case]]:
    if request.param == "server":
        return lambda cases: runner.run(plain, cases)
    return lambda cases: json.loads(phone.call("corpus", json.dumps(cases, ensure_ascii=False)))


@pytest.mark.parametrize("job", JOBS)
def test_every_case_comes_out_as_outside_says(answers: Callable[[list[Case]], list[Case]], job: str) -> None:
    cases = [case for case in CASES if case["do"] == job]
    wrong = [(case, answer) for case, answer in zip(cases, answers(cases), strict=True) if not is_right(case, answer)]
    assert wrong == []


def is_right(case: Case, answer: Case) -> bool:
    """Refused where it must be, else the very answer; a sum may miss by what its method allows."""
    if "refused" in case or "refused" in answer:
        return ("refused" in case) == ("refused" in answer)
    if case["do"] == "total":
        ours, exact = runner.as_float(answer["is"]), runner.as_float(case["is"])
        return bool(abs(ours - exact) <= math.ulp(exact) + case["slack"])
    return bool(answer["is"] == case["is"])


@pytest.mark.parametrize("job", JOBS)
def test_both_interpreters_answer_alike_to_the_last_bit(phone: Brain, job: str) -> None:
    cases = [case for case in CASES if case["do"] == job]
    there = json.loads(phone.call("corpus", json.dumps(cases, ensure_ascii=False)))
    apart = [rows for rows in zip(cases, runner.run(plain, cases), there, strict=True) if rows[1] != rows[2]]
    assert apart == []


def test_the_corpus_is_what_its_generator_writes() -> None:
    assert generate.CORPUS.read_text(encoding="utf-8") == generate.corpus_text()


def test_the_corpus_has_at_least_500_cases_and_every_kind() -> None:
    assert len(CASES) >= 500
    assert {case["do"] for case in CASES} == set(JOBS)
    assert all(len([case for case in CASES if case["do"] == job]) >= 15 for job in JOBS)
