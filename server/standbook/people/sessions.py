"""Signing in and out: a random token in the browser's cookie, its sha256 in the database."""

import secrets
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from sqlalchemy import Connection, delete, insert, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.people import access, misses, passwords
from standbook.people.access import NOWHERE, Whence
from standbook.people.authority import Author
from standbook.people.misses import sha256
from standbook.people.models import Person, Session
from standbook.people.names import meant
from standbook.writing import Writer

#: A session ends after so many seconds at the latest, and after so many without a request.
KEEPS = 7 * 24 * 3600.0
IDLE = 12 * 3600.0
MISSED, LOCKED = "sign_in_missed", "sign_in_locked"


def sign_in(writer: Writer, shop: str, given: str, password: str, whence: Whence = NOWHERE) -> tuple[str, Author]:
    """Token and person; `given`: an id or a whole name. Raises as `check_password`."""
    author = check_password(writer, shop, given, password, whence)
    return open_session(writer, author, whence), author


def check_password(writer: Writer, shop: str, given: str, password: str, whence: Whence = NOWHERE) -> Author:
    """Who this is; each try counts, here and at the sign-in alike.

    Raises Problem sign_in_failed or sign_in_locked, the same and as slowly for known and unknown names.
    """
    with writer.writing() as connection:
        locks = misses.count(connection, given, whence.address)
        found = find(connection, shop, given)
    # Outside the transaction: it takes long on purpose, and the book must not wait for it.
    if not passwords.fits(password, found.password_hash if found else None) or found is None:
        note_miss(writer, shop, found, locks, whence)
        raise Problem("sign_in_failed")
    with writer.writing() as connection:
        misses.take_back(connection, {given, found.author.id}, whence.address)
    return found.author


class Found(NamedTuple):
    author: Author
    password_hash: str | None


def find(connection: Connection, shop: str, given: str) -> Found | None:
    columns = select(Person.id, Person.name, Person.role, Person.password_hash)
    row = connection.execute(columns.where(Person.id == meant(connection, shop, given))).one_or_none()
    return Found(Author(row.id, row.name, row.role), row.password_hash) if row else None


def note_miss(writer: Writer, shop: str, found: Found | None, locks: bool, whence: Whence) -> None:
    """Whose name it was, where it is one of ours. What was typed is kept nowhere: it may be a password."""
    person = found.author.id if found else None
    with writer.writing() as connection:
        access.note(connection, shop, LOCKED if locks else MISSED, person=person, **whence._asdict())


def open_session(writer: Writer, author: Author, whence: Whence = NOWHERE) -> str:
    """A fresh token every time, so that one planted before the sign-in is worth nothing."""
    token = secrets.token_urlsafe(32)
    row = {"token_sha256": sha256(token), "person": author.id, "created_at": clock.now_stamp()}
    with writer.writing() as connection:
        connection.execute(delete(Session).where(Session.expires_at < clock.now_stamp()))
        connection.execute(insert(Session), [{**row, "expires_at": clock.later(IDLE)}])
        access.note(connection, shop_of(connection, author.id), "signed_in", person=author.id, **whence._asdict())
        access.forget_old(connection)
    return token


def shop_of(connection: Connection, person: str) -> str:
    return connection.execute(select(Person.shop).where(Person.id == person)).scalar_one()


def sign_out(writer: Writer, token: str, whence: Whence = NOWHERE) -> None:
    with writer.writing() as connection:
        person = signed_in(connection, token)
        connection.execute(delete(Session).where(Session.token_sha256 == sha256(token)))
        if person:
            access.note(connection, shop_of(connection, person.id), "signed_out", person=person.id, **whence._asdict())


def sign_out_everywhere(writer: Writer, person: str, whence: Whence = NOWHERE) -> None:
    """Ends every session of a person, on whatever browser it was opened."""
    about = {"person": person, "detail": "everywhere", **whence._asdict()}
    with writer.writing() as connection:
        connection.execute(delete(Session).where(Session.person == person))
        access.note(connection, shop_of(connection, person), "signed_out", **about)


def open_sessions(connection: Connection, person: str, token: str) -> list[dict[str, Any]]:
    """A person's open sessions, the last used first. `last_at`: of its last request, to some minutes."""
    columns = select(Session.token_sha256, Session.created_at, Session.expires_at)
    query = columns.where(Session.person == person, Session.expires_at > clock.now_stamp())
    rows = connection.execute(query.order_by(Session.expires_at.desc(), Session.token_sha256))
    return [
        {
            "created_at": row.created_at,
            "last_at": max(row.created_at, shifted(row.expires_at, -IDLE)),
            "here": row.token_sha256 == sha256(token),
        }
        for row in rows
    ]


def signed_in(connection: Connection, token: str | None) -> Author | None:
    """Who this token stands for, None when nobody (any more)."""
    if not token:
        return None
    query = (
        select(Person.id, Person.name, Person.role)
        .join(Session, Session.person == Person.id)
        .where(Session.token_sha256 == sha256(token), Session.expires_at > clock.now_stamp(), Person.left_at.is_(None))
    )
    row = connection.execute(query).one_or_none()
    return Author(*row) if row else None


def end_of(connection: Connection, token: str) -> str | None:
    """When this session would end if it were used now; None for one that is over."""
    query = select(Session.created_at).where(
        Session.token_sha256 == sha256(token), Session.expires_at > clock.now_stamp()
    )
    opened = connection.scalar(query)
    return min(clock.later(IDLE), shifted(opened, KEEPS)) if opened else None


def stay(connection: Connection, token: str) -> None:
    """A session that is used goes on, until it is too old at any rate."""
    end = end_of(connection, token)
    if end:
        connection.execute(update(Session).where(Session.token_sha256 == sha256(token)).values(expires_at=end))


def shifted(moment: str, seconds: float) -> str:
    return clock.stamp(datetime.fromisoformat(moment) + timedelta(seconds=seconds))
