"""Tables of people and of what belongs to the shop's room: instruments."""

from sqlalchemy import JSON, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from standbook.database import Base

# Ids and times are text on purpose: they are compared and handed on, never reckoned with.
ID = String(64)
STAMP = String(24)


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


class Instrument(Base):
    """A gauge of the shop: what it reads to, how far it is trusted, when it is due (form: the brain's Instrument)."""

    __tablename__ = "instruments"

    id: Mapped[str] = mapped_column(ID, primary_key=True)
    shop: Mapped[str] = mapped_column(ForeignKey("shops.id"))
    kind: Mapped[str] = mapped_column(String(40))
    name: Mapped[str] = mapped_column(String(80))
    step: Mapped[dict[str, str]] = mapped_column(JSON)
    trust: Mapped[dict[str, str]] = mapped_column(JSON)
    dial: Mapped[bool] = mapped_column()
    calibration_due: Mapped[str | None] = mapped_column(String(10))
