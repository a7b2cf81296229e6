"""Letting a phone or browser in: one-time codes, the device's key, and cutting a lost one off."""

import secrets
from typing import NamedTuple

from sqlalchemy import ColumnElement, Connection, bindparam, delete, insert, select, update

from standbook import clock
from standbook.database import Quick
from standbook.errors import Problem
from standbook.people.device_keys import fits, key_of
from standbook.people.misses import sha256
from standbook.people.models import Access, Challenge, DeviceSession, JoinedDevice, OneTimeCode, Session

#: Crockford's base 32: no I, L, O and U, which a thumb takes for 1, 1, 0 and V.
LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
READ_AS = str.maketrans({"I": "1", "L": "1", "O": "0", "-": None, " ": None})
LENGTH = 8
CODE_KEEPS = 10 * 60.0
SESSION_KEEPS = 30 * 24 * 3600.0
CHALLENGE_KEEPS = 60.0
PHONE = "phone"
# Made once: every push asks it.
CUT_OFF = Quick(
    select(JoinedDevice.device).where(
        JoinedDevice.shop == bindparam("shop"),
        JoinedDevice.device == bindparam("device"),
        JoinedDevice.cut_off_at.is_not(None),
    )
)


class Code(NamedTuple):
    """`code` as a person reads it, in two halves."""

    code: str
    expires_at: str


class Key(NamedTuple):
    """What a device leaves with the shop. `name`: what it calls itself; may be empty."""

    device: str
    public_key: str
    name: str = ""


class Joined(NamedTuple):
    device: str
    public_key: str
    cut_off: bool


def make_code(connection: Connection, shop: str, lead: str) -> Code:
    """A code for one device, good once and for ten minutes. What has expired goes."""
    now = clock.now_stamp()
    connection.execute(delete(OneTimeCode).where(OneTimeCode.expires_at < now))
    plain = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
    made = Code(f"{plain[:4]}-{plain[4:]}", clock.later(CODE_KEEPS))
    row = {"code_sha256": sha256(plain), "shop": shop, "purpose": PHONE, "made_by": lead, "made_at": now}
    connection.execute(insert(OneTimeCode), [{**row, "expires_at": made.expires_at}])
    return made


def use_code(connection: Connection, shop: str, code: str) -> str | None:
    """Who made it; None for a code that is wrong, used or expired. It is used up by this."""
    plain, now = code.upper().translate(READ_AS), clock.now_stamp()
    here = (OneTimeCode.code_sha256 == sha256(plain), OneTimeCode.shop == shop, OneTimeCode.purpose == PHONE)
    fresh = (OneTimeCode.used_at.is_(None), OneTimeCode.expires_at > now)
    if connection.execute(update(OneTimeCode).where(*here, *fresh).values(used_at=now)).rowcount != 1:
        return None
    return connection.execute(select(OneTimeCode.made_by).where(*here)).scalar_one()


def check_key(public_key: str) -> None:
    """Raises Problem invalid."""
    try:
        key_of(public_key)
    except ValueError as error:
        raise Problem("invalid", fields="public_key") from error


def join(connection: Connection, shop: str, key: Key, by: str) -> str:
    """The shop trusts this device from now on; gives its first token. Raises Problem invalid or device_taken.

    A device that was cut off and turns up again is let in by a fresh code; never another key under its identity.
    """
    check_key(key.public_key)
    known = joined(connection, shop, key.device)
    if known and known.public_key != key.public_key:
        raise Problem("device_taken")
    values = {"joined_at": clock.now_stamp(), "joined_by": by}
    if known:
        free = {"cut_off_at": None, "cut_off_by": None, "cut_off_reason": None}
        connection.execute(update(JoinedDevice).where(*is_device(shop, key.device)).values(**values, **free))
    else:
        connection.execute(insert(JoinedDevice), [{"shop": shop, **key._asdict(), **values}])
    return open_session(connection, shop, key.device)


def join_anew(connection: Connection, shop: str, key: Key, by: str) -> str:
    """As `join`, without a code: a cut-off device does not come back that way. Raises Problem cut_off besides."""
    if is_cut_off(connection, shop, key.device):
        raise Problem("cut_off")
    return join(connection, shop, key, by)


