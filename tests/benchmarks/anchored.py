"""Programs that a figure needs beside the browser: the anchors, and clients that are told what to do line by line."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bootstrap.node import get_node
from bootstrap.stages import Stage, set_up
from bootstrap.tools import run

ANCHORS = Path(__file__).with_name("anchors")
MODULES = ANCHORS / "node_modules"


def fetch_packages() -> None:
    node = get_node()
    words = [node.npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--fetch-retry-mintimeout=1000"]
    run("Installing what the benchmarks compare with", words, cwd=ANCHORS, path=node.path)


FETCHED = Stage(
    "anchors",
    (ANCHORS / "package.json", ANCHORS / "package-lock.json"),
    (MODULES / ".package-lock.json").is_file,
    fetch_packages,
)


class Program:
    """A running program. `ask` writes a line of JSON to it and gives what its answer's line says."""

    def __init__(self, words: list[str | Path]) -> None:
        self.process = subprocess.Popen(
            [str(word) for word in words], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
        )
        #: What it says when it is ready.
        self.first = self.line()

    def line(self) -> str:
        """The next line that it says. Raises RuntimeError when it ended instead."""
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError(f"{self.process.args} ended with {self.process.wait()}")
        return line.strip()

    def ask(self, *words: object) -> Any:
        self.tell(*words)
        return self.answer()

    def answer(self) -> Any:
        return json.loads(self.line())

    def tell(self, *words: object) -> None:
        """Without waiting for its answer, which `answer` gives."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(words) + "\n")
        self.process.stdin.flush()

    def end(self) -> None:
        self.process.kill()
        self.process.communicate()


@contextmanager
def program(*words: str | Path) -> Iterator[Program]:
    running = Program(list(words))
    try:
        yield running
    finally:
        running.end()


@contextmanager
def script(path: Path, *words: str | Path) -> Iterator[Program]:
    """A program for Node."""
    with program(os.environ.get("STANDBOOK_NODE") or get_node().node, path, *words) as running:
        yield running


@contextmanager
def couch(folder: Path) -> Iterator[str]:
    """PouchDB behind its own HTTP server; gives its address."""
    set_up([FETCHED])
    folder.mkdir(parents=True, exist_ok=True)
    with script(ANCHORS / "couch.mjs", folder) as server:
        yield f"http://127.0.0.1:{server.first}"


def python(path: Path, *words: str | Path) -> list[str | Path]:
    return [sys.executable, path, *words]
