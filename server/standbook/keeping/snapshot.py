"""One moment of the book, for as long as it takes to read it."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine


@contextmanager
def snapshot(engine: Engine) -> Iterator[Connection]:
    """A connection that sees one moment: SQLite's WAL gives that, PostgreSQL has to be asked. Nobody waits for it.

    Closed without a commit: a damaged file refuses one, and there is nothing to commit.
    """
    isolation = "REPEATABLE READ" if engine.dialect.name == "postgresql" else None
    options = {"isolation_level": isolation} if isolation else {}
    with engine.connect().execution_options(**options) as connection:
        connection.begin()
        yield connection
