"""The server's record of each device (LG5, LG7, LG10)."""

from typing import Any

from sqlalchemy import Connection, insert, select, update

from standbook.ledger.models import Device
from standbook.ledger.wire import Mine, Push

NEW = Mine(count=0, next_no=1, head=None)


def mine(connection: Connection, shop: str, device: str) -> Mine:
    """Every number below next_no is used up and its entry kept: in the book, held back, or beside it."""
    query = select(Device.next_no, Device.head).where(Device.shop == shop, Device.id == device)
    row = connection.execute(query).one_or_none()
    return Mine(row.next_no - 1, row.next_no, row.head) if row else NEW


def note_contact(
    connection: Connection, shop: str, push: Push, record: Mine, received_at: str, skew_ms: int | None
) -> None:
    """Stores what a push taught about its device: number, head, name, version, clock."""
    values: dict[str, Any] = {
        "name": push.device_name,
        "app_version": push.app_version,
        "next_no": record.next_no,
        "head": record.head,
        "skew_ms": skew_ms,
        "last_contact": received_at,
    }
    where = (Device.shop == shop) & (Device.id == push.device)
    if connection.execute(update(Device).where(where).values(**values)).rowcount == 0:
        new = {"shop": shop, "id": push.device, "first_contact": received_at}
        connection.execute(insert(Device), [{**new, **values}])
