"""Opening a book for a shop."""

from sqlalchemy import Connection, insert, select

from standbook import clock
from standbook.ids import uuid7
from standbook.ledger.models import NO_HASH, Shop


def open_shop(connection: Connection, name: str) -> str:
    """A new shop with an empty book; gives its id. Raises ValueError when this book already belongs to one."""
    if connection.execute(select(Shop.id)).first():
        raise ValueError("this book already belongs to a shop")
    if not 1 <= len(name.strip()) <= 120:
        raise ValueError("a shop's name has 1 to 120 letters")
    shop, epoch = uuid7(), uuid7()
    row = {"id": shop, "name": name.strip(), "epoch": epoch, "last_seq": 0, "head": NO_HASH}
    connection.execute(insert(Shop), [{**row, "created_at": clock.now_stamp()}])
    return shop


def shop_name(connection: Connection, shop: str) -> str:
    return connection.execute(select(Shop.name).where(Shop.id == shop)).scalar_one()
