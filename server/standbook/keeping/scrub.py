"""Getting what was deleted out of the database's own file, and finding the older copies that still hold it.

SQLite leaves what a row said in the free space of its pages and in its log. `secure_delete` (see `database.py`) writes
zeros over it; the file written anew, and the log cut off, leave nothing of it. PostgreSQL writes the one table anew;
what its own log and its own backups hold is its keeper's affair.
"""

import json
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from sqlite3 import OperationalError
from typing import Any, NamedTuple

from sqlalchemy import Engine, text

from standbook import clock
from standbook.keeping.archive import Reading
from standbook.keeping.aside import START
from standbook.keeping.backup import ENDING
from standbook.keeping.progress import Progress, silent, told
from standbook.keeping.trouble import Trouble
from standbook.people.customers import PERSONAL
from standbook.people.models import Customer
from standbook.writing import Writer

TABLE = Customer.__tablename__
LIST = f"tables/{TABLE}.jsonl"


class Copy(NamedTuple):
    """An older copy of the book with the customer in it. `sure`: False where it cannot be read, and may be one."""

    path: Path
    made_at: str
    sure: bool


def scrub(engine: Engine, writer: Writer) -> bool:
    """Whether nothing that was deleted is left in the database's file and log. Nobody writes meanwhile."""
    if engine.dialect.name == "postgresql":
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as alone:
            alone.execute(text(f"VACUUM (FULL) {TABLE}"))
        return True
    with writer.alone(), closing(engine.raw_connection()) as connection, closing(connection.cursor()) as cursor:
        return rewritten(cursor)


def rewritten(cursor: Any) -> bool:
    """False where there was no room to write it anew, or somebody reads the log just now."""
    try:
        cursor.execute("VACUUM")
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except OperationalError:
        return False
    (busy, *_) = cursor.fetchone()
    return not busy


def copies(backups: Path, data: Path, which: str, progress: Progress = silent) -> list[Copy]:
    """Backups, and books that a restore has put aside, that still hold the customer; the newest first."""
    files = sorted(backups.glob(f"*{ENDING}")) if backups.is_dir() else []
    found = [*held_in(told(files, "backups", len(files), progress), which), *raw_books(data)]
    return sorted(found, key=lambda copy: (copy.made_at, copy.path), reverse=True)


def held_in(files: Iterable[Path], which: str) -> Iterator[Copy]:
    for file in files:
        try:
            with closing(Reading(file)) as archive:
                if LIST in archive.names() and any(tells(line, which) for line in archive.lines(LIST)):
                    yield Copy(file, archive.manifest.made_at, sure=True)
        except (Trouble, OSError, ValueError):
            yield Copy(file, changed_at(file), sure=False)


def tells(line: bytes, which: str) -> bool:
    row = json.loads(line)
    return bool(row["id"] == which and any(row.get(name) for name in PERSONAL))


def raw_books(data: Path) -> Iterator[Copy]:
    """Databases that could not be read any more and were kept as they were."""
    for folder in data.glob(f"{START}-*"):
        if folder.is_dir():
            yield Copy(folder, changed_at(folder), sure=False)


def changed_at(path: Path) -> str:
    return clock.stamp(datetime.fromtimestamp(path.stat().st_mtime, UTC))
