"""Files on their way, piece by piece: what has come so far lies under its address and is taken up again (LG13)."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from standbook.errors import Problem
from standbook.ledger.blobs import ADDRESS
from standbook.writing import lock, unlock


class Uploads:
    """A folder of beginnings, each named by the sha256 that the whole will have."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def path(self, sha256: str) -> Path:
        if not ADDRESS.fullmatch(sha256):
            raise Problem("unknown_blob")
        return self._folder / sha256

    def offset(self, sha256: str) -> int:
        """How many bytes have come; 0 when none."""
        try:
            return self.path(sha256).stat().st_size
        except FileNotFoundError:
            return 0

    def drop(self, sha256: str) -> None:
        self.path(sha256).unlink(missing_ok=True)

    def add(self, sha256: str, offset: int, data: bytes, most: int) -> int:
        """Appends a piece; gives the new offset. Raises Problem wrong_offset or too_large, and adds nothing then."""
        path = self.path(sha256)
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("ab") as file, held(file):
            here = os.fstat(file.fileno()).st_size
            if here != offset:
                raise Problem("wrong_offset", offset=here)
            if here + len(data) > most:
                raise Problem("too_large", limit=most)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
            return here + len(data)

    def whole(self, sha256: str) -> bytes:
        return self.path(sha256).read_bytes()


@contextmanager
def held(file: IO[bytes]) -> Iterator[None]:
    """One piece at a time, also when two phones send the same picture."""
    lock(file)
    try:
        yield
    finally:
        unlock(file)
