"""What is known of each device against what the book and the tables beside it hold (LG5, LG6, LG7)."""

import hashlib
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, select

from standbook.ledger.models import Conflict, Device, Entry, HeldBack


def device_findings(connection: Connection, shop: str) -> Iterator[str]:
    """Every number that a device used up is in the book, held back or beside it; none is used by two; the last hash
    that the device is told is that of its last entry."""
    used, heads = used_numbers(connection, shop)
    columns = (Device.id, Device.name, Device.next_no, Device.head)
    for device in connection.execute(select(*columns).where(Device.shop == shop)):
        name, last = device.name or device.id, device.next_no - 1
        if not follow(used.pop(device.id, []), last):
            yield f"Device {name}: its numbers up to {last} are not all in the book once."
        if device.head != heads.get(device.id):
            yield f"Device {name}: the hash noted for it is not that of its last entry."
    for unknown, numbers in used.items():
        yield f"Device {unknown}: it wrote {len(numbers)} entries, and the list of devices does not have it."


def follow(numbers: list[int], last: int) -> bool:
    """Whether they are 1 to `last`, each once."""
    return len(numbers) == last and sorted(numbers) == list(range(1, last + 1))


def used_numbers(connection: Connection, shop: str) -> tuple[dict[str, list[int]], dict[str, str]]:
    """By device: the numbers that are used up, and the hash of its last entry."""
    used: dict[str, list[int]] = {}
    heads: dict[str, str] = {}
    # By the device's own numbers: one that was missing may have come after those behind it (LG9).
    in_book = select(Entry.device, Entry.device_no, Entry.hash).where(Entry.shop == shop).order_by(Entry.device_no)
    for row in connection.execute(in_book):
        used.setdefault(row.device, []).append(row.device_no)
        heads[row.device] = row.hash
    beside = (
        select(HeldBack.device, HeldBack.device_no).where(HeldBack.shop == shop),
        select(Conflict.device, Conflict.device_no).where(Conflict.shop == shop, Conflict.used_number),
    )
    for query in beside:
        for device, number in connection.execute(query):
            used.setdefault(device, []).append(number)
    return used, heads


def aside_findings(connection: Connection, shop: str) -> Iterator[str]:
    """The bytes of what is kept beside the book are still those that came."""
    for table, words in ((HeldBack, "The held-back entry"), (Conflict, "The second of two entries,")):
        columns = (table.device, table.device_no, table.raw, table.size, table.sha256)
        for row in connection.execute(select(*columns).where(table.shop == shop)):
            if not fits(row):
                yield f"{words} number {row.device_no} of device {row.device} was changed."


def fits(row: Any) -> bool:
    """One that was too large has left only its size and hash."""
    return row.raw is None or (len(row.raw) == row.size and hashlib.sha256(row.raw).hexdigest() == row.sha256)
