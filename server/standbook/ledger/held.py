"""Held-back entries and conflicts, visible at the desk until a person has dealt with them (LG4, LG6)."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, and_, or_, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.ledger.models import Conflict, Device, Entry, HeldBack


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
    for table in (HeldBack, Conflict):
        query = select(table.dealt_by).where(table.shop == shop, table.id == aside)
        row = connection.execute(query).one_or_none()
        if row is None:
            continue
        if row.dealt_by is not None:
            raise Problem("already_dealt", person=row.dealt_by)
        values = {"dealt_at": clock.now_stamp(), "dealt_by": person, "dealt_reason": reason}
        connection.execute(update(table).where(table.id == aside).values(**values))
        return
    raise Problem("unknown_held")
