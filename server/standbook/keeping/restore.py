"""Bringing a backup back. What is in the shop's folder now is put aside first, so nothing is lost by it.

The order lets a crash come anywhere: the backup is read and checked whole; what is there is backed up; files are added
(they lie under their own hashes and harm nobody); then the book changes places in one step. The shop gets a new epoch,
by which every phone knows to offer again what it has (LG9).
"""

import uuid
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, insert, update

from standbook.keeping import rows
from standbook.keeping.archive import Reading
from standbook.keeping.progress import Progress, silent, told
from standbook.keeping.trouble import Trouble
from standbook.ledger.blobs import BlobStore
from standbook.ledger.chain_check import check_book
from standbook.ledger.counter import the_shop
from standbook.ledger.models import Shop

PAGE = 500
#: Has empty tables filled in one transaction and puts them in the old ones' place; see `places.py`.
Place = Callable[[Callable[[Connection], None]], None]


def restore(path: Path, revision: str, store: BlobStore, place: Place, progress: Progress = silent) -> Reading:
    """Checks a backup whole, then puts it in its place. Raises Trouble, and then nothing was changed."""
    archive = Reading(path)
    try:
        check(archive, revision, progress)
        add_blobs(archive, store, progress)
        place(lambda connection: fill(archive, connection, progress))
        return archive
    finally:
        archive.close()


def check(archive: Reading, revision: str, progress: Progress) -> None:
    if archive.manifest.revision > revision:
        raise Trouble("This backup was written by a newer Standbook. Update this one first.")
    names = archive.names()
    for name in told(names, "checking", len(names), progress):
        archive.check(name)


def add_blobs(archive: Reading, store: BlobStore, progress: Progress) -> None:
    blobs = [name for name in archive.names() if name.startswith("blobs/")]
    for name in told(blobs, "files", len(blobs), progress):
        address = name.removeprefix("blobs/")
        if not store.path(address).exists():
            store.put(address, archive.bytes_of(name))


def fill(archive: Reading, connection: Connection, progress: Progress) -> None:
    """Rows into empty tables; the book is checked before whoever began the transaction commits it."""
    for table in rows.tables():
        name = f"tables/{table.name}.jsonl"
        if name in archive.manifest.members:
            put(connection, table, told(archive.lines(name), table.name, 0, progress))
    shop = the_shop(connection)
    found = check_book(connection, shop).findings
    if found:
        raise Trouble(f"The book in this backup does not hold together: {found[0]}")
    connection.execute(update(Shop).where(Shop.id == shop).values(epoch=str(uuid.uuid4())))


def put(connection: Connection, table: Table, lines: Iterator[bytes]) -> None:
    while batch := [row_for(table, line) for line in islice(lines, PAGE)]:
        connection.execute(insert(table), batch)


def row_for(table: Table, line: bytes) -> dict[str, Any]:
    """A row of an older backup lacks the columns that came later; it gets them empty."""
    row = rows.row_of(line)
    return {column.name: row.get(column.name) for column in table.columns}
