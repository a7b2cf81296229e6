"""The two commands of a checkout: `python3 server` and `python3 tests`."""

import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

from bootstrap import client, packages
from bootstrap.certutil import get_certutil
from bootstrap.chromium import get_chromium, get_windowless
from bootstrap.node import get_node
from bootstrap.paths import ROOT, venv_python
from bootstrap.stages import set_up
from bootstrap.tools import Trouble, ask, hand_over, say

PYTHON, CLIENT = (packages.ENVIRONMENT, packages.RUNNING), (client.FETCHED, client.BUILT)
#: All tests at once go side by side, one more than there are cores, since a browser's tests wait a good deal. A file's
#: tests stay together, since they share what they stand on, and go in the order of `tests/conftest.py`.
SIDE_BY_SIDE = ("-n", str((os.cpu_count() or 1) + 1), "--dist", "loadfile", "--no-loadscope-reorder")
MEMORY = Path("/dev/shm")
#: Bytes: some times what all tests have lying about at once.
ROOM = 6_000_000_000


def server(words: list[str]) -> int:
    """Sets up, then runs `standbook` with these words where the caller stands."""
    return told(lambda: start_server(words))


def tests(words: list[str]) -> int:
    """Sets up, then runs pytest with these words, or the benchmarks named after `benchmarks`."""
    return told(lambda: start_tests(words))


def told(command: Callable[[], int]) -> int:
    """The exit code of `command`; what stops the set-up is told in one sentence."""
    try:
        return command()
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
    except KeyboardInterrupt:
        print("Stopped. The same command goes on where this left off.", file=sys.stderr)
    return 1


def start_server(words: list[str]) -> int:
    set_up([*PYTHON, *CLIENT])
    return hand_over([venv_python(), "-m", "standbook", *words])


def start_tests(words: list[str]) -> int:
    set_up(PYTHON, [packages.TESTING], CLIENT)
    os.chdir(ROOT)
    if words[:1] == ["benchmarks"]:
        environment = {**os.environ, **helpers(get_chromium())}
        return hand_over([venv_python(), "-m", "tests.benchmarks", *words[1:]], environment)
    environment = {**os.environ, **helpers(get_windowless()), **in_memory()}
    say("Running the tests and checks ...")
    return hand_over([venv_python(), "-m", "pytest", *(words or SIDE_BY_SIDE)], environment)


def helpers(chromium: str) -> dict[str, str]:
    """Where the tests find Node, this Chromium and what tells it whom to trust."""
    node = get_node()
    # A Node that pip brought is started by a script; whoever kills that leaves the program itself running.
    program = ask([node.node, "-p", "process.execPath"])
    # Every process of the tests would compile our sources anew where the machine forbids keeping what was compiled.
    found = {
        "PYTHONDONTWRITEBYTECODE": "",
        "STANDBOOK_NODE": program,
        "STANDBOOK_CHROMIUM": chromium,
        "STANDBOOK_CERTUTIL": get_certutil(),
    }
    return {"PATH": node.path, **found}


def in_memory() -> dict[str, str]:
    """Where the tests' files lie: in memory, where that has room, since no book of theirs has to outlive the machine.

    A test writes through to its disk as the shop's server does, hundreds of times, and would mostly wait for that.
    """
    if MEMORY.is_dir() and shutil.disk_usage(MEMORY).free >= ROOM:
        return {"TMPDIR": str(MEMORY)}
    return {}
