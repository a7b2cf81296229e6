"""What a lead, or a person of himself, changes about who is in the shop and how they prove it.

Each function runs inside a write transaction and writes its line into the access log. What takes long (a hash) is made
before. Raises Problem no_such_person, last_lead or unfit.
"""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

from sqlalchemy import Connection, delete, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.people import access, pins, roster
from standbook.people.authority import LEADS, ROLES, Author
from standbook.people.models import Person, Session


class By(NamedTuple):
    """Who changes it, and from where. `name`: for the log's words."""

    person: str
    name: str
    address: str


@contextmanager
def fitting() -> Iterator[None]:
    """Turns what a name, role, password or PIN cannot be into the catalogue's words."""
    try:
        yield
    except ValueError as error:
        raise Problem("unfit", reason=str(error)) from error


def take_on(connection: Connection, shop: str, name: str, role: str, by: By) -> Author:
    with fitting():
        person = roster.take_on(connection, shop, name, role)
    note(connection, shop, "person_added", person, by)
    return Author(person, roster.fitting_name(name), role)


def change(connection: Connection, shop: str, person: str, name: str | None, role: str | None, by: By) -> Author:
    """Another name or role; None leaves it as it is. The book's entries name ids, so they follow."""
    now = somebody(connection, shop, person)
    with fitting():
        new = Author(person, roster.fitting_name(name or now.name), role or now.role)
        if new.role not in ROLES:
            raise ValueError(f"a role is one of: {', '.join(ROLES)}")
    if now.leads and not new.leads:
        refuse_last_lead(connection, shop, person)
    connection.execute(update(Person).where(Person.id == person).values(name=new.name, role=new.role))
    note(connection, shop, "person_changed", person, by)
    return new


def version(person: Author) -> str:
    """The same as long as name and role are."""
    return hashlib.sha256("\0".join(person).encode()).hexdigest()[:32]


def refuse_stale(now: Author, name: str | None, role: str | None, looked_at: str) -> None:
    """Raises Problem changed_meanwhile. What stands there as it was asked for was written by the same change, whose
    answer was lost."""
    stands = (name or now.name).strip() == now.name and (role or now.role) == now.role
    if looked_at != version(now) and not stands:
        raise Problem("changed_meanwhile")


def leave(connection: Connection, shop: str, person: str, by: By) -> None:
    """From now on nobody is signed in as this person. What is on its way is taken; the book goes on naming the name."""
    if somebody(connection, shop, person).leads:
        refuse_last_lead(connection, shop, person)
    connection.execute(update(Person).where(Person.id == person).values(left_at=clock.now_stamp()))
    connection.execute(delete(Session).where(Session.person == person))
    note(connection, shop, "person_left", person, by)


def new_password(connection: Connection, shop: str, person: str, password_hash: str, by: By) -> None:
    """Ends every session that the old one opened."""
    somebody(connection, shop, person)
    roster.put_password(connection, person, password_hash)
    note(connection, shop, "password_set", person, by)


def new_pin(connection: Connection, shop: str, person: str, pin: pins.Hashed, at_seq: int, by: By) -> None:
    """`at_seq`: the book's last seq, read in this transaction."""
    somebody(connection, shop, person)
    pins.give(connection, person, pin, by.person, at_seq)
    note(connection, shop, "pin_set", person, by)


def somebody(connection: Connection, shop: str, person: str) -> Author:
    """Who works here under this id. Raises Problem no_such_person."""
    found = next((one for one in roster.people(connection, shop) if one.id == person), None)
    if found is None:
        raise Problem("no_such_person", person=person)
    return found


def refuse_last_lead(connection: Connection, shop: str, person: str) -> None:
    """Without a lead who can sign in nobody could ever be made one again. Raises Problem last_lead."""
    others = select(Person.id).where(Person.shop == shop, Person.id != person, Person.role.in_(LEADS))
    able = others.where(Person.left_at.is_(None), Person.password_hash.is_not(None)).limit(1)
    if connection.execute(able).first() is None:
        raise Problem("last_lead")


def note(connection: Connection, shop: str, kind: str, person: str, by: By) -> None:
    detail = "" if by.person == person else f"by {by.name}"
    access.note(connection, shop, kind, address=by.address, person=person, detail=detail)
