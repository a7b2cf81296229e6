"""A thousand deaths of server and pages together, of real processes: how many of them break a promise."""

import subprocess
import sys

from bootstrap.paths import ROOT
from tests.benchmarks.figure import Figure
from tests.benchmarks.ground import Ground

NAME = "kills"
KILLS = 1_000


def measure(_ground: Ground) -> Figure:
    """It ends at the first death that breaks one, and tells its story in the detail."""
    command = [sys.executable, "-m", "tests.faults.real", "kills", str(KILLS)]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=False)
    lines = done.stdout.splitlines()
    return Figure(NAME, int(done.returncode != 0), f"broken of {KILLS}", most=0, detail=lines)
