"""Tables as lines of JSON, a row a line: the same from SQLite and from PostgreSQL, and read by any program.

Text is written as it is. Bytes, which JSON does not have, stand as {"base64": …}.
"""

import base64
import json
from collections.abc import Iterator
from typing import Any

from sqlalchemy import JSON, Column, Connection, RowMapping, Table, func, select

from standbook.database import Base

#: Signing in again is no loss, and a session in a copy would be a key lying about.
LEFT_OUT = ("sessions", "sign_in_misses", "device_sessions", "challenges", "one_time_codes")
PAGE = 1000
#: Bytes; the longest row of ours, an entry held back with its message, stays below a twentieth of it.
MOST_ROW = 4 * 1024 * 1024
MOST_NUMBER = 2**63 - 1


def tables() -> list[Table]:
    """Every table that is kept, each after those that it refers to."""
    return [table for table in Base.metadata.sorted_tables if table.name not in LEFT_OUT]


def count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def lines(connection: Connection, table: Table) -> Iterator[bytes]:
    for row in mappings(connection, table):
        yield json.dumps({name: packed(row[name]) for name in row}, ensure_ascii=False).encode() + b"\n"


def mappings(connection: Connection, table: Table) -> Iterator[RowMapping]:
    """The rows in the order of the primary key; memory holds a page of them at a time."""
    query = select(table).order_by(*table.primary_key.columns).execution_options(yield_per=PAGE)
    with connection.execute(query) as rows:
        yield from rows.mappings()


def packed(value: Any) -> Any:
    return {"base64": base64.b64encode(value).decode()} if isinstance(value, bytes) else value


def kind_of(column: Column[Any]) -> type:
    return dict if isinstance(column.type, JSON) else column.type.python_type


def fits(column: Column[Any], value: Any) -> bool:
    """Whether a value from outside is of the column's kind: SQLite itself would take any."""
    kind = kind_of(column)
    if kind is int:
        return type(value) is int and abs(value) <= MOST_NUMBER
    return isinstance(value, kind)


def row_of(line: bytes) -> dict[str, Any]:
    """Raises ValueError for a line that is no row."""
    row = read_json(line)
    if not isinstance(row, dict):
        raise ValueError("a row is an object")
    return {name: unpacked(value) for name, value in row.items()}


def read_json(text: str | bytes) -> Any:
    """Raises ValueError also for brackets without end."""
    try:
        return json.loads(text)
    except RecursionError as error:
        raise ValueError("too deep") from error


def unpacked(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"base64"} and isinstance(value["base64"], str):
        return base64.b64decode(value["base64"], validate=True)
    return value
