"""Held-back entries and conflicts, visible at the desk until a person has dealt with them (LG4, LG6)."""

from collections.abc import Callable
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, and_, or_, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.models import Conflict, Device, Entry, HeldBack
from standbook.ledger.wire import MOST_NUMBER


class Asides(NamedTuple):
    held: list[dict[str, Any]]
    conflicts: list[dict[str, Any]]


def asides(connection: Connection, shop: str) -> Asides:
    """Everything that nobody has dealt with yet, oldest first."""
    conflicts = listed(connection, shop, Conflict)
    for conflict in conflicts:
        conflict["first"] = first_of(connection, shop, conflict)
    return Asides(listed(connection, shop, HeldBack), conflicts)


def listed(connection: Connection, shop: str, table: type[HeldBack] | type[Conflict]) -> list[dict[str, Any]]:
    columns = [column for column in table.__table__.columns if not column.name.startswith("dealt")]
    same = and_(Device.shop == table.shop, Device.id == table.device)
    query = select(*columns, Device.name.label("device_name")).join(Device, same, isouter=True)
    query = query.where(table.shop == shop, table.dealt_at.is_(None)).order_by(
        table.received_at, table.device, table.device_no, table.id
    )
    return [shown(dict(row)) for row in connection.execute(query).mappings()]


def shown(row: dict[str, Any]) -> dict[str, Any]:
    """`text`: the bytes as far as they are text, for a person to read; None where only size and hash were kept."""
    raw = row.pop("raw")
    return {**row, "text": None if raw is None else raw.decode("utf-8", "replace")}


def first_of(connection: Connection, shop: str, conflict: dict[str, Any]) -> dict[str, Any] | None:
    """The entry in the book that has the id, or this device's number, that the second one claims."""
    number = and_(Entry.device == conflict["device"], Entry.device_no == conflict["device_no"])
    claim = Entry.id == conflict["entry"] if conflict["code"] == "same_id" else number
    query = select(Entry.seq, Entry.text).where(Entry.shop == shop, or_(claim))
    row = connection.execute(query).mappings().first()
    return dict(row) if row else None


def deal(connection: Connection, shop: str, aside: str, person: str, reason: str) -> None:
    """Notes that a person has dealt with it. The bytes stay. Raises Problem unknown_held or already_dealt."""
    note_dealt(connection, person, reason, lambda table: (table.shop == shop) & (table.id == aside))


def deal_by_number(connection: Connection, shop: str, device: str, device_no: int, person: str, reason: str) -> None:
    """The same for all that stands beside the book under a number of a device: what the device itself knows it by."""

    if device_no > MOST_NUMBER:
        raise Problem("unknown_held")

    def same(table: type[HeldBack] | type[Conflict]) -> ColumnElement[bool]:
        return and_(table.shop == shop, table.device == device, table.device_no == device_no)

    note_dealt(connection, person, reason, same)


def note_dealt(
    connection: Connection,
    person: str,
    reason: str,
    which: Callable[[type[HeldBack] | type[Conflict]], ColumnElement[bool]],
) -> None:
    values = {"dealt_at": clock.now_stamp(), "dealt_by": person, "dealt_reason": reason}
    queries = [select(table.dealt_by).where(which(table)) for table in (HeldBack, Conflict)]
    before = [by for query in queries for by in connection.scalars(query)]
    if not before:
        raise Problem("unknown_held")
    if None not in before:
        raise Problem("already_dealt", person=before[0])
    for table in (HeldBack, Conflict):
        connection.execute(update(table).where(which(table), table.dealt_at.is_(None)).values(**values))
