"""The shop's counter row and the chain over it (LG8)."""

import hashlib
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select, update

from standbook.database import Quick
from standbook.errors import Problem
from standbook.ledger.models import Shop


class Counter(NamedTuple):
    """`last_seq` and `head`: number and hash of the shop's last entry."""

    shop: str
    epoch: str
    last_seq: int
    head: str


# Made once: every request asks them.
FIRST_SHOP = select(Shop.id).order_by(Shop.created_at).limit(1)
COUNTER = Quick(select(Shop.id, Shop.epoch, Shop.last_seq, Shop.head).where(Shop.id == bindparam("shop")))
_this = update(Shop).where(Shop.id == bindparam("shop"))
LOCK = Quick(_this.values(last_seq=Shop.last_seq))
ADVANCE = Quick(_this.values(last_seq=bindparam("seq"), head=bindparam("hash")))


def the_shop(connection: Connection) -> str:
    """Id of the one shop of this book. Raises Problem no_shop."""
    shop = connection.execute(FIRST_SHOP).scalar_one_or_none()
    if shop is None:
        raise Problem("no_shop")
    return shop


def read_counter(connection: Connection, shop: str) -> Counter:
    return Counter(*COUNTER.row(connection, {"shop": shop}))


def lock_counter(connection: Connection, shop: str) -> Counter:
    """LG8: the row is locked by a statement of its own, and only then read and looked up what is there already.

    On SQLite BEGIN IMMEDIATE has locked everything before; on PostgreSQL this is the queue of the writers.
    """
    LOCK.run(connection, {"shop": shop})
    return read_counter(connection, shop)


def advance(connection: Connection, counter: Counter) -> None:
    ADVANCE.run(connection, {"shop": counter.shop, "seq": counter.last_seq, "hash": counter.head})


def chained(prev: str, text: str) -> str:
    """sha256(32 raw bytes of prev, then the entry's bytes), as hex."""
    return hashlib.sha256(bytes.fromhex(prev) + text.encode()).hexdigest()
