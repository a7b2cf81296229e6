"""Where a restored book goes: SQLite's file changes places, PostgreSQL's tables are filled anew in one transaction."""

import os
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import Connection, Engine, text

from standbook.database import Base
from standbook.keeping.trouble import Trouble
from standbook.ledger.blobs import flush_folder

BESIDE = ("-wal", "-shm", "-journal")


Fill = Callable[[Connection], None]


def in_tables(engine: Engine, fill: Fill) -> None:
    """PostgreSQL: emptied and filled in one go. TRUNCATE, since the book's guard lets nobody delete an entry."""
    with engine.begin() as connection:
        names = ", ".join(table.name for table in Base.metadata.sorted_tables)
        connection.execute(text(f"TRUNCATE {names}"))
        fill(connection)


def in_file(file: Path, fresh: Callable[[Path], Engine], fill: Fill) -> None:
    """Makes the book in a new file beside, then renames it over the old one: one or the other is there, whole.

    `fresh`: a database of the newest tables in a new file. The old file must be closed by everybody.
    """
    beside = file.with_name(f"{file.name}.restoring")
    for leftover in (beside, *logs_of(beside)):
        leftover.unlink(missing_ok=True)
    engine = fresh(beside)
    try:
        with engine.begin() as connection:
            fill(connection)
        with engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        engine.dispose()
    refuse_a_full_log(beside)
    with beside.open("rb+") as opened:
        os.fsync(opened.fileno())
    # A log of the old book beside the new file would be read into it.
    refuse_a_full_log(file)
    beside.replace(file)
    flush_folder(file.parent)


def logs_of(file: Path) -> list[Path]:
    return [file.with_name(file.name + ending) for ending in BESIDE]


def refuse_a_full_log(file: Path) -> None:
    """The last one to close a database empties its log. What is still in it belongs to somebody who has it open."""
    for log in logs_of(file):
        if log.name.endswith("-wal") and log.exists() and log.stat().st_size:
            raise Trouble("Another program has the book open. Stop it, then restore again.")
        log.unlink(missing_ok=True)
