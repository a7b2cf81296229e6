"""Whether everything of a shop is whole: the chain, the counts, and every file against its hash."""

import hashlib
import json
from collections.abc import Iterator
from typing import NamedTuple

from sqlalchemy import Connection, func, select

from standbook.keeping.progress import Progress, silent, told
from standbook.ledger.blobs import BlobStore
from standbook.ledger.chain_check import Report, check_book
from standbook.ledger.counter import the_shop
from standbook.ledger.models import Blob, Entry, Photo
from standbook.trade.limits import TABLE_SHA256


class Whole(NamedTuple):
    """`book`: of the tables; `files`: sentences about damaged and missing files; `awaited`: files yet to come."""

    book: Report
    files: list[str]
    awaited: int

    @property
    def findings(self) -> list[str]:
        return [*self.book.findings, *self.files]


def check(connection: Connection, store: BlobStore, progress: Progress = silent) -> Whole:
    shop = the_shop(connection)
    report = check_book(connection, shop)
    if connection.dialect.name == "sqlite":
        report = report._replace(findings=[*report.findings, *sqlite_findings(connection)])
    return Whole(report, list(file_findings(connection, store, progress)), awaited(connection, shop))


def sqlite_findings(connection: Connection) -> list[str]:
    """What the database itself finds in its pages, where no text of ours lies."""
    told_by = connection.exec_driver_sql("PRAGMA integrity_check(5)").scalars().all()
    return [] if list(told_by) == ["ok"] else [f"The database's file is damaged: {words}." for words in told_by]


def file_findings(connection: Connection, store: BlobStore, progress: Progress) -> Iterator[str]:
    photos = set(connection.scalars(select(Photo.stored_sha256)))
    count = connection.execute(select(func.count()).select_from(Blob)).scalar_one()
    rows = connection.execute(select(Blob.sha256, Blob.size).order_by(Blob.sha256))
    for row in told(rows, "files", count, progress):
        name = f"The {'photo' if row.sha256 in photos else 'file'} {row.sha256[:12]}…"
        try:
            data = store.path(row.sha256).read_bytes()
        except OSError:
            yield f"{name} is missing. Restore it from a backup."
            continue
        if len(data) != row.size or hashlib.sha256(data).hexdigest() != row.sha256:
            yield f"{name} was changed: its bytes no longer fit its address. Restore it from a backup."


def awaited(connection: Connection, shop: str) -> int:
    """Files that entries name and that no device has brought yet: they come with its next contact."""
    here = set(connection.scalars(select(Blob.sha256))) | set(connection.scalars(select(Photo.sha256)))
    kinds = ("photo", "step_signed", "limits_frozen")
    texts = connection.scalars(select(Entry.text).where(Entry.shop == shop, Entry.kind.in_(kinds)))
    return len({address for text in texts for address in named_by(text)} - here - {TABLE_SHA256})


def named_by(text: str) -> Iterator[str]:
    body = json.loads(text).get("body") or {}
    photo = body.get("photo")
    for address in (body.get("shown"), body.get("defaults"), photo.get("sha256") if isinstance(photo, dict) else None):
        if isinstance(address, str):
            yield address