def joined_by(connection: Connection, shop: str, device: str) -> str:
    return connection.execute(select(JoinedDevice.joined_by).where(*is_device(shop, device))).scalar_one()


def is_device(shop: str, device: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    """Conditions for a query."""
    return JoinedDevice.shop == shop, JoinedDevice.device == device


def joined(connection: Connection, shop: str, device: str) -> Joined | None:
    query = select(JoinedDevice.device, JoinedDevice.public_key, JoinedDevice.cut_off_at)
    row = connection.execute(query.where(*is_device(shop, device))).one_or_none()
    return Joined(row.device, row.public_key, row.cut_off_at is not None) if row else None


def open_session(connection: Connection, shop: str, device: str) -> str:
    """A token; its sha256 is kept."""
    token = secrets.token_urlsafe(32)
    connection.execute(delete(DeviceSession).where(DeviceSession.expires_at < clock.now_stamp()))
    row = {"token_sha256": sha256(token), "shop": shop, "device": device, "created_at": clock.now_stamp()}
    connection.execute(insert(DeviceSession), [{**row, "expires_at": clock.later(SESSION_KEEPS)}])
    return token


def device_of(connection: Connection, token: str) -> str | None:
    """The device that this token stands for; None for one that has run out or was cut off."""
    query = select(DeviceSession.device).where(
        DeviceSession.token_sha256 == sha256(token), DeviceSession.expires_at > clock.now_stamp()
    )
    return connection.execute(query).scalar_one_or_none()


def challenge(connection: Connection) -> str:
    """Random text for a device to sign; good once, for a minute."""
    text = secrets.token_urlsafe(24)
    connection.execute(delete(Challenge).where(Challenge.expires_at < clock.now_stamp()))
    connection.execute(insert(Challenge), [{"text_sha256": sha256(text), "expires_at": clock.later(CHALLENGE_KEEPS)}])
    return text


class Proof(NamedTuple):
    """What a device says to be let in: its signature over the challenge."""

    device: str
    challenge: str
    signature: str

    @property
    def message(self) -> bytes:
        return f"standbook proof 1\n{self.device}\n{self.challenge}".encode()


def proven(connection: Connection, shop: str, proof: Proof) -> Joined | None:
    """The device whose key made the signature, also one that was cut off. The challenge is used up."""
    text = sha256(proof.challenge)
    known = Challenge.text_sha256 == text, Challenge.expires_at > clock.now_stamp()
    if connection.execute(delete(Challenge).where(*known)).rowcount != 1:
        return None
    found = joined(connection, shop, proof.device)
    return found if found and fits(found.public_key, proof.signature, proof.message) else None


def is_cut_off(connection: Connection, shop: str, device: str) -> bool:
    return CUT_OFF.row(connection, {"shop": shop, "device": device}) is not None


def cut_off(connection: Connection, shop: str, device: str, lead: str, reason: str) -> None:
    """From this moment the device is let in no more, nor who signed in on it by that. Raises Problem unknown_device."""
    now = {"cut_off_at": clock.now_stamp(), "cut_off_by": lead, "cut_off_reason": reason}
    if connection.execute(update(JoinedDevice).where(*is_device(shop, device)).values(**now)).rowcount != 1:
        raise Problem("unknown_device")
    connection.execute(delete(DeviceSession).where(DeviceSession.shop == shop, DeviceSession.device == device))
    sign_out_of(connection, shop, device)


def sign_out_of(connection: Connection, shop: str, device: str) -> None:
    """Whoever has signed in on a device is signed out everywhere: his cookie may lie on it still."""
    signed_in = select(Access.person).where(Access.shop == shop, Access.device == device, Access.kind == "signed_in")
    connection.execute(delete(Session).where(Session.person.in_(signed_in)))


def trust_of(connection: Connection, shop: str) -> dict[str, dict[str, str | None]]:
    """What the desk's list says of each device that has joined: its name, when, by whom, and whether it was cut off."""
    columns = (
        JoinedDevice.device,
        JoinedDevice.name,
        JoinedDevice.joined_at,
        JoinedDevice.joined_by,
        JoinedDevice.cut_off_at,
        JoinedDevice.cut_off_by,
    )
    rows = connection.execute(select(*columns).where(JoinedDevice.shop == shop)).mappings()
    return {row["device"]: {name: row[name] for name in row if name != "device"} for row in rows}
