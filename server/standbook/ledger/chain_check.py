"""Reads the whole book and says in words whether it still holds together."""

from collections.abc import Iterator
from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection, Row, func, select

from standbook.ledger.brain import from_json
from standbook.ledger.counter import Counter, chained, read_counter
from standbook.ledger.entry_text import Head
from standbook.ledger.models import NO_HASH, Blob, Conflict, Device, Entry, HeldBack
from standbook.trade.plain import Refusal

FIELDS = Head.__struct_fields__
PAGE = 500


class Report(NamedTuple):
    """`findings`: one sentence each; none means that the book holds together."""

    entries: int
    devices: int
    open_asides: int
    blobs: int
    findings: list[str]


def check_book(connection: Connection, shop: str) -> Report:
    counter = read_counter(connection, shop)
    findings = [*chain_findings(connection, counter), *device_findings(connection, shop)]
    waiting = [
        select(func.count()).select_from(table).where(table.shop == shop, table.dealt_at.is_(None))
        for table in (HeldBack, Conflict)
    ]
    return Report(
        entries=counter.last_seq,
        devices=count(connection, select(func.count()).select_from(Device).where(Device.shop == shop)),
        open_asides=sum(count(connection, query) for query in waiting),
        blobs=count(connection, select(func.count()).select_from(Blob)),
        findings=findings,
    )


def count(connection: Connection, query: Any) -> int:
    return int(connection.execute(query).scalar_one())


def chain_findings(connection: Connection, counter: Counter) -> Iterator[str]:
    """Every number once, every hash over the bytes and the hash before, every column as the text has it."""
    seq, head = 0, NO_HASH
    for row in all_entries(connection, counter.shop):
        seq += 1
        if row.seq != seq:
            yield f"After entry {seq - 1} comes {row.seq}: entries are missing."
            seq = row.seq
        if row.prev != head or row.hash != chained(row.prev, row.text):
            yield f"Entry {row.seq} does not fit the chain: its text or one before it was changed."
        if not fits_columns(row):
            yield f"Entry {row.seq}: what it is found by differs from its text."
        head = row.hash
    if (seq, head) != (counter.last_seq, counter.head):
        yield f"The shop's counter says {counter.last_seq} entries, the book ends with {seq}."


def all_entries(connection: Connection, shop: str) -> Iterator[Row[Any]]:
    columns = [Entry.seq, Entry.prev, Entry.hash, Entry.text, *(getattr(Entry, name) for name in FIELDS)]
    after = 0
    while True:
        query = select(*columns).where(Entry.shop == shop, Entry.seq > after).order_by(Entry.seq).limit(PAGE)
        rows = connection.execute(query).all()
        yield from rows
        if len(rows) < PAGE:
            return
        after = rows[-1].seq


def fits_columns(row: Row[Any]) -> bool:
    try:
        head = msgspec.convert(from_json(row.text), Head)
    except (Refusal, msgspec.ValidationError):
        return False
    return all(getattr(head, name) == getattr(row, name) for name in FIELDS)


def device_findings(connection: Connection, shop: str) -> Iterator[str]:
    """LG5: every number that a device used up is in the book, held back or beside it; none is used by two."""
    used: dict[str, list[int]] = {}
    kept = (
        select(Entry.device, Entry.device_no).where(Entry.shop == shop),
        select(HeldBack.device, HeldBack.device_no).where(HeldBack.shop == shop),
        select(Conflict.device, Conflict.device_no).where(Conflict.shop == shop, Conflict.used_number),
    )
    for query in kept:
        for row in connection.execute(query):
            used.setdefault(row.device, []).append(row.device_no)
    for device in connection.execute(select(Device.id, Device.name, Device.next_no).where(Device.shop == shop)):
        if sorted(used.get(device.id, [])) != list(range(1, device.next_no)):
            name, last = device.name or device.id, device.next_no - 1
            yield f"Device {name}: its numbers up to {last} are not all in the book once."
