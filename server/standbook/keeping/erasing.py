"""Erasing a customer: the row, the traces in the database's file, and which older copies still hold them."""

import os
from pathlib import Path
from typing import NamedTuple

from standbook.config import Settings
from standbook.keeping.progress import Progress, silent
from standbook.keeping.scrub import Copy, copies, scrub
from standbook.ledger.service import Ledger
from standbook.people import customers
from standbook.people.access import NOWHERE, Whence


class Erased(NamedTuple):
    """`clean`: nothing of it is left in the database's own file. `copies`: older ones of the book that hold it."""

    at: str
    clean: bool
    copies: list[Copy]


def erase(
    settings: Settings,
    ledger: Ledger,
    which: str,
    by: str,
    reason: str,
    whence: Whence = NOWHERE,
    progress: Progress = silent,
) -> Erased:
    """Raises Problem unknown_customer or reason_tells. Of one who was erased before it cleans the file once more."""
    with ledger.writer.writing() as connection:
        at = customers.erase(connection, ledger.shop(), which, by, reason, whence)
    remember(settings.erased, which, at, by)
    progress("fields emptied", 1, 1)
    clean = scrub(ledger.engine, ledger.writer)
    progress("database written anew", 1, 1)
    return Erased(at, clean, copies(settings.backups, settings.data, which, progress))


def remember(file: Path, which: str, at: str, by: str) -> None:
    """Beside the database, since a restore puts another one in its place. Ids and a time, nothing else."""
    with file.open("a", encoding="utf-8") as lines:
        lines.write(f"{which} {at} {by}\n")
        lines.flush()
        os.fsync(lines.fileno())


def remembered(file: Path) -> dict[str, tuple[str, str]]:
    """When each was erased and by whom, by id; a line that a crash has cut short is none."""
    lines = file.read_text(encoding="utf-8").splitlines() if file.exists() else []
    parts = [line.split(" ", 2) for line in lines]
    return {part[0]: (part[1], part[2]) for part in parts if len(part) == 3}
