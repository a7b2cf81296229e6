"""The people of the shop: who there is, and taking somebody on."""

import re
import unicodedata

from sqlalchemy import Connection, bindparam, delete, insert, select, update

from standbook import clock
from standbook.database import Quick
from standbook.people.authority import ROLES, Author
from standbook.people.models import Person, Pin, Session
from standbook.people.passwords import hashed

# Made once: every push asks it.
EVERYBODY = Quick(select(Person.id, Person.name, Person.role).where(Person.shop == bindparam("shop")))


def people(connection: Connection, shop: str) -> list[Author]:
    """Everyone who still works here, in the order of names."""
    query = select(Person.id, Person.name, Person.role).where(Person.shop == shop, Person.left_at.is_(None))
    return [Author(*row) for row in connection.execute(query.order_by(Person.name, Person.id))]


def authors(connection: Connection, shop: str) -> dict[str, Author]:
    """Everyone the book may name, also those who left: what they wrote before may still be on its way."""
    return {row[0]: Author(*row) for row in EVERYBODY.rows(connection, {"shop": shop})}


def with_pin(connection: Connection, shop: str) -> set[str]:
    """Ids of those who have a PIN, also of who left."""
    query = select(Pin.person).join(Person, Person.id == Pin.person).where(Person.shop == shop)
    return set(connection.scalars(query.distinct()))


def take_on(connection: Connection, shop: str, name: str, role: str, password: str | None = None) -> str:
    """A new person; gives the id, a readable one. Raises ValueError for a name or role that cannot be."""
    if role not in ROLES:
        raise ValueError(f"a role is one of: {', '.join(ROLES)}")
    name = fitting_name(name)
    taken = {row.id for row in connection.execute(select(Person.id))}
    person = free_id(name, taken)
    row = {"id": person, "shop": shop, "name": name, "role": role, "created_at": clock.now_stamp()}
    connection.execute(insert(Person), [{**row, "password_hash": hashed(password, name) if password else None}])
    return person


def fitting_name(name: str) -> str:
    """As it is kept. Raises ValueError."""
    if not 1 <= len(name.strip()) <= 80:
        raise ValueError("a name has 1 to 80 letters")
    return name.strip()


def free_id(name: str, taken: set[str]) -> str:
    """A readable id: Marta V. becomes marta-v, the second one marta-v-2."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40] or "person"
    ids = (slug if count == 1 else f"{slug}-{count}" for count in range(1, len(taken) + 2))
    return next(candidate for candidate in ids if candidate not in taken)


def put_password(connection: Connection, person: str, password_hash: str) -> None:
    """A new password ends every session that the old one opened."""
    connection.execute(update(Person).where(Person.id == person).values(password_hash=password_hash))
    connection.execute(delete(Session).where(Session.person == person))
