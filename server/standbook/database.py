"""The one database handle, and how SQLite is opened so that a commit that was answered survives a power cut."""

from typing import Any

from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import Connection, Engine, MetaData, event
from sqlalchemy.orm import DeclarativeBase

# How long SQLite itself waits for another program's lock. Our own writers queue before they get here.
BUSY_MS = 10_000
# Pages of the log (4 KB each) after which it is folded into the database. SQLite's own 1,000 come after three batches
# of a phone, and the same pages of the indexes are written over and over: a third of the time of a long push.
# The writers fold it beside their work before that (`writing.Folding`), but for a program that lags behind.
LOG_PAGES = 8000
PRAGMAS = (
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
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
