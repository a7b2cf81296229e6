"""Bringing a backup back, into empty tables and the shop's folder of files.

The order lets a crash come anywhere: the backup is read and checked whole; its book is put into new tables and has to
hold together; files are added (they lie under their own hashes and harm nobody); then the book changes places in one
step (`places.py`), which puts aside what was there. A refused backup leaves nothing behind. The shop gets a new epoch,
by which every phone knows to offer again what it has (LG9).
"""

import shutil
import uuid
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, insert, select, update
from sqlalchemy.exc import DBAPIError, StatementError

from standbook.keeping import rows
from standbook.keeping.archive import Reading
from standbook.keeping.progress import Progress, told
from standbook.keeping.trouble import Trouble
from standbook.keeping.unpacking import Package
from standbook.keeping.whole import file_fault
from standbook.ledger.blobs import ADDRESS, BlobStore
from standbook.ledger.chain_check import check_book
from standbook.ledger.counter import Counter, read_counter, the_shop
from standbook.ledger.models import Blob, Shop
from standbook.writing import named_errors, problem_of

PAGE = 500
#: A table's bytes lie in the new book with their indexes, and what was there is put aside.
COPIES = 4


def check(archive: Reading | Package, revision: str, progress: Progress) -> None:
    """Every byte of the backup. Raises Trouble; `revision`: the newest that this Standbook knows."""
    if archive.manifest.revision > revision:
        raise Trouble(f"{archive.name} was written by a newer Standbook. Update this one first.")
    names = archive.names()
    for name in told(names, "checking", len(names), progress):
        archive.check(name)


def refuse_without_room(archive: Reading | Package, store: BlobStore, folder: Path) -> None:
    """A disk that would fill up on the way is told before anything is written to it."""
    sizes = {name: said.size for name, said in archive.manifest.members.items()}
    new = [size for name, size in sizes.items() if name.startswith("blobs/") and not has(store, name)]
    wanted = sum(new) + COPIES * sum(size for name, size in sizes.items() if name.startswith("tables/"))
    free = shutil.disk_usage(folder).free
    if free < wanted:
        raise Trouble(
            f"There is no room for it in {folder}: {wanted // 10**6} MB are wanted, {free // 10**6} MB are free."
        )


def has(store: BlobStore, name: str) -> bool:
    return store.path(name.removeprefix("blobs/")).exists()


def add_files(archive: Reading | Package, store: BlobStore, progress: Progress) -> int:
    """Puts into the shop's folder what is missing or damaged there; gives how many."""
    added = 0
    names = archive.names("blobs/")
    for name in told(names, "files", len(names), progress):
        address = name.removeprefix("blobs/")
        if file_fault(store, address):
            with archive.open(name) as file, named_errors():
                store.put(address, file.read())
            added += 1
    return added


def fill(archive: Reading | Package, connection: Connection, progress: Progress) -> None:
    """Rows into empty tables; the book is checked before whoever began the transaction commits it."""
    for table in rows.tables():
        name = f"tables/{table.name}.jsonl"
        if name in archive.manifest.members:
            put(archive, connection, table, progress)
    if not all(ADDRESS.fullmatch(address) for address in connection.scalars(select(Blob.sha256))):
        raise Trouble(f"{archive.name} is damaged: its list of files names what is none.")
    shop = the_shop(connection)
    refuse_other_ending(archive, read_counter(connection, shop))
    found = check_book(connection, shop).findings
    if found:
        raise Trouble(f"The book in {archive.name} does not hold together: {found[0]} Take another backup.")
    connection.execute(update(Shop).where(Shop.id == shop).values(epoch=str(uuid.uuid4())))


def put(archive: Reading | Package, connection: Connection, table: Table, progress: Progress) -> None:
    count = archive.manifest.counts.get(table.name, 0)
    lines = told(archive.lines(f"tables/{table.name}.jsonl"), table.name.replace("_", " "), count, progress)
    put_in = 0
    try:
        while batch := [row_for(table, line) for line in islice(lines, PAGE)]:
            connection.execute(insert(table), batch)
            put_in += len(batch)
    except (ValueError, OverflowError, DBAPIError, StatementError) as error:
        if isinstance(error, DBAPIError) and (problem := problem_of(error)):
            raise problem from error
        raise Trouble(f"{archive.name} is damaged: its list of {table.name} cannot be read.") from error
    if put_in != count:
        raise Trouble(f"{archive.name} is damaged: its list of {table.name} has {put_in} rows instead of {count}.")


def row_for(table: Table, line: bytes) -> dict[str, Any]:
    """A row of an older backup lacks the columns that came later; it gets them empty. Raises ValueError."""
    row = rows.row_of(line)
    for column in table.columns:
        if row.get(column.name) is not None and not rows.fits(column, row[column.name]):
            raise ValueError(f"no {column.name}")
    return {column.name: row.get(column.name) for column in table.columns}


def refuse_other_ending(archive: Reading | Package, counter: Counter) -> None:
    said = archive.manifest
    if (said.shop, said.last_seq, said.head) != (counter.shop, counter.last_seq, counter.head):
        raise Trouble(f"{archive.name} is damaged: its book does not end where its manifest says.")


def missing_files(connection: Connection, store: BlobStore) -> Iterator[str]:
    """Addresses of files that the restored book ought to have, and that neither the backup nor this folder has."""
    for address in connection.scalars(select(Blob.sha256).order_by(Blob.sha256)):
        if not store.path(address).exists():
            yield address
