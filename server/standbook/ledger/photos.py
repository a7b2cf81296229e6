"""Photos: sent in pieces, checked as a whole, drawn anew, kept (LG13).

The order of writes lets a crash come between any two: the copy is durable before the row that names it, and the
beginning is dropped after both. What is repeated changes nothing.
"""

import hashlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, NamedTuple

from sqlalchemy import Connection, insert, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.blobs import BlobStore
from standbook.ledger.models import Blob, Photo
from standbook.ledger.pictures import Picture, redrawn, small
from standbook.ledger.uploads import Uploads
from standbook.writing import Writer, named_errors

Reading = Callable[[], AbstractContextManager[Connection]]
MOST_BYTES = 12 * 1024 * 1024


class Piece(NamedTuple):
    """Bytes of a photo from an offset on; `last`: nothing follows."""

    offset: int
    data: bytes
    last: bool


class Photos:
    def __init__(self, writer: Writer, reading: Reading, store: BlobStore, uploads: Uploads) -> None:
        self._writer = writer
        self._reading = reading
        self._store = store
        self._uploads = uploads

    def offset(self, sha256: str) -> tuple[int, bool]:
        """How many bytes the shop has, and whether it needs no more."""
        if self._is_kept(sha256):
            return 0, True
        return self._uploads.offset(sha256), False

    def _is_kept(self, sha256: str) -> bool:
        """A copy that its disk has lost or changed is no copy: whoever still has the photo may send it again."""
        with self._reading() as connection:
            address = stored(connection, sha256)
        return address is not None and self._store.has(address)

    def take(self, sha256: str, piece: Piece) -> tuple[int, bool]:
        """Takes a piece in; gives the offset then and whether the photo is kept.

        Raises Problem wrong_offset, too_large, hash_mismatch, photo_unreadable, photo_too_large or disk_full. Whole
        bytes that cannot be kept are thrown away, so that the next try starts anew.
        """
        with named_errors(), self._uploads.turn():
            if self._is_kept(sha256):
                self._uploads.drop(sha256)
                return 0, True
            offset = self._uploads.add(sha256, piece.offset, piece.data, MOST_BYTES)
            if not piece.last:
                return offset, False
            self._keep(sha256, self._uploads.whole(sha256))
            self._uploads.drop(sha256)
            return offset, True

    def _keep(self, sha256: str, data: bytes) -> None:
        picture = self._checked(sha256, data)
        address = hashlib.sha256(picture.data).hexdigest()
        self._store.put(address, picture.data)
        row = {"sha256": sha256, "stored_sha256": address, "width": picture.width, "height": picture.height}
        with self._writer.writing() as connection:
            note_kept(connection, row, len(picture.data))

    def _checked(self, sha256: str, data: bytes) -> Picture:
        try:
            found = hashlib.sha256(data).hexdigest()
            if found != sha256:
                raise Problem("hash_mismatch", found=found)
            return redrawn(data)
        except Problem:
            self._uploads.drop(sha256)
            raise

    def show(self, sha256: str, as_small: bool) -> bytes:
        """The shop's copy. Raises Problem unknown_blob or blob_damaged."""
        with self._reading() as connection:
            address = stored(connection, sha256)
        if address is None:
            raise Problem("unknown_blob")
        data = self._store.get(address)
        return small(data) if as_small else data


def note_kept(connection: Connection, row: dict[str, Any], size: int) -> None:
    """Where its copy was lost, a photo may have come again and, drawn by a newer library, have another address."""
    now = clock.now_stamp()
    if connection.execute(select(Blob.sha256).where(Blob.sha256 == row["stored_sha256"])).first() is None:
        connection.execute(insert(Blob), [{"sha256": row["stored_sha256"], "size": size, "received_at": now}])
    if stored(connection, row["sha256"]) is None:
        connection.execute(insert(Photo), [{**row, "received_at": now}])
    else:
        connection.execute(update(Photo).where(Photo.sha256 == row["sha256"]).values(**row))


def stored(connection: Connection, sha256: str) -> str | None:
    """The address of the shop's copy; None while it has none."""
    return connection.execute(select(Photo.stored_sha256).where(Photo.sha256 == sha256)).scalar_one_or_none()
