"""What the book already has of a pushed batch: read once, inside the transaction that will add to it.

The statements are made once; making them anew would take longer than they do. By number and by id are two looks: with
an OR between them SQLite walks through the whole book. Of numbers that nobody has used yet nothing can be known.
"""

import hashlib
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

import msgspec
from sqlalchemy import (
    ARRAY,
    BindParameter,
    ColumnElement,
    Connection,
    String,
    any_,
    bindparam,
    cast,
    func,
    select,
)

from standbook.database import Quick
from standbook.ledger.entry_text import Incoming
from standbook.ledger.missing import CODE as MISSING
from standbook.ledger.models import Conflict, Entry, HeldBack
from standbook.ledger.wire import Result


class Prior(NamedTuple):
    """An entry that came before, with the answer that it got."""

    sha256: str
    id: str | None
    device_no: int
    result: Result
    seq: int | None = None
    code: str | None = None
    message: str | None = None


class Known:
    """Prior entries by device number and by id; grows while a batch is taken in."""

    def __init__(self) -> None:
        self._by_number: dict[int, list[Prior]] = {}
        self._by_id: dict[str, list[Prior]] = {}
        # Of the batch itself, by id: what is asked of few of them is made when it is asked.
        self._just_now: dict[str, list[tuple[Incoming, Result, int | None, str | None, str | None]]] = {}

    def add(self, prior: Prior, own: bool = True) -> None:
        """`own`: it came from the device that is sending now, so that its number counts too."""
        if own:
            self._by_number.setdefault(prior.device_no, []).append(prior)
        if prior.id is not None:
            self._by_id.setdefault(prior.id, []).append(prior)

    def took(
        self, one: Incoming, result: Result, seq: int | None, code: str | None = None, message: str | None = None
    ) -> None:
        """An entry of this very batch, found by its id alone: numbers only rise within a batch, so nobody asks for
        this one again."""
        if one.id is not None:
            self._just_now.setdefault(one.id, []).append((one, result, seq, code, message))

    def _with_id(self, ident: str | None) -> list[Prior]:
        if ident is None:
            return []
        just_now = self._just_now.get(ident)
        before = self._by_id.get(ident, [])
        if just_now is None:
            return before
        return before + [
            Prior(one.sha256, one.id, one.no, result, seq, code, message)
            for one, result, seq, code, message in just_now
        ]

    def same(self, one: Incoming) -> Prior | None:
        """The very same bytes under the same number, or under the same id."""
        candidates = self._by_number.get(one.no, []) + self._with_id(one.id)
        return next((prior for prior in candidates if prior.sha256 == one.sha256), None)

    def misses(self, number: int) -> bool:
        """The number was passed over, and its entry has not come (LG9)."""
        priors = self._by_number.get(number, [])
        return bool(priors) and all(prior.code == MISSING for prior in priors)

    def found(self, number: int) -> None:
        self._by_number[number] = [prior for prior in self._by_number[number] if prior.code != MISSING]

    def claims_id(self, one: Incoming) -> Prior | None:
        """Another entry, in the book or held back, with this id and other bytes (LG4)."""
        candidates = self._with_id(one.id)
        if not candidates:
            return None
        return next((prior for prior in candidates if prior.sha256 != one.sha256), None)


SHOP: BindParameter[str] = bindparam("shop")
DEVICE: BindParameter[str] = bindparam("device")
FIRST: BindParameter[int] = bindparam("first")
LAST: BindParameter[int] = bindparam("last")


class EntryRow(NamedTuple):
    id: str
    device: str
    device_no: int
    seq: int
    text: str


class HeldRow(NamedTuple):
    sha256: str
    entry: str | None
    device_no: int
    device: str
    code: str
    message: str


class ConflictRow(NamedTuple):
    sha256: str
    device_no: int
    code: str
    message: str


# Columns in the order of those rows.
_entry = select(Entry.id, Entry.device, Entry.device_no, Entry.seq, Entry.text).where(Entry.shop == SHOP)
_held = select(
    HeldBack.sha256, HeldBack.entry, HeldBack.device_no, HeldBack.device, HeldBack.code, HeldBack.message
).where(HeldBack.shop == SHOP)
ENTRIES_BY_NUMBER = Quick(_entry.where(Entry.device == DEVICE, Entry.device_no.between(FIRST, LAST)))
HELD_BY_NUMBER = Quick(_held.where(HeldBack.device == DEVICE, HeldBack.device_no.between(FIRST, LAST)))
CONFLICTS = Quick(
    select(Conflict.sha256, Conflict.device_no, Conflict.code, Conflict.message).where(
        Conflict.shop == SHOP, Conflict.device == DEVICE, Conflict.device_no.between(FIRST, LAST)
    )
)


def among(column: Any, dialect: str) -> ColumnElement[bool]:
    """Whether a column has one of the ids, which go to the database as one value: a parameter for each of hundreds
    takes longer than looking them up."""
    if dialect == "postgresql":
        same: ColumnElement[bool] = column == any_(cast(bindparam("ids"), ARRAY(String)))
        return same
    ids = func.json_each(bindparam("ids")).table_valued("value")
    found: ColumnElement[bool] = column.in_(select(ids.c.value))
    return found


ENTRIES_BY_ID = {name: Quick(_entry.where(among(Entry.id, name))) for name in ("sqlite", "postgresql")}
HELD_BY_ID = {name: Quick(_held.where(among(HeldBack.entry, name))) for name in ("sqlite", "postgresql")}


def known_of(connection: Connection, shop: str, device: str, next_no: int, incoming: Sequence[Incoming]) -> Known:
    """`next_no`: every number of the device below it is used up, and none from it on (LG5)."""
    known = Known()
    if not incoming:
        return known
    first, last = incoming[0].no, min(incoming[-1].no, next_no - 1)
    entries: list[Any] = []
    held: list[Any] = []
    if first <= last:
        given = {"shop": shop, "device": device, "first": first, "last": last}
        entries += ENTRIES_BY_NUMBER.rows(connection, given)
        held += HELD_BY_NUMBER.rows(connection, given)
        add_conflicts(known, map(ConflictRow._make, CONFLICTS.rows(connection, given)))
    dialect = connection.dialect.name
    ids = [one.id for one in incoming if one.id]
    given = {"shop": shop, "ids": ids if dialect == "postgresql" else msgspec.json.encode(ids).decode()}
    entries += ENTRIES_BY_ID[dialect].rows(connection, given)
    held += HELD_BY_ID[dialect].rows(connection, given)
    add_entries(known, dict.fromkeys(map(EntryRow._make, entries)), device)
    add_held(known, dict.fromkeys(map(HeldRow._make, held)), device)
    return known


def add_entries(known: Known, rows: Iterable[EntryRow], device: str) -> None:
    for row in rows:
        sha256 = hashlib.sha256(row.text.encode()).hexdigest()
        known.add(Prior(sha256, row.id, row.device_no, "already", row.seq), own=row.device == device)


def add_held(known: Known, rows: Iterable[HeldRow], device: str) -> None:
    for row in rows:
        prior = Prior(row.sha256, row.entry, row.device_no, "held", None, row.code, row.message)
        known.add(prior, own=row.device == device)


def add_conflicts(known: Known, rows: Iterable[ConflictRow]) -> None:
    for row in rows:
        # Without its id: it is the second of two, and claims nothing.
        known.add(Prior(row.sha256, None, row.device_no, "conflict", None, row.code, row.message))
