"""Every mutant against its tests, on as many cores as there are; first the whole sources against all of them."""

import json
import os
import queue
import subprocess
import sys
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bootstrap.node import get_node
from bootstrap.paths import SERVER
from tests.faults.mutants.copies import client_copy, python_copy
from tests.faults.mutants.mutant import Moved, Mutant, faulty

Verdict = dict[str, Any]
Results = dict[str, Verdict]


class Bench:
    """One private copy of a side's sources, and the process that runs tests on it."""

    def __init__(self, copy: Path, command: list[str], environment: dict[str, str]) -> None:
        self.copy = copy
        pipe = subprocess.PIPE
        self.log = (copy.parent / f"{copy.name}.log").open("w+", encoding="utf-8")
        self.process = subprocess.Popen(
            command, cwd=copy, env={**os.environ, **environment}, stdin=pipe, stdout=pipe, stderr=self.log, text=True
        )

    def run(self, mutant: Mutant) -> Verdict:
        try:
            files = faulty(self.copy, mutant.edits)
        except Moved as moved:
            return {"trouble": str(moved)}
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(json.dumps({"files": files, "tests": mutant.tests}) + "\n")
        self.process.stdin.flush()
        line = self.process.stdout.readline()
        return dict(json.loads(line)) if line else {"trouble": f"the trials ended: {self.said()}"}

    def said(self) -> str:
        self.log.seek(0)
        return self.log.read()[-3000:]

    def close(self) -> None:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.wait(60)
        self.process.stdout.close()
        self.log.close()


def python_bench(folder: Path) -> Bench:
    copy = python_copy(folder)
    path = os.pathsep.join((str(copy / SERVER.name), str(copy)))
    # Every trial would look all plugins through for what pytest rewrites, which takes it longer than the tests.
    environment = {"PYTHONPATH": path, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    return Bench(copy, [sys.executable, "-m", "tests.faults.mutants.python_trials"], environment)


def client_bench(folder: Path) -> Bench:
    copy = client_copy(folder)
    driver = Path(__file__).with_name("client_trials.mjs")
    return Bench(copy, [str(get_node().node), str(driver), str(copy)], {})


class Worker(threading.Thread):
    """Takes one mutant after the other; a bench of each kind of its own."""

    def __init__(self, folder: Path, waiting: "queue.SimpleQueue[Mutant]", results: Results) -> None:
        super().__init__()
        self.folder = folder
        self.waiting = waiting
        self.results = results
        self.benches: dict[bool, Bench] = {}

    def run(self) -> None:
        try:
            while True:
                mutant = self.waiting.get_nowait()
                self.results[mutant.name] = self.bench(mutant.of_the_client).run(mutant)
        except queue.Empty:
            pass
        finally:
            for bench in self.benches.values():
                bench.close()

    def bench(self, client: bool) -> Bench:
        if client not in self.benches:
            make = client_bench if client else python_bench
            self.benches[client] = make(self.folder / ("client" if client else "server"))
        return self.benches[client]


def whole(mutants: Sequence[Mutant]) -> list[Mutant]:
    """The sources as they are, against every test that is named: one trial a file of tests."""
    named = sorted({test for one in mutants for test in one.tests})
    files = sorted({test.split("::")[0] for test in named})
    return [Mutant("whole", file, (), tuple(test for test in named if test.startswith(f"{file}::"))) for file in files]


def results_of(mutants: Sequence[Mutant], folder: Path) -> Results:
    """Verdicts by mutant's name."""
    waiting: queue.SimpleQueue[Mutant] = queue.SimpleQueue()
    for mutant in mutants:
        waiting.put(mutant)
    results: Results = {}
    workers = [Worker(folder / str(number), waiting, results) for number in range(os.cpu_count() or 1)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    return results


def matching(named: str, tests: dict[str, Verdict]) -> dict[str, Verdict]:
    """What became of a named test; of a test with several cases, all of them."""
    file, _, title = named.partition("::")
    exact = not file.startswith("webclient/")
    return {
        name: verdict
        for name, verdict in tests.items()
        if name.startswith(f"{file}::") and (named in (name, name.split("[")[0]) if exact else title in name)
    }
