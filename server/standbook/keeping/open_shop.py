"""Who has a shop's folder open: servers share it, a restore wants it for itself."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from standbook.keeping.trouble import Trouble

OPEN = "The shop is being served. Stop the server first, then restore."

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
        """For as long as a server runs. Raises Trouble while a restore is going on."""
        with path.open("ab") as file:
            take(file.fileno(), fcntl.LOCK_SH, "A backup is being restored here. Start again when it is done.")
            yield

    @contextmanager
    def alone(path: Path) -> Iterator[None]:
        """Raises Trouble while a server runs."""
        with path.open("ab") as file:
            take(file.fileno(), fcntl.LOCK_EX, OPEN)
            yield

    def take(handle: int, how: int, words: str) -> None:
        try:
            fcntl.flock(handle, how | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise Trouble(words) from error
