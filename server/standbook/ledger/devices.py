"""The server's record of each device (LG5, LG7, LG10)."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from sqlalchemy import BindParameter, Connection, bindparam, insert, select, union_all, update

from standbook.database import Quick
from standbook.ledger.models import Conflict, Device, HeldBack
from standbook.ledger.wire import DealtWith, Mine, Push, Replaced

NEW = Mine(count=0, next_no=1, head=None)

# Statements made once: making them anew would take longer than they do.
SHOP: BindParameter[str] = bindparam("shop")
DEVICE: BindParameter[str] = bindparam("device")
RECORD = Quick(select(Device.next_no, Device.head).where(Device.shop == SHOP, Device.id == DEVICE))
DEALT_WITH = Quick(
    union_all(
        *(
            select(table.device_no, table.dealt_by, table.dealt_reason, table.dealt_at).where(
                table.shop == SHOP, table.device == DEVICE, table.dealt_at.is_not(None)
            )
            for table in (HeldBack, Conflict)
        )
    ).order_by("device_no", "dealt_at")
)
UPDATE = update(Device).where(Device.shop == bindparam("at_shop"), Device.id == bindparam("at_device"))


def mine(connection: Connection, shop: str, device: str) -> Mine:
    """Every number below next_no is used up and its entry kept: in the book, held back, or beside it."""
    row = RECORD.row(connection, {"shop": shop, "device": device})
    if row is None:
        return NEW
    next_no, head = row
    return Mine(next_no - 1, next_no, head, dealt_with(connection, shop, device))


def dealt_with(connection: Connection, shop: str, device: str) -> list[DealtWith]:
    """What the device may take off its list: people have looked at it (LG6)."""
    found: list[DealtWith] = []
    rows: Iterable[Any] = DEALT_WITH.rows(connection, {"shop": shop, "device": device})
    found.extend(DealtWith(*row) for row in rows)
    return found


def note_contact(
    connection: Connection, shop: str, push: Push, record: Mine, received_at: str, skew_ms: int | None
) -> None:
    """Stores what a push taught about its device: number, head, name, version, clock.

    Entries that another device hands in are no contact with the one that wrote them.
    """
    values: dict[str, Any] = {"next_no": record.next_no, "head": record.head}
    said = about(push, skew_ms) if push.carrier in (None, push.device) else {}
    contact = {} if push.carried else {"last_contact": received_at}
    if update_device(connection, shop, push.device, {**values, **said, **contact}) == 0:
        new = {"shop": shop, "id": push.device, "first_contact": received_at, "last_contact": received_at}
        connection.execute(insert(Device), [{**new, **values, **about(push, skew_ms)}])
    if push.replaces is not None and push.replaces.device != push.device:
        note_replaced(connection, shop, push.replaces, push.device)


def about(push: Push, skew_ms: int | None) -> dict[str, Any]:
    said = {"name": push.device_name, "app_version": push.app_version, "skew_ms": skew_ms}
    return said if push.made is None else {**said, "made": push.made}


@lru_cache(maxsize=16)
def update_of(*names: str) -> Quick:
    return Quick(UPDATE.values({name: bindparam(f"to_{name}") for name in names}))


def update_device(connection: Connection, shop: str, device: str, values: dict[str, Any]) -> int:
    given = {f"to_{name}": value for name, value in values.items()}
    return update_of(*values).run(connection, {"at_shop": shop, "at_device": device, **given})


def note_replaced(connection: Connection, shop: str, old: Replaced, device: str) -> None:
    """The old device stays in the book's list; what it had made and never sent can be told from its numbers."""
    query = select(Device.made).where(Device.shop == shop, Device.id == old.device)
    made = connection.execute(query).scalar_one_or_none() or 0
    update_device(connection, shop, old.device, {"replaced_by": device, "made": max(made, old.made)})


def successors(connection: Connection, shop: str, device: str) -> set[str]:
    """What its browser has been since: the device that took its place, and so on."""
    found: set[str] = set()
    at: str | None = device
    while at is not None and at not in found:
        found.add(at)
        query = select(Device.replaced_by).where(Device.shop == shop, Device.id == at)
        at = connection.execute(query).scalar_one_or_none()
    return found - {device}


def devices(connection: Connection, shop: str) -> list[dict[str, Any]]:
    """Phones and browsers, the one that was heard of last first."""
    columns = (Device.id, Device.name, Device.next_no, Device.made, Device.last_contact, Device.replaced_by)
    query = select(*columns).where(Device.shop == shop).order_by(Device.last_contact.desc(), Device.id)
    return [listed(row) for row in connection.execute(query)]


def listed(row: Any) -> dict[str, Any]:
    """`unsent`: made and not yet here when it was last heard of. `lost`: the same of a device that is no more."""
    count = row.next_no - 1
    waiting = max(0, (row.made or 0) - count)
    gone = row.replaced_by is not None
    return {
        "id": row.id,
        "name": row.name,
        "count": count,
        "made": row.made,
        "unsent": 0 if gone else waiting,
        "lost": waiting if gone else 0,
        "last_contact": row.last_contact,
        "replaced_by": row.replaced_by,
    }
