"""Whether everything of a shop is whole: the chain, the counts, and every file against its hash."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from sqlalchemy import Connection, Table, func, select
from sqlalchemy.exc import DBAPIError

from standbook.database import Base
from standbook.errors import Problem
from standbook.keeping.progress import Progress, silent, told
from standbook.ledger.blobs import BlobStore
from standbook.ledger.chain_check import DAMAGED, Report, check_book, read_all, reason
from standbook.ledger.counter import the_shop
from standbook.ledger.models import Blob, Entry, Photo
from standbook.ledger.signature_check import Signatures, signature_findings
from standbook.trade.limits import TABLE_SHA256


class Whole(NamedTuple):
    """`book`: of the tables; `files`: sentences about damaged and missing files; `awaited`: files yet to come;
    `forged`: sentences about batches that differ from what their devices signed."""

    book: Report
    files: list[str]
    awaited: int
    signatures: Signatures
    forged: list[str]

    @property
    def findings(self) -> list[str]:
        return [*self.book.findings, *self.forged, *self.files]


def check(connection: Connection, store: BlobStore, progress: Progress = silent) -> Whole:
    """Reads everything, also what is damaged. Raises Problem no_shop."""
    report = check_tables(connection, progress)
    for table in Base.metadata.sorted_tables:
        if table is not Entry.__table__:
            report.findings.extend(read_all(connection, f"The list of {table.name}", read_through(connection, table)))
    if connection.dialect.name == "sqlite":
        report.findings.extend(read_all(connection, "The database's file", sqlite_findings(connection)))
    files = list(read_all(connection, "The list of files", file_findings(connection, store, progress)))
    signatures = Signatures()
    forged = list(read_all(connection, "The list of signatures", forged_batches(connection, signatures, progress)))
    return Whole(report, files, awaited(connection), signatures, forged)


def forged_batches(connection: Connection, signatures: Signatures, progress: Progress) -> Iterator[str]:
    def watch(rows: Iterable[Any], of: int) -> Iterable[Any]:
        return told(rows, "signatures", of, progress)

    return signature_findings(connection, the_shop(connection), signatures, watch)


def check_tables(connection: Connection, progress: Progress) -> Report:
    def watch(entries: Iterable[Any], of: int) -> Iterable[Any]:
        return told(entries, "entries", of, progress)

    try:
        with connection.begin_nested():
            return check_book(connection, the_shop(connection), watch)
    except DAMAGED as error:
        return Report(0, 0, 0, 0, [f"The shop's own row cannot be read: {reason(error)}."])


def read_through(connection: Connection, table: Table) -> Iterator[str]:
    """No finding of its own: what cannot be read raises."""
    for _ in connection.execute(select(table).execution_options(yield_per=1000)):
        pass
    yield from ()


def sqlite_findings(connection: Connection) -> Iterator[str]:
    """What the database itself finds in its pages, where no text of ours lies, and rows that point at nothing."""
    for words in connection.exec_driver_sql("PRAGMA integrity_check(5)").scalars():
        if words != "ok":
            yield f"The database's file is damaged: {words}."
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"A row of {row[0]} belongs to a row of {row[2]} that is not there."


def file_findings(connection: Connection, store: BlobStore, progress: Progress) -> Iterator[str]:
    photos = set(connection.scalars(select(Photo.stored_sha256)))
    count = connection.execute(select(func.count()).select_from(Blob)).scalar_one()
    rows = connection.execute(select(Blob.sha256, Blob.size).order_by(Blob.sha256))
    for row in told(rows, "files", count, progress):
        fault = file_fault(store, row.sha256, row.size)
        if fault:
            yield f"The {'photo' if row.sha256 in photos else 'file'} {row.sha256[:12]}… {fault} {REMEDY}"


REMEDY = "A backup that has it puts it back: standbook restore --only-files FILE."


def file_fault(store: BlobStore, sha256: str, size: int | None = None) -> str | None:
    """What is wrong with a file of the shop, None when nothing is."""
    try:
        found, length = hash_and_size(store, sha256)
    except (FileNotFoundError, Problem):
        return "is missing."
    except OSError as error:
        return f"cannot be read: {error.strerror}."
    if found != sha256 or size not in (None, length):
        return "was changed: its bytes no longer fit its address."
    return None


def hash_and_size(store: BlobStore, sha256: str) -> tuple[str, int]:
    with store.path(sha256).open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
        return found, file.tell()


def awaited(connection: Connection) -> int:
    """Files that entries name and that no device has brought yet: they come with its next contact."""
    kinds = ("photo", "step_signed", "hold_signed", "limits_frozen")
    try:
        with connection.begin_nested():
            here = set(connection.scalars(select(Blob.sha256))) | set(connection.scalars(select(Photo.sha256)))
            texts = connection.scalars(select(Entry.text).where(Entry.kind.in_(kinds)))
            return len({address for text in texts for address in named_by(text)} - here - {TABLE_SHA256})
    except DBAPIError:
        return 0


def named_by(text: str) -> Iterator[str]:
    """Addresses of the files that an entry names; none where its text is damaged, which the chain tells."""
    try:
        body = json.loads(text)["body"]
        photo = body.get("photo") or {}
        addresses = [body.get("shown"), body.get("defaults"), photo.get("sha256")]
    except (*DAMAGED, KeyError):
        return
    yield from (address for address in addresses if isinstance(address, str))
