"""The wire of the sync routes, defined once. The OpenAPI document takes its schema from here.

Structs pass over fields they do not know, so a newer phone may send more (LG12).
"""

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Raw, Struct, UnsetType

# JSON can name a NUL; not every database can keep one.
WRITABLE = r"^[^\0]*$"
Id = Annotated[str, Meta(min_length=1, max_length=64, pattern=WRITABLE)]
# What a phone's numbers hold exactly, and every database.
MOST_NUMBER = 2**53
Number = Annotated[int, Meta(ge=1, le=MOST_NUMBER)]
Made = Annotated[int, Meta(ge=0, le=MOST_NUMBER)]
# 64 bytes as base64 are 88 letters.
Signature = Annotated[str, Meta(max_length=120, pattern=WRITABLE)]
MOST_ENTRIES = 1000
MOST_PULLED = 1000
USUAL_PULL = 200

Result = Literal["stored", "already", "held", "conflict", "refused"]


class Replaced(Struct):
    """The device that this browser was before, and the highest number that it had given out as that."""

    device: Id
    made: Made = 0


class Proof(Struct):
    """That `person` gave the own PIN for the entry with this number: sealed to the shop's key, and good for it alone.

    `sealed`: base64 of RSA-OAEP (SHA-256) over JSON {"pin", "number" of the PIN, "entry": the entry's id}.
    """

    device_no: Number
    person: Id
    sealed: Annotated[str, Meta(max_length=1024)]


class Push(Struct):
    """What a device sends: its entries in order, entry i with device number from_no + i. `now`: its clock.

    `made`: the highest number that it has given out. `replaces`: what it was before its storage was cleared or its
    identity was found on another phone. `carrier`: the device that hands in these entries of another one. `signature`:
    of its sender's key over the whole batch (`ledger/signatures.py`), base64.
    """

    device: Id
    from_no: Number
    # Raw: each entry is decoded apart, so that a broken one holds up none of the others (LG6).
    entries: Annotated[list[Raw], Meta(max_length=MOST_ENTRIES)]
    now: str = ""
    device_name: Annotated[str, Meta(max_length=120, pattern=WRITABLE)] = ""
    app_version: Annotated[str, Meta(max_length=64, pattern=WRITABLE)] = ""
    made: Made | None = None
    replaces: Replaced | None = None
    carrier: Id | None = None
    proofs: Annotated[list[Proof], Meta(max_length=MOST_ENTRIES)] = []
    signature: Signature = ""

    @property
    def sender(self) -> str:
        """The device that asks, whoever wrote the entries."""
        return self.carrier or self.device

    @property
    def carried(self) -> bool:
        """Whether another device hands these entries in: its clock and version tell nothing of the one they are of."""
        return self.carrier not in (None, self.device)


class Answer(Struct, gc=False):
    """What became of one entry. `seq`: its place in the shop's book, where it has one."""

    device_no: int
    id: str | None
    result: Result
    seq: int | None = None
    code: str | None = None
    message: str | None = None


class DealtWith(Struct):
    """A held-back entry or conflict of the asking device that somebody has dealt with (LG6)."""

    device_no: int
    person: str
    reason: str
    at: str


class Mine(Struct):
    """The server's record of the asking device (LG7): numbers used up, next one, hash of its last entry in the book."""

    count: int
    next_no: int
    head: str | None
    dealt: list[DealtWith] = []


class Pushed(Struct):
    answers: list[Answer]
    next_no: int
    epoch: str
    last_seq: int
    server_now: str
    mine: Mine


class PulledEntry(Struct, gc=False):
    """`text` is the entry byte for byte as its device wrote it."""

    seq: int
    received_at: str
    prev: str
    hash: str
    text: str


#: What stands at one place of many texts; one text where it is the same in all of them.
Column = str | tuple[str, ...]


class Columns(Struct):
    """A page of entries taken apart: see `ledger/columns.py`. They follow each other from `first_seq` on.

    `prev`: the hash before the first of them, `hash`: that of the last. Those between follow from the texts.
    `order`: for each text, in which of the `tables` it is the next row.
    """

    first_seq: int
    prev: str
    hash: str
    received_at: Column
    order: list[int]
    tables: list[list[Column]]


class Pulled(Struct):
    """`reset`: the cursor is not of this book; what follows starts from zero (LG9). `columns` instead of `entries`
    where they were asked for and there are any.

    `pins`: a mark that changes with every PIN. A device has the new PINs before it says that it has seen these entries.
    """

    epoch: str
    reset: bool
    entries: list[PulledEntry]
    last_seq: int
    more: bool
    server_now: str
    pins: str = ""
    mine: Mine | UnsetType = UNSET
    columns: Columns | UnsetType = UNSET
