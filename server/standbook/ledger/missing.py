"""Numbers of a device whose entries are not here (LG5, LG9).

A restored book may lack what only its lost tables had: entries that it kept back, which no phone pulls. What others
carry of that device would wait behind them for ever. So the number is passed over by name, in sight at the desk, and
its entry takes it up when it comes after all.
"""

from collections.abc import Sequence

from sqlalchemy import Connection, delete, select

from standbook.errors import entry_message
from standbook.ledger.entry_text import Incoming
from standbook.ledger.models import Entry, HeldBack
from standbook.ledger.wire import Push

CODE = "number_missing"
# More at once than a phone ever had kept back: such a push is a mistake.
MOST = 1000


def may_pass_over(push: Push, number: int, next_no: int) -> bool:
    """A device itself sends every number in its order; only who carries for it may not have them all."""
    return push.carrier not in (None, push.device) and number - next_no <= MOST


def missing(number: int) -> Incoming:
    """Stands for the entry until it comes: no bytes, and the reason why."""
    return Incoming(number, None, 0, fault=(CODE, entry_message(CODE, number=number)))


def take_away(connection: Connection, shop: str, device: str, numbers: Sequence[int]) -> None:
    """Their entries have come."""
    same = (HeldBack.shop == shop) & (HeldBack.device == device) & (HeldBack.code == CODE)
    connection.execute(delete(HeldBack).where(same, HeldBack.device_no.in_(numbers)))


def head_of(connection: Connection, shop: str, device: str) -> str | None:
    """Hash of the device's last entry by its own numbers: the order of coming says nothing here."""
    query = select(Entry.hash).where(Entry.shop == shop, Entry.device == device)
    return connection.execute(query.order_by(Entry.device_no.desc()).limit(1)).scalar_one_or_none()
