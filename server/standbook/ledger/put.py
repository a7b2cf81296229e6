"""Entries on their way into their table."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain
from typing import Any

from sqlalchemy import Connection, Dialect, insert

from standbook.database import straight
from standbook.ledger.models import Entry

#: The order of a row's values.
COLUMNS = tuple(column.name for column in Entry.__table__.columns)
#: Rows that go to SQLite as one statement, a phone's batch: row by row its driver gives the interpreter away and waits
#: for it again 200 times. 3,800 values, where SQLite takes 32,766 since its version 3.32.
TOGETHER = 200


@lru_cache(maxsize=4)
def statement(dialect: Dialect) -> tuple[str, bool]:
    """The driver's own words, and whether it takes the values by place."""
    compiled = insert(Entry).compile(dialect=dialect)
    by_place = compiled.positiontup is not None
    if by_place and tuple(compiled.positiontup or ()) != COLUMNS:
        raise TypeError("the columns of an entry have another order than the table's")
    return str(compiled), by_place


@lru_cache(maxsize=4)
def for_many(words: str) -> str:
    """The statement for one row made one for `TOGETHER`: its last parenthesis, as often as that."""
    row = words[words.rindex("(") :]
    return words + f", {row}" * (TOGETHER - 1)


def put_entries(connection: Connection, rows: Sequence[tuple[Any, ...]]) -> None:
    """Rows in the order of `COLUMNS`. They go straight to the driver: SQLAlchemy's care for each of a row's 19 values
    takes half as long again as the database does."""
    if not rows:
        return
    words, by_place = statement(connection.dialect)
    if by_place:
        put_by_place(connection, words, rows)
    else:
        connection.exec_driver_sql(words, [dict(zip(COLUMNS, row, strict=True)) for row in rows])


def put_by_place(connection: Connection, words: str, rows: Sequence[tuple[Any, ...]]) -> None:
    whole = len(rows) - len(rows) % TOGETHER
    for at in range(0, whole, TOGETHER):
        straight(connection, for_many(words), tuple(chain.from_iterable(rows[at : at + TOGETHER])))
    if whole < len(rows):
        connection.exec_driver_sql(words, list(rows[whole:]))
