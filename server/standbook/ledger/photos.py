"""Photos: sent in pieces, checked as a whole, drawn anew, kept (LG13).

The order of writes lets a crash come between any two: the copy is durable before the row that names it, and the
beginning is dropped after both. What is repeated changes nothing.
"""

import hashlib
from typing import Any, NamedTuple

from sqlalchemy import Connection, insert, select

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.blobs import BlobStore
from standbook.ledger.models import Blob, Photo
from standbook.ledger.pictures import redrawn, small
from standbook.ledger.uploads import Uploads
from standbook.writing import Writer, named_errors

MOST_BYTES = 12 * 1024 * 1024


class Piece(NamedTuple):
    """Bytes of a photo from an offset on; `last`: nothing follows."""

    offset: int
    data: bytes
    last: bool


class Photos:
    def __init__(self, writer: Writer, store: BlobStore, uploads: Uploads) -> None:
        self._writer = writer
        self._store = store
        self._uploads = uploads

    def offset(self, connection: Connection, sha256: str) -> tuple[int, bool]:
        """How many bytes the shop has, and whether it needs no more."""
        if stored(connection, sha256) is not None:
            return 0, True
        return self._uploads.offset(sha256), False

    def take(self, sha256: str, piece: Piece, known: bool) -> tuple[int, bool]:
        """Takes a piece in; gives the offset then and whether the photo is kept.

        Raises Problem wrong_offset, too_large, hash_mismatch, photo_unreadable, photo_too_large or disk_full. Whole
        bytes that cannot be kept are thrown away, so that the next try starts anew.
        """
        if known:
            self._uploads.drop(sha256)
            return 0, True
        with named_errors():
            offset = self._uploads.add(sha256, piece.offset, piece.data, MOST_BYTES)
            if not piece.last:
                return offset, False
            self._keep(sha256, self._uploads.whole(sha256))
            self._uploads.drop(sha256)
            return offset, True

    def _keep(self, sha256: str, data: bytes) -> None:
        try:
            found = hashlib.sha256(data).hexdigest()
            if found != sha256:
                raise Problem("hash_mismatch", found=found)
            picture = redrawn(data)
        except Problem:
            self._uploads.drop(sha256)
            raise
        address = hashlib.sha256(picture.data).hexdigest()
        self._store.put(address, picture.data)
        row = {"sha256": sha256, "stored_sha256": address, "width": picture.width, "height": picture.height}
        with self._writer.writing() as connection:
            note_kept(connection, row, len(picture.data))

    def show(self, connection: Connection, sha256: str, as_small: bool) -> bytes:
        """The shop's copy. Raises Problem unknown_blob or blob_damaged."""
        address = stored(connection, sha256)
        if address is None:
            raise Problem("unknown_blob")
        data = self._store.get(address)
        return small(data) if as_small else data


def note_kept(connection: Connection, row: dict[str, Any], size: int) -> None:
    """Two phones may have sent the same picture: the first one's rows stay."""
    now = clock.now_stamp()
    if connection.execute(select(Blob.sha256).where(Blob.sha256 == row["stored_sha256"])).first() is None:
        connection.execute(insert(Blob), [{"sha256": row["stored_sha256"], "size": size, "received_at": now}])
    if stored(connection, row["sha256"]) is None:
        connection.execute(insert(Photo), [{**row, "received_at": now}])


def stored(connection: Connection, sha256: str) -> str | None:
    """The address of the shop's copy; None while it has none."""
    return connection.execute(select(Photo.stored_sha256).where(Photo.sha256 == sha256)).scalar_one_or_none()
