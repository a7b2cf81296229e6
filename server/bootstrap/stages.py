"""Set-up in stages, each done once for a given state of the files that it depends on.

A stage's stamp is a hash over those files, written after its work. So a second start does nothing, a changed
client source does not install Python packages anew, and an interrupted stage repeats itself. The stamps lie
in `.venv`: removing that folder is a fresh start.
"""

import contextlib
import hashlib
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from bootstrap.paths import ROOT, VENV
from bootstrap.tools import Trouble, say

STAMPS = VENV / "set-up"

# Made by tools from what is hashed anyway, or by running tests.
MADE = {"node_modules", "generated", "dist", "coverage", "__pycache__"}


@dataclass(frozen=True)
class Stage:
    """One piece of set-up: `files` (and folders) and `facts` decide whether its stamp still holds, `made`
    whether its result is still there; `work` does it."""

    name: str
    files: tuple[Path, ...]
    made: Callable[[], bool]
    work: Callable[[], None]
    facts: tuple[str, ...] = ()

    @property
    def stamp(self) -> Path:
        return STAMPS / self.name

    def done(self) -> bool:
        return self.made() and self.stamp.is_file() and self.stamp.read_text("utf-8") == self.digest()

    def digest(self) -> str:
        return hashlib.sha256("\n".join([*self.facts, *hashes(self.files)]).encode()).hexdigest()

    def bring_up(self) -> None:
        if self.done():
            return
        digest = self.digest()
        self.stamp.unlink(missing_ok=True)
        self.work()
        STAMPS.mkdir(parents=True, exist_ok=True)
        self.stamp.write_text(digest, "utf-8")


def hashes(files: Iterable[Path]) -> Iterator[str]:
    """A line for each file, folders walked, in an order that no file system decides."""
    for file in files:
        if file.is_dir():
            inside = sorted(one for one in file.iterdir() if one.name not in MADE and one.name[0] != ".")
            yield from hashes(inside)
        elif file.is_file():
            yield f"{hashlib.sha256(file.read_bytes()).hexdigest()} {file.relative_to(ROOT).as_posix()}"


def set_up(stages: Iterable[Stage], *lanes: Iterable[Stage]) -> None:
    """Brings up each stage that is not done, in order, and then the lanes side by side, each of them in order; one
    set-up at a time in a checkout. Raises the first Trouble when all lanes have come to their end."""
    first, *beside = [tuple(lane) for lane in (stages, *lanes)]
    if all(stage.done() for lane in (first, *beside) for stage in lane):
        return
    with alone():
        bring_up(first)
        with ThreadPoolExecutor() as hands:
            for lane in [hands.submit(bring_up, lane) for lane in beside]:
                lane.result()


def bring_up(stages: Iterable[Stage]) -> None:
    for stage in stages:
        stage.bring_up()


@contextlib.contextmanager
def alone() -> Iterator[None]:
    """Keeps a second set-up in this checkout waiting; the system frees the lock even when we are killed."""
    try:
        lock = (ROOT / ".set-up.lock").open("a")
    except OSError as error:
        raise Trouble(
            f"The folder {ROOT} cannot be written to ({error.strerror}). "
            "Copy the project into a folder of your own and run the same command there."
        ) from None
    with lock:
        if not locked(lock.fileno()):
            say("Another set-up is running in this folder; waiting for it ...")
            while not locked(lock.fileno()):
                time.sleep(0.5)
        yield


def locked(handle: int) -> bool:
    """Takes the lock if nobody has it, and says whether it did."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True
