"""Stories and deaths of real processes: a few of each, two at a time."""

import subprocess
import sys

import pytest

from bootstrap.paths import ROOT

#: Steps that a story goes on for before everybody is made well again.
LENGTH = 900
SEEDS = ("1-3", "4-6")
FEWEST_STEPS = 5_000
#: `python3 tests benchmarks kills` makes a thousand.
KILLS = 40


def started(*words: object) -> "subprocess.Popen[str]":
    command = [sys.executable, "-m", "tests.faults.real", *map(str, words)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def test_stories_of_real_processes_lose_nothing_double_nothing_and_end_alike() -> None:
    running = [started("stories", LENGTH, seeds) for seeds in SEEDS]
    told = [process.communicate()[0] for process in running]
    assert [process.returncode for process in running] == [0, 0], "\n".join(told)
    assert sum(int(words.splitlines()[-1].split()[0]) for words in told) >= FEWEST_STEPS


@pytest.mark.long
def test_whatever_was_answered_is_there_after_server_and_page_were_killed_together() -> None:
    running = started("kills", KILLS)
    told = running.communicate()[0]
    assert running.returncode == 0, told
    assert told.splitlines()[-1].startswith(f"{KILLS} kills")
