"""Files on their way, piece by piece: what has come so far lies under its address and is taken up again (LG13)."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.blobs import ADDRESS
from standbook.writing import FileLock

#: Beginnings at once. A phone sends one photo after the other, so that a shop has a few; what is put out begins anew.
MOST_UNFINISHED = 64
#: A phone keeps its photo until the shop has it, so a beginning that nobody went on with may go.
STALE = 14 * 24 * 3600.0


class Uploads:
    """A folder of beginnings, each named by the sha256 that the whole will have."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def path(self, sha256: str) -> Path:
        if not ADDRESS.fullmatch(sha256):
            raise Problem("unknown_blob")
        return self._folder / sha256

    @contextmanager
    def turn(self) -> Iterator[None]:
        """One piece at a time, whoever sends it to whichever process: two phones may send the same picture, and
        drawing a large one takes hundreds of megabytes.

        The lock lies apart from the file: who had waited for one on a file that was dropped would hold nothing.
        """
        with FileLock(self._folder.with_name("uploads.lock")):
            yield

    def offset(self, sha256: str) -> int:
        """How many bytes have come; 0 when none."""
        try:
            return self.path(sha256).stat().st_size
        except FileNotFoundError:
            return 0

    def drop(self, sha256: str) -> None:
        self.path(sha256).unlink(missing_ok=True)

    def add(self, sha256: str, offset: int, data: bytes, most: int) -> int:
        """Appends a piece; gives the new offset. In its turn only.

        Raises Problem wrong_offset or too_large, and adds nothing then. A disk that fills up in the middle leaves what
        fitted: the beginning is then that much longer, and every byte of it is the file's.
        """
        here = self.offset(sha256)
        if here != offset:
            raise Problem("wrong_offset", offset=here)
        if here + len(data) > most:
            raise Problem("too_large", limit=most)
        self._folder.mkdir(exist_ok=True)
        if here == 0:
            self.make_room()
        with self.path(sha256).open("ab") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        return here + len(data)

    def make_room(self) -> None:
        """Puts out what is stale, and of too many what was touched longest ago: never what is being sent just now, so
        that no device can fill the disk with beginnings or keep the others from sending."""
        ours = [file for file in self._folder.iterdir() if ADDRESS.fullmatch(file.name)]
        files = sorted(ours, key=lambda file: file.stat().st_mtime, reverse=True)
        old = clock.now().timestamp() - STALE
        kept = [file for file in files[: MOST_UNFINISHED - 1] if file.stat().st_mtime >= old]
        for file in files[len(kept) :]:
            self.drop(file.name)

    def whole(self, sha256: str) -> bytes:
        return self.path(sha256).read_bytes()
