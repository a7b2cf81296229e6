"""Every kept signature asked again, over the texts that the book and the tables beside it have now."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from sqlalchemy import Connection, Row, func, select

from standbook.errors import Problem
from standbook.ledger.models import BatchSignature, Conflict, Device, Entry, HeldBack
from standbook.ledger.signatures import message, public_key
from standbook.people.device_keys import fits

#: Held back as they came over the wire: what was signed was the text in it, which nobody could read.
UNREAD = ("not_text", "bad_utf8")
#: Numbers whose texts are read at once: most batches are of one entry.
WINDOW = 1000
BATCHES = select(*BatchSignature.__table__.columns)

#: Passes the signatures on; it may tell how many there are and how far it has come.
Watch = Callable[[Iterable[Any], int], Iterable[Any]]


class Text(NamedTuple):
    """What is kept under a number. `data`: None where its bytes are not here."""

    data: bytes | None
    received_at: str


@dataclass
class Texts:
    """Of one device, from a number to another. `used`: what used each number up. `beside`: what another one wrote
    under the same number (LG4)."""

    device: str
    first: int
    last: int
    used: dict[int, Text] = field(default_factory=dict)
    beside: dict[int, Text] = field(default_factory=dict)

    def cover(self, row: Row[Any]) -> bool:
        return bool(self.device == row.device and self.first <= row.from_no and row.to_no <= self.last)


class Verdict(NamedTuple):
    """`proven`: the texts that the signature fits, by number. `doubt`: why it cannot be told; None beside no proof
    means that the book has other bytes than the device signed."""

    proven: dict[int, bytes] | None
    doubt: str | None = None


@dataclass
class Signatures:
    """How many batches are proven, and a sentence for each that cannot be proved now; that breaks nothing."""

    proven: int = 0
    doubtful: list[str] = field(default_factory=list)


def unwatched(rows: Iterable[Any], _of: int) -> Iterable[Any]:
    return rows


def signature_findings(connection: Connection, shop: str, found: Signatures, watch: Watch = unwatched) -> Iterator[str]:
    """A sentence for each signature that does not fit what the book has; the others are counted in `found`."""
    ask = Questions(connection, shop)
    names = {row.id: row.name for row in connection.execute(select(Device.id, Device.name).where(Device.shop == shop))}
    mine = BatchSignature.shop == shop
    count = connection.execute(select(func.count()).select_from(BatchSignature).where(mine)).scalar_one()
    rows = connection.execute(BATCHES.where(mine).order_by(BatchSignature.device, BatchSignature.from_no)).all()
    for row in watch(rows, count):
        verdict = ask.judged(row)
        if verdict.proven is not None:
            found.proven += 1
        elif verdict.doubt is None:
            yield f"{which(row, names)}: what the book has there is not what {signer(row)} signed."
        else:
            found.doubtful.append(f"{which(row, names)} cannot be proved: {verdict.doubt}.")


def which(row: Row[Any], names: dict[str, str]) -> str:
    name = names.get(row.device) or row.device
    return f"Device {name}, numbers {row.from_no} to {row.to_no}"


def signer(row: Row[Any]) -> str:
    return "it" if row.signer == row.device else f"device {row.signer}, which handed them in,"


class Questions:
    """Judges signatures; what it has read lately it need not read again."""

    def __init__(self, connection: Connection, shop: str) -> None:
        self.connection = connection
        self.shop = shop
        self._keys: dict[str, str | None] = {}
        self._texts = Texts("", 0, 0)

    def judged(self, row: Row[Any]) -> Verdict:
        key = self.key(row.signer)
        if key is None:
            return Verdict(None, f"the key of device {row.signer} is not here")
        texts = self.texts(row)
        # Where two wrote under one number, this may be the word of either.
        for candidate in (texts.used, {**texts.used, **texts.beside}):
            whole = all_of(row, candidate)
            if whole and fits(key, row.signature, message(row.device, row.from_no, [*whole.values()])):
                return Verdict(whole)
        return Verdict(None, doubt(row, texts))

    def key(self, device: str) -> str | None:
        if device not in self._keys:
            self._keys[device] = public_key(self.connection, self.shop, device)
        return self._keys[device]

    def texts(self, row: Row[Any]) -> Texts:
        if not self._texts.cover(row):
            last = max(row.to_no, row.from_no + WINDOW)
            self._texts = read_texts(self.connection, self.shop, Texts(row.device, row.from_no, last))
        return self._texts


def read_texts(connection: Connection, shop: str, texts: Texts) -> Texts:
    """Fills them in."""

    def here(table: Any) -> tuple[Any, ...]:
        return table.shop == shop, table.device == texts.device, table.device_no.between(texts.first, texts.last)

    query = select(Entry.device_no, Entry.text, Entry.received_at).where(*here(Entry))
    for no, text, received_at in connection.execute(query):
        texts.used[no] = Text(text.encode(), received_at)
    held = select(HeldBack.device_no, HeldBack.raw, HeldBack.code, HeldBack.received_at).where(*here(HeldBack))
    for no, raw, code, received_at in connection.execute(held):
        texts.used[no] = Text(None if code in UNREAD else raw, received_at)
    columns = (Conflict.device_no, Conflict.raw, Conflict.used_number, Conflict.received_at)
    for no, raw, used, received_at in connection.execute(select(*columns).where(*here(Conflict))):
        (texts.used if used else texts.beside)[no] = Text(raw, received_at)
    return texts


def all_of(row: Row[Any], texts: dict[int, Text]) -> dict[int, bytes] | None:
    """The bytes of every number of the batch; None where those of one are not here."""
    found = {no: texts[no].data for no in numbers(row) if no in texts}
    whole = {no: data for no, data in found.items() if data is not None}
    return whole if len(whole) == row.to_no - row.from_no + 1 else None


def numbers(row: Row[Any]) -> range:
    return range(row.from_no, row.to_no + 1)


def doubt(row: Row[Any], texts: Texts) -> str | None:
    """Why a signature that does not fit need not mean that the book was changed; None where nothing speaks for that."""
    for no in numbers(row):
        kept = texts.used.get(no)
        if kept is None or kept.data is None:
            return f"the bytes of number {no} are not here"
        if no in texts.beside:
            return f"two wrote under number {no}"
        if kept.received_at > row.received_at:
            return f"number {no} came later than the signature"
    return None


def proof(connection: Connection, shop: str, entry: str) -> dict[str, Any]:
    """Which device and whose key an entry came from. Raises Problem unknown_entry."""
    device, no, data = place_of(connection, shop, entry)
    covers = (BatchSignature.from_no <= no, BatchSignature.to_no >= no)
    query = BATCHES.where(BatchSignature.shop == shop, BatchSignature.device == device, *covers)
    rows = connection.execute(query.order_by(BatchSignature.from_no)).all()
    ask = Questions(connection, shop)
    proven = [row for row in rows if data is not None and (ask.judged(row).proven or {}).get(no) == data]
    # The device's own word tells more than that of one who carried for it.
    best = min(proven or rows, key=lambda row: row.signer != device, default=None)
    said = {"from_no": best.from_no, "to_no": best.to_no, "signer": best.signer} if best else NOTHING_SAID
    return {"entry": entry, "device": device, **said, "proven": bool(proven)}


NOTHING_SAID = {"from_no": None, "to_no": None, "signer": None}


class Place(NamedTuple):
    device: str
    no: int
    data: bytes | None


def place_of(connection: Connection, shop: str, entry: str) -> Place:
    """Where an entry lies, in the book or beside it. Raises Problem unknown_entry."""
    book = select(Entry.device, Entry.device_no, Entry.text).where(Entry.shop == shop, Entry.id == entry)
    found = [Place(device, no, text.encode()) for device, no, text in connection.execute(book)]
    for table in (HeldBack, Conflict):
        beside = select(table.device, table.device_no, table.raw).where(table.shop == shop, table.entry == entry)
        found.extend(Place(*row) for row in connection.execute(beside))
    if not found:
        raise Problem("unknown_entry")
    return found[0]
