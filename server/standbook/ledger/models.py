"""Tables of the ledger. They only ever gain columns; retired names are not reused (LG12)."""

from sqlalchemy import BigInteger, ForeignKey, Index, Integer, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from standbook.database import Base

ID = String(64)
STAMP = String(24)
SHA256 = String(64)
NO_HASH = "0" * 64


class Shop(Base):
    """The shop and its counter row: the place where order is made (LG8). `epoch` names this run of numbers (LG9)."""

    __tablename__ = "shops"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    epoch: Mapped[str] = mapped_column(ID)
    last_seq: Mapped[int] = mapped_column(BigInteger, default=0)
    head: Mapped[str] = mapped_column(SHA256, default=NO_HASH)
    created_at: Mapped[str] = mapped_column(STAMP)


class Entry(Base):
    """One fact as its device wrote it: `text` is the truth, the columns beside it are for finding it (LG2).

    `skew_ms`: device clock minus server clock when it was sent (LG10). `prev`, `hash`: the chain over the shop's order.
    """

    __tablename__ = "entries"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    seq: Mapped[int] = mapped_column(BigInteger, primary_key=True, autoincrement=False)
    id: Mapped[str] = mapped_column(ID)
    build: Mapped[str] = mapped_column(ID)
    kind: Mapped[str] = mapped_column(ID)
    step: Mapped[str | None] = mapped_column(ID)
    place: Mapped[str | None] = mapped_column(ID)
    why: Mapped[str | None] = mapped_column(ID)
    person: Mapped[str] = mapped_column(ID)
    device: Mapped[str] = mapped_column(ID)
    device_no: Mapped[int] = mapped_column(BigInteger)
    made_at: Mapped[str] = mapped_column(ID)
    seen: Mapped[int] = mapped_column(BigInteger)
    trade_version: Mapped[str] = mapped_column(ID)
    received_at: Mapped[str] = mapped_column(STAMP)
    skew_ms: Mapped[int | None] = mapped_column(BigInteger)
    prev: Mapped[str] = mapped_column(SHA256)
    hash: Mapped[str] = mapped_column(SHA256)
    text: Mapped[str] = mapped_column(Text)

    __table_args__ = (
        UniqueConstraint("shop", "id"),
        UniqueConstraint("shop", "device", "device_no"),
        Index(None, "shop", "build", "seq"),
    )


class Device(Base):
    """A phone or a desk's browser: which number it sends next (LG5) and the hash of its last stored entry (LG7).

    `made`: the highest number that it said it had given out. `replaced_by`: the device that its browser is now, after
    its storage was cleared or its identity was found on two phones.
    """

    __tablename__ = "devices"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    id: Mapped[str] = mapped_column(ID, primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    next_no: Mapped[int] = mapped_column(BigInteger)
    head: Mapped[str | None] = mapped_column(SHA256)
    app_version: Mapped[str] = mapped_column(ID)
    skew_ms: Mapped[int | None] = mapped_column(BigInteger)
    first_contact: Mapped[str] = mapped_column(STAMP)
    last_contact: Mapped[str] = mapped_column(STAMP)
    made: Mapped[int | None] = mapped_column(BigInteger)
    replaced_by: Mapped[str | None] = mapped_column(ID)


class Aside:
    """What is kept beside the book until a person has dealt with it: held-back entries and conflicts (LG4, LG6).

    `raw`: the entry's bytes as they came; None where it was too large, then `size` (bytes) and `sha256` speak for it.
    """

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    device: Mapped[str] = mapped_column(ID)
    device_no: Mapped[int] = mapped_column(BigInteger)
    entry: Mapped[str | None] = mapped_column(ID)
    build: Mapped[str | None] = mapped_column(ID)
    code: Mapped[str] = mapped_column(ID)
    message: Mapped[str] = mapped_column(Text)
    raw: Mapped[bytes | None] = mapped_column(LargeBinary)
    size: Mapped[int] = mapped_column(BigInteger)
    sha256: Mapped[str] = mapped_column(SHA256)
    received_at: Mapped[str] = mapped_column(STAMP)
    skew_ms: Mapped[int | None] = mapped_column(BigInteger)
    dealt_at: Mapped[str | None] = mapped_column(STAMP)
    dealt_by: Mapped[str | None] = mapped_column(ID)
    dealt_reason: Mapped[str | None] = mapped_column(Text)


class HeldBack(Aside, Base):
    """An entry that the book could not take. It has used up its device number (LG6)."""

    __tablename__ = "held_back"

    __table_args__ = (UniqueConstraint("shop", "device", "device_no"), Index(None, "shop", "entry"))


class Conflict(Aside, Base):
    """The second of two entries that claim the same id or the same number of a device (LG4).

    `used_number`: whether its device number was still free and is used up by it.
    """

    __tablename__ = "conflicts"

    used_number: Mapped[bool] = mapped_column()

    __table_args__ = (UniqueConstraint("shop", "device", "device_no", "sha256"), Index(None, "shop", "entry"))


class BatchSignature(Base):
    """What a device's key says of a batch that it sent: that these entries, in this order, came from it.

    `signer`: the device whose key it is; another one than `device` where it handed the entries in. `signature`: base64.
    """

    __tablename__ = "batch_signatures"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    device: Mapped[str] = mapped_column(ID, primary_key=True)
    from_no: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    to_no: Mapped[int] = mapped_column(BigInteger)
    signer: Mapped[str] = mapped_column(ID)
    signature: Mapped[str] = mapped_column(String(120))
    received_at: Mapped[str] = mapped_column(STAMP)


class PinProof(Base):
    """That the person of an entry gave the own PIN for it: which of the person's PINs, on whose phone."""

    __tablename__ = "pin_proofs"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    entry: Mapped[str] = mapped_column(ID, primary_key=True)
    person: Mapped[str] = mapped_column(ID)
    pin_number: Mapped[int] = mapped_column(Integer)
    device: Mapped[str] = mapped_column(ID)
    received_at: Mapped[str] = mapped_column(STAMP)


class Blob(Base):
    """A file that travels apart from the entry that names it (LG13); its bytes lie in the blob folder."""

    __tablename__ = "blobs"

    sha256: Mapped[str] = mapped_column(SHA256, primary_key=True)
    size: Mapped[int] = mapped_column(BigInteger)
    received_at: Mapped[str] = mapped_column(STAMP)


class Photo(Base):
    """A picture under the hash of the bytes that its phone stored (LG13). What the shop keeps is a copy drawn anew,
    without anything but the picture, under that copy's own hash."""

    __tablename__ = "photos"

    sha256: Mapped[str] = mapped_column(SHA256, primary_key=True)
    stored_sha256: Mapped[str] = mapped_column(ForeignKey("blobs.sha256"))
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)
    received_at: Mapped[str] = mapped_column(STAMP)
