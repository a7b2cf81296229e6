"""Many more stories of the fault machine than the tests have time for: how many of them break a promise."""

import os
import subprocess
import sys
import time

from bootstrap.paths import ROOT
from tests.benchmarks.figure import Figure
from tests.benchmarks.ground import Ground

NAME = "broken-stories"
#: Seeds beyond those of the tests.
FIRST = 10_001
STORIES = 2_000


def measure(_ground: Ground) -> Figure:
    """One process a core, each with its share of the seeds; a broken story is told whole in the detail."""
    cores = os.cpu_count() or 1
    share = STORIES // cores
    begin = time.perf_counter()
    running = [started(FIRST + core * share, share) for core in range(cores)]
    told = [process.communicate()[0].splitlines() for process in running]
    steps = sum(int(lines[-1].split()[0]) for lines in told)
    broken = [line for lines in told for line in lines[:-1] if line.startswith("seed ")]
    took = time.perf_counter() - begin
    unit = f"of {share * cores} stories from seed {FIRST} on, {steps} steps in {took:.0f} s"
    return Figure(NAME, len(broken), unit, most=0, detail=broken)


def started(first: int, count: int) -> "subprocess.Popen[str]":
    command = [sys.executable, "-m", "tests.faults.machine", f"{first}-{first + count - 1}"]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
