"""The one database handle, and how SQLite is opened so that a commit that was answered survives a power cut."""

import sqlite3
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import Connection, Engine, Executable, MetaData, event
from sqlalchemy.dialects import sqlite
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import DeclarativeBase

# How long SQLite itself waits for another program's lock. Our own writers queue before they get here.
BUSY_MS = 10_000
# Bytes of a page, of a database that is new; one that is there keeps its own. A row of the book takes a kilobyte: three
# go into SQLite's usual 4 KB, seven into this, and a batch writes half as many pages.
PAGE = 8192
# Pages of the log after which it is folded into the database. SQLite's own 1,000 come after a few batches of a phone,
# and the same pages of the indexes are written over and over: a third of the time of a long push.
# The writers fold it beside their work before that (`writing.Folding`), but for a program that lags behind.
LOG_PAGES = 4000
PRAGMAS = (
    # Before there is a log.
    f"page_size={PAGE}",
    "journal_mode=WAL",
    "synchronous=FULL",
    f"wal_autocheckpoint={LOG_PAGES}",
    "foreign_keys=ON",
    # Zeros over what is deleted: an erased customer is not left in the free space of a page.
    "secure_delete=ON",
)
WRITES = "standbook_writes"


class Base(DeclarativeBase):
    """Constraint names are spelled out, so that a later migration can name what it changes on any database."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


db = SQLAlchemy(model_class=Base)


def open_sqlite_safely(engine: Engine) -> None:
    """WAL with synchronous=FULL, and transactions begun by us: BEGIN IMMEDIATE for writers, a snapshot for readers."""
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_pragmas)
        event.listen(engine, "begin", _begin)


def _set_pragmas(connection: Any, _record: Any) -> None:
    # None: the driver begins nothing by itself; its own habit would start a writer as a reader and fail on the upgrade.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout={BUSY_MS}")
    for pragma in PRAGMAS:
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    straight(connection, "BEGIN IMMEDIATE" if writes else "BEGIN")


class Quick:
    """A statement that every batch asks, made once. To SQLite's driver it goes straight: SQLAlchemy's care for it and
    its answer takes several times as long as SQLite does."""

    def __init__(self, statement: Executable) -> None:
        self._statement = statement

    @cached_property
    def _words(self) -> str:
        return str(self._statement.compile(dialect=sqlite.dialect(paramstyle="named")))  # type: ignore[attr-defined]

    def rows(self, connection: Connection, given: Mapping[str, Any]) -> Sequence[Any]:
        if connection.dialect.name == "sqlite":
            return straight(connection, self._words, given).fetchall()
        return connection.execute(self._statement, given).all()

    def row(self, connection: Connection, given: Mapping[str, Any]) -> Any:
        """The one row that there is; None where there is none."""
        found = self.rows(connection, given)
        return found[0] if found else None

    def run(self, connection: Connection, given: Mapping[str, Any]) -> int:
        """How many rows it changed."""
        if connection.dialect.name == "sqlite":
            return straight(connection, self._words, given).rowcount
        return int(connection.execute(self._statement, given).rowcount)


def straight(connection: Connection, words: str, given: Mapping[str, Any] | Sequence[Any] = ()) -> sqlite3.Cursor:
    """Straight to SQLite's driver, whose errors come as SQLAlchemy would have them."""
    driver: Any = connection.connection.driver_connection
    try:
        asked: sqlite3.Cursor = driver.execute(words, given)
    except sqlite3.Error as error:
        raise DBAPIError.instance(words, None, error, sqlite3.Error, hide_parameters=True) from error
    return asked
