"""Reading the book on from a cursor: seq has no gaps, so a count tells whether anything is missing (LG7, LG9)."""

from typing import NamedTuple

from msgspec import UNSET
from sqlalchemy import Connection, bindparam, select

from standbook import clock
from standbook.ledger import devices
from standbook.ledger.columns import columns_of
from standbook.ledger.counter import Counter, read_counter
from standbook.ledger.models import Entry
from standbook.ledger.wire import MOST_PULLED, Mine, Pulled, PulledEntry
from standbook.people import pins

# Made once: every page asks it.
PAGE = (
    select(Entry.seq, Entry.received_at, Entry.prev, Entry.hash, Entry.text)
    .where(Entry.shop == bindparam("shop"), Entry.seq > bindparam("after"))
    .order_by(Entry.seq)
    .limit(bindparam("limit"))
)


class Cursor(NamedTuple):
    """Where a device stands. `after`: the last seq it has, of the book named `epoch` ("" when it has none).

    `columns`: it takes a page as columns.
    """

    epoch: str
    after: int
    limit: int
    device: str | None
    columns: bool = False


class Standing(NamedTuple):
    """What decides an answer: equal standings get equal answers."""

    counter: Counter
    mine: Mine | None
    reset: bool
    after: int


def standing(connection: Connection, shop: str, cursor: Cursor) -> Standing:
    """LG9: an unknown epoch or a cursor from the future means a restored book; the device starts from zero."""
    counter = read_counter(connection, shop)
    record = devices.mine(connection, shop, cursor.device) if cursor.device else None
    strange = cursor.epoch != counter.epoch and (cursor.epoch != "" or cursor.after > 0)
    reset = strange or cursor.after > counter.last_seq
    return Standing(counter, record, reset, 0 if reset else max(0, cursor.after))


def pull(connection: Connection, at: Standing, limit: int, columns: bool = False) -> Pulled:
    """The next entries in order; inside one read transaction, so that count and entries belong together."""
    given = {"shop": at.counter.shop, "after": at.after, "limit": max(1, min(limit, MOST_PULLED))}
    entries = [PulledEntry(*row) for row in connection.execute(PAGE, given).all()]
    reached = entries[-1].seq if entries else at.after
    pulled = Pulled(
        epoch=at.counter.epoch,
        reset=at.reset,
        entries=[] if columns else entries,
        last_seq=at.counter.last_seq,
        more=reached < at.counter.last_seq,
        server_now=clock.now_stamp(),
        pins=pins.mark(connection, at.counter.shop),
        columns=columns_of(entries) if columns and entries else UNSET,
    )
    if at.mine is not None:
        pulled.mine = at.mine
    return pulled
