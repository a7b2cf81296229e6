"""A process that has imported the server, and forks: the commands' own code without the second that importing takes.

Each fork is a process of its own, to be stopped or killed; nothing of one reaches the next.
"""

import multiprocessing
import os
import runpy
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

#: Windows cannot fork; there each server is started anew.
CAN_FORK = "forkserver" in multiprocessing.get_all_start_methods()
GLANCE = 0.01


def run(words: list[str], environment: dict[str, str], told: str, said: str) -> None:
    """`python -m WORDS` in this process; its words go to the files."""
    os.environ.clear()
    os.environ.update(environment)
    for number, path in ((1, told), (2, said)):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600), number)
    sys.argv = words
    runpy.run_module(words[0], run_name="__main__", alter_sys=True)


class Told:
    """What a process writes, line by line, until it has ended."""

    def __init__(self, process: "Forked", file: TextIO) -> None:
        self.process = process
        self.file = file

    def __iter__(self) -> Iterator[str]:
        while True:
            over = self.process.poll() is not None
            while line := self.file.readline():
                yield line
            if over:
                return
            time.sleep(GLANCE)

    def close(self) -> None:
        self.file.close()


class Forked:
    """A fork as `subprocess.Popen` would have it, as far as the stories need that."""

    def __init__(self, words: list[str], environment: dict[str, str], said: Path) -> None:
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(["standbook.cli", "tests.browser.joining.networked", __name__])
        told = said.with_suffix(f".{time.monotonic_ns()}.txt")
        told.touch()
        self.process = context.Process(target=run, args=(words, environment, str(told), str(said)), daemon=True)
        self.process.start()
        self.stdout = Told(self, told.open(encoding="utf-8"))

    def poll(self) -> int | None:
        return self.process.exitcode

    def wait(self, seconds: float | None = None) -> int:
        self.process.join(seconds)
        if self.process.exitcode is None:
            raise TimeoutError(f"it has not ended within {seconds} s")
        return self.process.exitcode

    def terminate(self) -> None:
        self.process.terminate()

    def kill(self) -> None:
        self.process.kill()
