"""The mutation run: every rule of the ledger broken in turn, every fault planted is noticed by a test that is named.

The usual run plants one fault for each rule on each side and a few beside; `python3 tests -m long` plants all of them.
A mutant whose text the sources no longer have fails, so that the list is kept true. Caught means that a named test ran
and an expectation of it failed: a fault that keeps the tests from running at all catches nothing.
"""

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from _pytest.mark import ParameterSet

from bootstrap.paths import ROOT
from tests.faults.mutants import in_the_brain, of_files, of_keys, on_the_phone, on_the_server, on_the_way
from tests.faults.mutants.mutant import Moved, Mutant, faulty, mutant
from tests.faults.mutants.trials import Results, matching, results_of, whole

PARTS = (on_the_server, in_the_brain, of_files, of_keys, on_the_phone, on_the_way)
MUTANTS = [one for part in PARTS for one in part.MUTANTS]
WHOLE = whole(MUTANTS)
RULES = {f"LG{number}" for number in range(1, 15)}
#: The order is made at the shop alone; every other rule is broken on both sides.
ON_THE_PHONE = RULES - {"LG8"}


#: Of a rule on one side, and of what is no rule of the ledger ("sync", "key") on one side.
USUALLY, BESIDE = 1, 10


def trials() -> Iterator[ParameterSet]:
    """Every mutant; those beyond the first of their sort belong to the long run."""
    seen: Counter[tuple[str, bool]] = Counter()
    for one in MUTANTS:
        sort = (one.rule, one.of_the_client)
        seen[sort] += 1
        usual = seen[sort] <= (USUALLY if one.rule in RULES else BESIDE)
        yield pytest.param(one, id=one.name, marks=() if usual else pytest.mark.long)


@pytest.fixture(scope="module")
def results(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Results:
    """All that this run asks for, side by side on all cores."""
    chosen = [item.callspec.params["one"] for item in request.session.items if is_trial(item)]
    wanted = [one for one in MUTANTS if one in chosen]
    return results_of([one for one in WHOLE if one in chosen] + wanted, tmp_path_factory.mktemp("mutants"))


def is_trial(item: Any) -> bool:
    return isinstance(getattr(getattr(item, "callspec", None), "params", {}).get("one"), Mutant)


def verdicts(results: Results, one: Mutant) -> dict[str, dict[str, Any]]:
    told = results[one.name]
    assert "trouble" not in told, told["trouble"]
    tests: dict[str, dict[str, Any]] = told["tests"]
    return {name: verdict for named in one.tests for name, verdict in matching(named, tests).items()}


@pytest.mark.parametrize("one", WHOLE, ids=lambda one: str(one.name))
def test_the_sources_as_they_are_pass_every_test_that_is_named(results: Results, one: Mutant) -> None:
    told = verdicts(results, one)
    assert {name: verdict for name, verdict in told.items() if verdict["state"] != "passed"} == {}
    assert [named for named in one.tests if not matching(named, told)] == []


@pytest.mark.parametrize("one", list(trials()))
def test_a_planted_fault_is_noticed_by_a_test_that_is_named(results: Results, one: Mutant) -> None:
    told = verdicts(results, one)
    assert any(expectation_failed(verdict) for verdict in told.values()), told


def expectation_failed(verdict: dict[str, Any]) -> bool:
    said = any(error.startswith("AssertionError") for error in verdict["errors"])
    return verdict["state"] == "failed" and said


def test_every_rule_is_broken_wherever_it_lives_and_enough_faults_are_planted_beside() -> None:
    broken = {client: {one.rule for one in MUTANTS if one.of_the_client is client} for client in (False, True)}
    assert broken[False] >= RULES
    assert broken[True] >= ON_THE_PHONE
    assert len(MUTANTS) >= 14 + 20
    assert len({one.name for one in MUTANTS}) == len(MUTANTS)


def test_a_mutant_whose_text_is_gone_is_told_and_not_passed_over() -> None:
    gone = mutant("LG0", "gone", "server/standbook/ledger/batch.py", "a text that is nowhere", "", "x::y")
    with pytest.raises(Moved, match=re.escape("stands there 0 times")):
        faulty(ROOT, gone.edits)


def test_the_sources_themselves_have_no_fault_in_them_afterwards(results: Results) -> None:
    """The faults are planted into copies: here nothing has been written."""
    for one in MUTANTS:
        for edit in one.edits:
            text = Path(ROOT / edit.path).read_text(encoding="utf-8")
            assert edit.old in text
