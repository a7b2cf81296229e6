"""Where a restored book goes: SQLite's file changes places, PostgreSQL's tables are filled anew in one transaction.

Either way what is there is put aside first, and a crash at any point leaves the old book or the new one, whole.
"""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import DBAPIError

from standbook.database import Base
from standbook.keeping.trouble import Trouble
from standbook.ledger.blobs import flush_folder

LOGS = ("-wal", "-shm", "-journal")
IN_USE = "Another program has the book open. Stop it, then restore again."
#: PostgreSQL's answer when a lock was not to be had in time.
NO_LOCK = "55P03"

Fill = Callable[[Connection], None]


def in_tables(engine: Engine, put_aside: Fill, fill: Fill) -> None:
    """PostgreSQL: put aside, emptied and filled in one go; writers wait at its door, readers only at the end.

    TRUNCATE, since the book's guard lets nobody delete an entry.
    """
    names = ", ".join(table.name for table in Base.metadata.sorted_tables)
    try:
        with engine.begin() as connection:
            connection.execute(text("SET LOCAL lock_timeout = '20s'"))
            connection.execute(text(f"LOCK TABLE {names} IN EXCLUSIVE MODE"))
            put_aside(connection)
            connection.execute(text(f"TRUNCATE {names}"))
            fill(connection)
    except DBAPIError as error:
        if getattr(error.orig, "sqlstate", None) == NO_LOCK:
            raise Trouble(IN_USE) from error
        raise


def made_beside(folder: Path, fresh: Callable[[Path], Engine], fill: Fill) -> Path:
    """SQLite: the book in a new file, whole and through to the disk. `fresh`: newest tables in an empty folder."""
    shutil.rmtree(folder, ignore_errors=True)
    engine = fresh(folder)
    file = Path(str(engine.url.database))
    try:
        with engine.begin() as connection:
            fill(connection)
    finally:
        engine.dispose()
    empty_log(file)
    flush(file)
    return file


def readable(file: Path) -> bool:
    """Whether SQLite can take its log in and close it. Raises Trouble while another program has it open.

    SQLite drops the log of a file that it does not know any more: then it is put back, it may hold the last entries.
    """
    with tempfile.TemporaryDirectory(prefix="log-of-the-book-", dir=file.parent) as folder:
        kept = [log for log in logs_of(file) if log.exists()]
        for log in kept:
            shutil.copy2(log, folder)
        try:
            empty_log(file)
            return True
        except sqlite3.DatabaseError:
            for log in kept:
                Path(folder, log.name).replace(log)
            return False


def take_place(new: Path, old: Path) -> None:
    """The new file under the old one's name; the old one is kept elsewhere by now, with what was in its log."""
    for log in logs_of(old):
        # A log of the old book beside the new file would be read into it.
        log.unlink(missing_ok=True)
    new.replace(old)
    flush_folder(old.parent)


def logs_of(file: Path) -> list[Path]:
    return [file.with_name(file.name + ending) for ending in LOGS]


def empty_log(file: Path) -> None:
    """Brings what is still in the log into the file itself, so that the file alone is the book."""
    with closing(sqlite3.connect(file, timeout=1)) as connection:
        busy, *_ = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    log = file.with_name(file.name + "-wal")
    if busy or (log.exists() and log.stat().st_size):
        raise Trouble(IN_USE)


def keep_raw(file: Path, folder: Path) -> Path:
    """What cannot be read any more is kept byte for byte, log and all; by another name for the same bytes where the
    disk has that, since a failing one may not give them a second time."""
    folder.mkdir(mode=0o700, parents=True)
    for one in (file, *logs_of(file)):
        if one.exists():
            link_or_copy(one, folder / one.name)
    flush_folder(folder)
    flush_folder(folder.parent)
    return folder


def link_or_copy(file: Path, target: Path) -> None:
    try:
        os.link(file, target)
    except OSError:
        shutil.copy2(file, target)
        flush(target)


def flush(file: Path) -> None:
    with file.open("rb+") as opened:
        os.fsync(opened.fileno())
