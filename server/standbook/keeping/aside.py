"""Putting aside what a restore is about to replace, so that nothing is lost by it.

A book that can be read becomes a backup without its files: they stay in the shop's folder, which only ever gains.
"""

from pathlib import Path

from sqlalchemy import Connection, func, select

from standbook.errors import Problem
from standbook.keeping.backup import new_file, new_name, write
from standbook.keeping.progress import Progress
from standbook.ledger.counter import the_shop
from standbook.ledger.models import Entry

START = "before-restore"


def put_aside(connection: Connection, folder: Path, revision: str, progress: Progress) -> Path | None:
    """Where the book lies now; None for one that nobody has opened yet. Raises Trouble when it cannot be read."""
    if is_empty(connection):
        return None
    target = new_name(folder, START)
    with new_file(target) as path:
        write(connection, path, revision, None, progress)
    return target


def is_empty(connection: Connection) -> bool:
    try:
        the_shop(connection)
        return False
    except Problem:
        return connection.execute(select(func.count()).select_from(Entry)).scalar_one() == 0
