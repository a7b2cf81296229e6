"""Entries on their way into their table."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection, Dialect, insert

from standbook.ledger.models import Entry

#: The order of a row's values.
COLUMNS = tuple(column.name for column in Entry.__table__.columns)


@lru_cache(maxsize=4)
def statement(dialect: Dialect) -> tuple[str, bool]:
    """The driver's own words, and whether it takes the values by place."""
    compiled = insert(Entry).compile(dialect=dialect)
    by_place = compiled.positiontup is not None
    if by_place and tuple(compiled.positiontup or ()) != COLUMNS:
        raise TypeError("the columns of an entry have another order than the table's")
    return str(compiled), by_place


def put_entries(connection: Connection, rows: Sequence[tuple[Any, ...]]) -> None:
    """Rows in the order of `COLUMNS`. They go straight to the driver: SQLAlchemy's care for each of a row's 19 values
    takes half as long again as the database does."""
    if not rows:
        return
    words, by_place = statement(connection.dialect)
    given: Any = list(rows) if by_place else [dict(zip(COLUMNS, row, strict=True)) for row in rows]
    connection.exec_driver_sql(words, given)
