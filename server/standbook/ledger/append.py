"""Taking a pushed batch into the book: duplicate check, numbers and entries in one commit (LG5, LG8)."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from sqlalchemy import Connection, select

from standbook.ledger import devices
from standbook.ledger.batch import Batch
from standbook.ledger.counter import Counter, lock_counter
from standbook.ledger.entry_text import Incoming
from standbook.ledger.known import known_of
from standbook.ledger.models import Entry
from standbook.ledger.signatures import Signed, keep
from standbook.ledger.wire import Answer, Mine, Push
from standbook.people.authority import PROVEN_KINDS
from standbook.people.proofs import Looked
from standbook.people.roster import authors, with_pin


class Outcome(NamedTuple):
    answers: list[Answer]
    counter: Counter
    mine: Mine


class Door(NamedTuple):
    """What is known of who stands behind a push. `proofs`: by device number; `pins_wanted`: nobody signs without;
    `signed`: by which device's key the batch came."""

    signed_in: str | None
    proofs: Mapping[int, Looked] = MappingProxyType({})
    pins_wanted: bool = False
    signed: Signed | None = None


def append(connection: Connection, shop: str, push: Push, incoming: Sequence[Incoming], door: Door) -> Outcome:
    """Takes the batch in. Inside a write transaction; the counter is locked before anything is looked up (LG8)."""
    counter = lock_counter(connection, shop)
    record = devices.mine(connection, shop, push.device)
    batch = Batch(push, counter, record, known_of(connection, shop, push.device, record.next_no, incoming))
    batch.people = authors(connection, shop)
    batch.struck = strikable(connection, shop, incoming)
    batch.signed_in = door.signed_in
    batch.proofs = door.proofs
    batch.without_pin = "missing" if door.pins_wanted else "none"
    if any(one.head and one.head.kind in PROVEN_KINDS for one in incoming):
        batch.with_pin = with_pin(connection, shop)
    for one in incoming:
        batch.take(one)
    batch.store(connection)
    if door.signed:
        keep(connection, shop, push, door.signed, batch.answers, batch.received_at)
    return Outcome(batch.answers, batch.counter, batch.record)


def strikable(connection: Connection, shop: str, incoming: Sequence[Incoming]) -> dict[str, tuple[str, str]]:
    """Build and person of every entry in the book that this batch strikes out."""
    targets = [one.target for one in incoming if one.target]
    if not targets:
        return {}
    query = select(Entry.id, Entry.build, Entry.person).where(Entry.shop == shop, Entry.id.in_(targets))
    return {row.id: (row.build, row.person) for row in connection.execute(query)}
