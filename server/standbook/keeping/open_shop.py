"""Who has a shop's folder open: every command shares it, a restore wants it for itself."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from standbook.keeping.trouble import Trouble

OPEN = "The book is open in another program. Stop the server (or what else runs on it), then restore."
RESTORING = "A backup is being restored here. Start again when it is done."

if sys.platform == "win32":

    @contextmanager
    def shared(_path: Path) -> Iterator[None]:
        """Windows does not rename over a file that somebody has open: that is the lock there."""
        yield

    @contextmanager
    def alone(_path: Path) -> Iterator[None]:
        yield

else:
    import fcntl

    @contextmanager
    def shared(path: Path) -> Iterator[None]:
        """For as long as a command runs. Raises Trouble while a restore is going on."""
        with held(path, fcntl.LOCK_SH, RESTORING):
            yield

    @contextmanager
    def alone(path: Path) -> Iterator[None]:
        """Raises Trouble while another command runs."""
        with held(path, fcntl.LOCK_EX, OPEN):
            yield

    @contextmanager
    def held(path: Path, how: int, words: str) -> Iterator[None]:
        file = lock_file(path)
        try:
            take(file, how, words)
            yield
        finally:
            file.close()

    def take(file: IO[bytes], how: int, words: str) -> None:
        try:
            fcntl.flock(file, how | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise Trouble(words) from error

    def lock_file(path: Path) -> IO[bytes]:
        try:
            return path.open("ab")
        except OSError as error:
            raise Trouble(f"The folder {path.parent} cannot be used: {error.strerror}.") from error
