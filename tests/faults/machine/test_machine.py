"""The fault machine itself: stories by seed in two processes, and stories that hypothesis makes up."""

import subprocess
import sys
from collections import Counter
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from bootstrap.paths import ROOT
from tests.faults.machine.machine import Ground, machine_on

#: Two halves, one a core.
SEEDS = ("1-115", "116-230")
FEWEST_STEPS = 200_000

LONG = settings(
    max_examples=40,
    stateful_step_count=120,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
    # A failing story is told whole; making it shorter takes five minutes and is for whoever looks into it.
    phases=(Phase.explicit, Phase.generate),
)


@pytest.fixture
def ground() -> Iterator[Ground]:
    made = Ground()
    yield made
    made.close()


def test_stories_by_seed_lose_nothing_double_nothing_and_end_alike() -> None:
    command = [sys.executable, "-m", "tests.faults.machine"]
    running = [
        subprocess.Popen([*command, seeds], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        for seeds in SEEDS
    ]
    told = [process.communicate()[0] for process in running]
    assert [process.returncode for process in running] == [0, 0], "\n".join(told)
    steps = sum(int(words.splitlines()[-1].split()[0]) for words in told)
    assert steps >= FEWEST_STEPS


@pytest.mark.long
def test_stories_that_are_made_up_rule_by_rule_lose_nothing_either(ground: Ground) -> None:
    run_state_machine_as_test(machine_on(ground), settings=LONG)
    total: Counter[str] = Counter()
    for story in ground.stories:
        total.update(story.steps)
    assert total.total() >= 10_000
