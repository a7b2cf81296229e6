"""A backup of a shop, consistent while it is being written to: every table as it stood at one moment.

Files never change and never go, so those that the moment names are there whenever they are copied.
"""

import itertools
import re
import secrets
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

from sqlalchemy import Connection, Engine, Table, func, select
from sqlalchemy.exc import DBAPIError

from standbook import clock
from standbook.keeping import rows
from standbook.keeping.archive import Writing
from standbook.keeping.progress import Progress, silent, told
from standbook.keeping.snapshot import snapshot
from standbook.keeping.trouble import Trouble, Unreadable
from standbook.keeping.whole import file_fault
from standbook.ledger.blobs import BlobStore, flush_folder
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.models import Blob, Entry

ENDING = ".standbook.tar"
#: Bytes of a row beside an entry's text, in a backup.
ROW = 1024


class Made(NamedTuple):
    """`last_seq`: how far the book in the backup goes. `lacking`: files that were missing or damaged in the shop."""

    path: Path
    last_seq: int
    lacking: list[str]


def new_name(folder: Path, start: str = "book", ending: str = ENDING) -> Path:
    """One that nothing in the folder has, and that sorts by time: book-2026-11-25T08-30-00-000.standbook.tar.

    Two of one moment, or a clock that was set back, get the next free millisecond.
    """
    moments = (clock.now() + timedelta(milliseconds=late) for late in itertools.count())
    names = (re.sub("[:.]", "-", clock.stamp(moment).removesuffix("Z")) for moment in moments)
    return next(path for name in names if not (path := folder / f"{start}-{name}{ending}").exists())


def backup(
    engine: Engine, store: BlobStore, revision: str, target: Path, progress: Progress = silent, spare: int = 0
) -> Made:
    """Writes a backup to `target`. Raises Trouble; nothing of it is left then.

    `spare`: bytes that have to stay free on its disk.
    """
    with new_file(target) as path, snapshot(engine) as connection:
        refuse_without_room(connection, target, spare)
        about = write(connection, path, revision, store, progress)
    return Made(target, about["last_seq"], about["lacking"])


@contextmanager
def new_file(target: Path) -> Iterator[Path]:
    """Written beside and named at its end: a backup that was cut short never has a backup's name."""
    if target.exists():
        raise Trouble(f"{target} is there already. Name another file.")
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    with told_why("The backup"):
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with dropped_on_failure(beside):
            yield beside
            beside.replace(target)
        flush_folder(target.parent)


@contextmanager
def told_why(what: str) -> Iterator[None]:
    """What keeps it from being written, as Trouble."""
    try:
        yield
    except OSError as error:
        raise Trouble(f"{what} could not be written: {error}. Make room, or name another folder.") from error
    except DBAPIError as error:
        raise Unreadable(f"The book could not be read: {error.orig}. Run: standbook check.") from error


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """The same for a folder."""
    if target.exists():
        raise Trouble(f"{target} is there already. Name another folder.")
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with told_why("The folder"):
            beside.mkdir(mode=0o700, parents=True)
            yield beside
            beside.replace(target)
            flush_folder(target.parent)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


@contextmanager
def dropped_on_failure(file: Path) -> Iterator[None]:
    try:
        yield
    except BaseException:
        with suppress(OSError):
            file.unlink(missing_ok=True)
        raise


def refuse_without_room(connection: Connection, target: Path, spare: int = 0, what: str = "a backup") -> None:
    """A full disk is told before it is filled: on the shop's own disk it would stop the shop."""
    files = connection.execute(select(func.coalesce(func.sum(Blob.size), 0))).scalar_one()
    count = connection.execute(select(func.count(), func.coalesce(func.sum(func.length(Entry.text)), 0))).one()
    wanted = int(files) + count[0] * ROW + int(count[1]) * 2 + spare
    free = shutil.disk_usage(target.parent).free
    if free < wanted:
        megabytes = f"{wanted // 10**6} MB are wanted, {free // 10**6} MB are free"
        raise Trouble(f"There is no room for {what} in {target.parent}: {megabytes}. Name a folder on another disk.")


def write(
    connection: Connection, path: Path, revision: str, store: BlobStore | None, progress: Progress
) -> dict[str, Any]:
    """Without a store the files are left out. Gives the manifest's words, without its members."""
    counter = read_counter(connection, the_shop(connection))
    archive = Writing(path)
    try:
        counts = {table.name: add_table(archive, connection, table, path, progress) for table in rows.tables()}
        addresses = list(connection.scalars(select(Blob.sha256).order_by(Blob.sha256))) if store else []
        kept = told(addresses, "files", len(addresses), progress)
        lacking = [address for address in kept if store and not add_file(archive, store, address)]
        about = {
            "made_at": clock.now_stamp(),
            "revision": revision,
            "shop": counter.shop,
            "last_seq": counter.last_seq,
            "head": counter.head,
            "counts": counts,
            "lacking": lacking,
            "with_files": store is not None,
        }
        archive.finish(about)
        return about
    finally:
        archive.close()


def add_table(archive: Writing, connection: Connection, table: Table, path: Path, progress: Progress) -> int:
    """Gives the number of rows. A tar wants to know a member's size first, so the lines go to a file without a name."""
    count = rows.count(connection, table)
    with tempfile.TemporaryFile(dir=path.parent) as file:
        for line in told(rows.lines(connection, table), table.name.replace("_", " "), count, progress):
            file.write(line)
        archive.add(f"tables/{table.name}.jsonl", file)
    return count


def add_file(archive: Writing, store: BlobStore, address: str) -> bool:
    """A damaged or missing file is left out and said to be lacking; the rest of the book is kept all the same."""
    if file_fault(store, address):
        return False
    with store.path(address).open("rb") as file:
        archive.add(f"blobs/{address}", file)
    return True
