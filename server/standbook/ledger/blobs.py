"""Files that travel apart from their entry, found by the sha256 of their bytes (LG13)."""

import hashlib
import os
import re
import secrets
from pathlib import Path

from sqlalchemy import Connection, insert, select

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.models import Blob
from standbook.writing import Writer, named_errors

ADDRESS = re.compile(r"[0-9a-f]{64}")


class BlobStore:
    """A folder of files named by their hash. A file is there whole or not at all."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def path(self, sha256: str) -> Path:
        if not ADDRESS.fullmatch(sha256):
            raise Problem("unknown_blob")
        return self._folder / sha256[:2] / sha256

    def put(self, sha256: str, data: bytes) -> None:
        """Written beside, flushed to the disk, then named: a power cut leaves no half file under a good name."""
        path = self.path(sha256)
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = path.with_name(f".{sha256}.{secrets.token_hex(4)}")
        try:
            write_through(beside, data)
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)
        flush_folder(path.parent)

    def get(self, sha256: str) -> bytes:
        """Raises Problem unknown_blob, or blob_damaged when the disk has changed its bytes."""
        try:
            data = self.path(sha256).read_bytes()
        except FileNotFoundError as error:
            raise Problem("unknown_blob") from error
        if hashlib.sha256(data).hexdigest() != sha256:
            raise Problem("blob_damaged", sha256=sha256)
        return data

    def has(self, sha256: str) -> bool:
        """Whether the file is here as it was kept."""
        try:
            self.get(sha256)
        except Problem:
            return False
        return True


def write_through(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    """Makes the new name itself durable; Windows does so by itself and cannot open a folder."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def keep(writer: Writer, store: BlobStore, sha256: str, data: bytes) -> bool:
    """Keeps a file; True when it is new. Raises Problem hash_mismatch or disk_full."""
    found = hashlib.sha256(data).hexdigest()
    if found != sha256:
        raise Problem("hash_mismatch", found=found)
    with named_errors():
        store.put(sha256, data)
    with writer.writing() as connection:
        if connection.execute(select(Blob.sha256).where(Blob.sha256 == sha256)).first():
            return False
        row = {"sha256": sha256, "size": len(data), "received_at": clock.now_stamp()}
        connection.execute(insert(Blob), [row])
        return True


def known(connection: Connection, sha256: str) -> bool:
    return connection.execute(select(Blob.sha256).where(Blob.sha256 == sha256)).first() is not None
