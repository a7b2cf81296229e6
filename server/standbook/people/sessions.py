"""Signing in and out: a random token in the browser's cookie, its sha256 in the database."""

import hashlib
import secrets
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, delete, insert, select

from standbook import clock
from standbook.errors import Problem
from standbook.people import passwords
from standbook.people.authority import Author
from standbook.people.models import Person, Session, SignInMiss
from standbook.writing import Writer

KEEPS = 7 * 24 * 3600.0
MISSES = 5
LOCKED = 60.0
FORGET_MISSES = 24 * 3600.0


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def sign_in(writer: Writer, shop: str, person: str, password: str) -> tuple[str, Author]:
    """Token and person. Raises Problem sign_in_failed or sign_in_locked, the same for known and unknown names."""
    with writer.writing() as connection:
        count_try(connection, person)
        found = find(connection, shop, person)
    # Outside the transaction: it takes long on purpose, and the book must not wait for it.
    if not passwords.fits(password, found.password_hash if found else None) or found is None:
        raise Problem("sign_in_failed")
    return open_session(writer, found.author), found.author


class Found(NamedTuple):
    author: Author
    password_hash: str | None


def find(connection: Connection, shop: str, person: str) -> Found | None:
    columns = select(Person.id, Person.name, Person.role, Person.password_hash)
    query = columns.where(Person.shop == shop, Person.id == person, Person.left_at.is_(None))
    row = connection.execute(query).one_or_none()
    return Found(Author(row.id, row.name, row.role), row.password_hash) if row else None


def open_session(writer: Writer, author: Author) -> str:
    """A fresh token every time, so that one planted before the sign-in is worth nothing."""
    token = secrets.token_urlsafe(32)
    row = {"token_sha256": sha256(token), "person": author.id, "created_at": clock.now_stamp()}
    with writer.writing() as connection:
        forget_tries(connection, author.id)
        connection.execute(delete(Session).where(Session.expires_at < clock.now_stamp()))
        connection.execute(insert(Session), [{**row, "expires_at": clock.later(KEEPS)}])
    return token


def sign_out(writer: Writer, token: str) -> None:
    with writer.writing() as connection:
        connection.execute(delete(Session).where(Session.token_sha256 == sha256(token)))


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


def count_try(connection: Connection, person: str) -> None:
    """Counts the try before it is made, so that a hundred at once are a hundred; a sign-in that works forgets them.

    Raises Problem sign_in_locked. From the fifth try on, each locks the name for a minute longer.
    """
    name, now = sha256(person), clock.now_stamp()
    connection.execute(delete(SignInMiss).where(SignInMiss.last_at < clock.later(-FORGET_MISSES)))
    query = select(SignInMiss.tries, SignInMiss.locked_until).where(SignInMiss.name_sha256 == name)
    row = connection.execute(query).one_or_none()
    refuse_locked(row.locked_until if row else None)
    count = (row.tries if row else 0) + 1
    until = clock.later(LOCKED * (count - MISSES + 1)) if count >= MISSES else None
    connection.execute(delete(SignInMiss).where(SignInMiss.name_sha256 == name))
    values = {"name_sha256": name, "tries": count, "locked_until": until, "last_at": now}
    connection.execute(insert(SignInMiss), [values])


def forget_tries(connection: Connection, name: str) -> None:
    connection.execute(delete(SignInMiss).where(SignInMiss.name_sha256 == sha256(name)))


def refuse_locked(until: str | None) -> None:
    if until and until > clock.now_stamp():
        left = (datetime.fromisoformat(until) - clock.now()).total_seconds()
        raise Problem("sign_in_locked", seconds=max(1, round(left)))
