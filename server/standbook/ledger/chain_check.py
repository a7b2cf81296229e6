"""Reads the whole book and says in words whether it still holds together.

It is made for damaged books: whatever cannot be read is a finding, and the rest is read all the same.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection, Row, func, select
from sqlalchemy.exc import DBAPIError

from standbook.errors import Problem
from standbook.ledger import device_check
from standbook.ledger.brain import from_json
from standbook.ledger.counter import Counter, chained, read_counter
from standbook.ledger.entry_text import Head
from standbook.ledger.models import NO_HASH, Blob, Conflict, Device, Entry, HeldBack
from standbook.trade.plain import Refusal

FIELDS = Head.__struct_fields__
#: All of them, so that what cannot be read is met.
COLUMNS = list(Entry.__table__.columns)
PAGE = 500
#: What damaged text and numbers raise where whole ones are worked with.
DAMAGED = (DBAPIError, TypeError, ValueError, AttributeError)

#: Passes the entries on; it may tell how many there are and how far it has come.
Watch = Callable[[Iterable[Any], int], Iterable[Any]]


class Report(NamedTuple):
    """`findings`: one sentence each; none means that the book holds together."""

    entries: int
    devices: int
    open_asides: int
    blobs: int
    findings: list[str]


def unwatched(entries: Iterable[Any], _of: int) -> Iterable[Any]:
    return entries


def check_book(connection: Connection, shop: str, watch: Watch = unwatched) -> Report:
    counter = read_counter(connection, shop)
    findings = [
        *read_all(connection, "The entries", chain_findings(connection, counter, watch)),
        *read_all(connection, "The devices", device_check.device_findings(connection, shop)),
        *read_all(connection, "What is held back", device_check.aside_findings(connection, shop)),
    ]
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


def read_all(connection: Connection, what: str, findings: Iterator[str]) -> Iterator[str]:
    """The findings of one part; a part that cannot be read to its end is one more, and the next part is still read."""
    mark = connection.begin_nested()
    try:
        yield from findings
    except DAMAGED as error:
        yield f"{what} cannot be read to the end: {reason(error)}."
    mark.rollback()


def reason(error: Exception) -> str:
    """What the database or the machine says, without a full stop."""
    said = error.orig if isinstance(error, DBAPIError) else error
    return str(said.details.get("reason", said) if isinstance(said, Problem) else said).rstrip(".")


def count(connection: Connection, query: Any) -> int:
    """0 where a damaged table cannot be counted: the findings say so."""
    try:
        with connection.begin_nested():
            return int(connection.execute(query).scalar_one())
    except DBAPIError:
        return 0


def chain_findings(connection: Connection, counter: Counter, watch: Watch = unwatched) -> Iterator[str]:
    """Every number once, every hash over the bytes and the hash before, every column as the text has it."""
    seq, head = 0, NO_HASH
    for row in watch(all_entries(connection, counter), counter.last_seq):
        if isinstance(row, Unread):
            seq, head = row.seq, ""
            yield f"Entry {row.seq} cannot be read: {row.reason}."
            continue
        seq += 1
        if row.seq != seq:
            yield f"After entry {seq - 1} comes {row.seq}: entries are missing."
            seq = row.seq
        if row.prev != (head or row.prev) or not fits_chain(row):
            yield f"Entry {row.seq} does not fit the chain: its text or one before it was changed."
        if not fits_columns(row):
            yield f"Entry {row.seq}: what it is found by differs from its text."
        head = row.hash
    if seq != counter.last_seq:
        yield f"The shop's counter says {counter.last_seq} entries, the book ends with {seq}."
    elif head not in ("", counter.head):
        yield "The shop's counter ends with another hash than its last entry."


class Unread(NamedTuple):
    """An entry that the database cannot give."""

    seq: int
    reason: str


def all_entries(connection: Connection, counter: Counter) -> Iterator[Row[Any] | Unread]:
    query = select(*COLUMNS).where(Entry.shop == counter.shop).order_by(Entry.seq).limit(PAGE)
    after = 0
    while True:
        try:
            with connection.begin_nested():
                rows = connection.execute(query.where(Entry.seq > after)).all()
        except DBAPIError:
            yield from one_by_one(connection, counter, after)
            after += PAGE
            continue
        yield from rows
        if len(rows) < PAGE:
            return
        after = rows[-1].seq


def one_by_one(connection: Connection, counter: Counter, after: int) -> Iterator[Row[Any] | Unread]:
    """The entries of a page that could not be read as a whole. Raises DBAPIError when none of them can."""
    found = [one(connection, counter, seq) for seq in range(after + 1, min(after + PAGE, counter.last_seq) + 1)]
    if not any(isinstance(row, Row) for row in found):
        connection.execute(select(*COLUMNS).where(Entry.shop == counter.shop, Entry.seq > after)).all()
    yield from (row for row in found if row is not None)


def one(connection: Connection, counter: Counter, seq: int) -> Row[Any] | Unread | None:
    query = select(*COLUMNS).where(Entry.shop == counter.shop, Entry.seq == seq)
    try:
        with connection.begin_nested():
            return connection.execute(query).first()
    except DBAPIError as error:
        return Unread(seq, reason(error))


def fits_chain(row: Row[Any]) -> bool:
    try:
        return bool(row.hash == chained(row.prev, row.text))
    except DAMAGED:
        return False


def fits_columns(row: Row[Any]) -> bool:
    try:
        head = head_of(row.text)
    except (Refusal, msgspec.MsgspecError, *DAMAGED):
        return False
    return all(getattr(head, name) == getattr(row, name) for name in FIELDS)


def head_of(text: str) -> Head:
    """The quick reader first: it takes a tenth of the time. The strict one has the last word."""
    try:
        return msgspec.json.decode(text, type=Head)
    except msgspec.MsgspecError:
        return msgspec.convert(from_json(text), Head)
