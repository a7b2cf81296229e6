"""Tables of people, of how people and devices prove who they are, and of the shop's gauges."""

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from standbook.database import Base

# Ids and times are text on purpose: they are compared and handed on, never reckoned with.
ID = String(64)
STAMP = String(24)
#: None is no value, and not the word null of JSON.
MAYBE_JSON = JSON(none_as_null=True)


class Person(Base):
    """Someone of the shop. Removed people stay, since the book names them; `left_at` ends what they may do."""

    __tablename__ = "people"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    name: Mapped[str] = mapped_column(String(80))
    role: Mapped[str] = mapped_column(String(20))
    password_hash: Mapped[str | None] = mapped_column(String(200))
    created_at: Mapped[str] = mapped_column(STAMP)
    left_at: Mapped[str | None] = mapped_column(STAMP)


class Session(Base):
    """A signed-in browser. The token itself is only in the cookie; here is its sha256."""

    __tablename__ = "sessions"

    token_sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    person: Mapped[str] = mapped_column(ForeignKey("people.id"))
    created_at: Mapped[str] = mapped_column(STAMP)
    expires_at: Mapped[str] = mapped_column(STAMP)

    __table_args__ = (Index(None, "person"),)


class SignInMiss(Base):
    """Tries in a row for a name as it was given, known or not, so that the answer does not tell them apart."""

    __tablename__ = "sign_in_misses"

    name_sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    tries: Mapped[int] = mapped_column()
    locked_until: Mapped[str | None] = mapped_column(STAMP)
    last_at: Mapped[str] = mapped_column(STAMP)


class Pin(Base):
    """A person's PIN at the stand, as a slow hash that a phone can check without network. The highest `number` counts.

    `at_seq`: the book's last seq when it was set; what was signed before a phone pulled the change had the one before.
    """

    __tablename__ = "pins"

    person: Mapped[str] = mapped_column(ForeignKey("people.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    salt: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))
    iterations: Mapped[int] = mapped_column()
    set_at: Mapped[str] = mapped_column(STAMP)
    set_by: Mapped[str] = mapped_column(ID)
    at_seq: Mapped[int] = mapped_column(BigInteger)


class OneTimeCode(Base):
    """A code that lets one device or one person in, once and for a short time; here is its sha256.

    `purpose`: "phone" or "first lead". `person`: whom it lets in, where it is for a person.
    """

    __tablename__ = "one_time_codes"

    code_sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    purpose: Mapped[str] = mapped_column(String(20))
    person: Mapped[str | None] = mapped_column(ForeignKey("people.id"))
    made_by: Mapped[str | None] = mapped_column(ID)
    made_at: Mapped[str] = mapped_column(STAMP)
    expires_at: Mapped[str] = mapped_column(STAMP)
    used_at: Mapped[str | None] = mapped_column(STAMP)


class JoinedDevice(Base):
    """A phone or browser that the shop trusts: the public half of its key (P-256, SPKI as base64).

    `joined_by`: the lead who made the code, or who signed in on it. `cut_off_at`: from then on it is let in no more.
    """

    __tablename__ = "joined_devices"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    device: Mapped[str] = mapped_column(ID, primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    public_key: Mapped[str] = mapped_column(String(200))
    joined_at: Mapped[str] = mapped_column(STAMP)
    joined_by: Mapped[str] = mapped_column(ID)
    cut_off_at: Mapped[str | None] = mapped_column(STAMP)
    cut_off_by: Mapped[str | None] = mapped_column(ID)
    cut_off_reason: Mapped[str | None] = mapped_column(Text)


class DeviceSession(Base):
    """A device that has proved its key. The token itself is only in the cookie; here is its sha256."""

    __tablename__ = "device_sessions"

    token_sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    device: Mapped[str] = mapped_column(ID)
    created_at: Mapped[str] = mapped_column(STAMP)
    expires_at: Mapped[str] = mapped_column(STAMP)

    __table_args__ = (Index(None, "device"),)


class Challenge(Base):
    """Random text that a device signs to prove its key; good once, for a minute."""

    __tablename__ = "challenges"

    text_sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    expires_at: Mapped[str] = mapped_column(STAMP)


class Access(Base):
    """Who came in where, who did not, and what was changed about that. Kept apart from the book; never a secret in it.

    `kind`: one of `people/access.py`. `person`, `device`: ids, where they are known. `address`: the network's.
    """

    __tablename__ = "access_log"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    at: Mapped[str] = mapped_column(STAMP)
    kind: Mapped[str] = mapped_column(String(40))
    person: Mapped[str | None] = mapped_column(ID)
    device: Mapped[str | None] = mapped_column(ID)
    address: Mapped[str] = mapped_column(String(64))
    detail: Mapped[str] = mapped_column(Text)

    __table_args__ = (Index(None, "shop", "at"),)


class Customer(Base):
    """Whose engine it is. Outside the ledger, where it can be erased: then only id and times are left."""

    __tablename__ = "customers"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    name: Mapped[str | None] = mapped_column(String(120))
    phone: Mapped[str | None] = mapped_column(String(60))
    email: Mapped[str | None] = mapped_column(String(200))
    address: Mapped[str | None] = mapped_column(String(400))
    note: Mapped[str | None] = mapped_column(Text)
    created_at: Mapped[str] = mapped_column(STAMP)
    erased_at: Mapped[str | None] = mapped_column(STAMP)
    erased_by: Mapped[str | None] = mapped_column(ID)


class BuildCustomer(Base):
    """Which customer an engine belongs to."""

    __tablename__ = "build_customers"

    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"), primary_key=True)
    build: Mapped[str] = mapped_column(ID, primary_key=True)
    customer: Mapped[str] = mapped_column(ForeignKey("customers.id"))
    said_at: Mapped[str] = mapped_column(STAMP)
    said_by: Mapped[str] = mapped_column(ID)


class Instrument(Base):
    """A gauge of the shop: what it reads to, how far it is trusted, when it is due (form: the brain's Instrument).

    `range_low`, `range_high`, `band` (percent): of a torque wrench. `version`: counts up with each change. Retired ones
    stay, since the book names them.
    """

    __tablename__ = "instruments"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    kind: Mapped[str] = mapped_column(String(40))
    name: Mapped[str] = mapped_column(String(80))
    step: Mapped[dict[str, str]] = mapped_column(JSON)
    trust: Mapped[dict[str, str]] = mapped_column(JSON)
    dial: Mapped[bool] = mapped_column()
    calibration_due: Mapped[str | None] = mapped_column(String(10))
    range_low: Mapped[dict[str, str] | None] = mapped_column(MAYBE_JSON)
    range_high: Mapped[dict[str, str] | None] = mapped_column(MAYBE_JSON)
    band: Mapped[str | None] = mapped_column(String(10))
    calibrated_on: Mapped[str | None] = mapped_column(String(10))
    version: Mapped[int] = mapped_column(server_default="1")
    retired_at: Mapped[str | None] = mapped_column(STAMP)
    retired_because: Mapped[str | None] = mapped_column(Text)


class InstrumentChange(Base):
    """What a lead changed about a gauge, in words; `version`: the one that it made."""

    __tablename__ = "instrument_changes"

    instrument: Mapped[str] = mapped_column(ForeignKey("instruments.id"), primary_key=True)
    version: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    at: Mapped[str] = mapped_column(STAMP)
    person: Mapped[str] = mapped_column(ID)
    words: Mapped[str] = mapped_column(Text)
