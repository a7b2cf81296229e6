"""A backup of a shop, consistent while it is being written to: every table as it stood at one moment.

Readers see one snapshot (SQLite's WAL, PostgreSQL's REPEATABLE READ), so nobody has to wait. Blobs never change and
never go, so those that the snapshot names are there whenever they are copied.
"""

import os
import re
import tempfile
from contextlib import suppress
from pathlib import Path

from sqlalchemy import Connection, Engine, Table, select

from standbook import clock
from standbook.keeping import rows
from standbook.keeping.archive import Writing
from standbook.keeping.progress import Progress, silent, told
from standbook.keeping.trouble import Trouble
from standbook.ledger.blobs import BlobStore, flush_folder
from standbook.ledger.counter import Counter, read_counter, the_shop
from standbook.ledger.models import Blob

ENDING = ".standbook.tar"


def file_name() -> str:
    """Sorts by time: book-2026-11-25T08-30-00-000.standbook.tar."""
    return f"book-{re.sub('[:.]', '-', clock.now_stamp().removesuffix('Z'))}{ENDING}"


def backup(engine: Engine, store: BlobStore, revision: str, target: Path, progress: Progress = silent) -> Counter:
    """Writes a backup to `target`; gives how far the book in it goes. Raises Trouble.

    It is written beside and named at its end: a backup that was cut short never has a backup's name.
    """
    if target.exists():
        raise Trouble(f"{target} is there already. Name another file.")
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.part")
    try:
        counter = write(engine, store, revision, beside, progress)
        with beside.open("rb") as file:
            os.fsync(file.fileno())
        beside.replace(target)
        flush_folder(target.parent)
        return counter
    except OSError as error:
        raise Trouble(f"The backup could not be written: {error}. Make room, or name another folder.") from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def write(engine: Engine, store: BlobStore, revision: str, path: Path, progress: Progress) -> Counter:
    archive = Writing(path)
    isolation = "REPEATABLE READ" if engine.dialect.name == "postgresql" else None
    options = {"isolation_level": isolation} if isolation else {}
    with engine.connect().execution_options(**options) as connection, connection.begin():
        counter = read_counter(connection, the_shop(connection))
        for table in rows.tables():
            add_table(archive, connection, table, path.parent, progress)
        addresses = list(connection.scalars(select(Blob.sha256).order_by(Blob.sha256)))
    for address in told(addresses, "files", len(addresses), progress):
        add_blob(archive, store, address)
    about = {"shop": counter.shop, "last_seq": counter.last_seq, "head": counter.head}
    archive.close(made_at=clock.now_stamp(), revision=revision, **about)
    return counter


def add_table(archive: Writing, connection: Connection, table: Table, folder: Path, progress: Progress) -> None:
    with tempfile.NamedTemporaryFile(dir=folder, suffix=".part") as file:
        for line in told(rows.lines(connection, table), table.name, rows.count(connection, table), progress):
            file.write(line)
        file.flush()
        archive.add_file(f"tables/{table.name}.jsonl", Path(file.name))


def add_blob(archive: Writing, store: BlobStore, address: str) -> None:
    """A file that is gone is told by `standbook check`; the rest of the book is kept all the same."""
    with suppress(FileNotFoundError):
        archive.add_file(f"blobs/{address}", store.path(address))
