"""Names as people type them at a sign-in: whom one means, and under which key its misses are counted."""

import re
import unicodedata

from sqlalchemy import Connection, select

from standbook.people.models import Person


def same(name: str) -> str:
    """The form in which two spellings of a name are the same: NFC, without regard to capitals and outer spaces."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold()).strip()


def counted(name: str) -> str:
    """One key for a name and the id that was made of it, or tries would count double; known or not makes no odds."""
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", name) if not unicodedata.combining(sign))
    return re.sub(r"[\W_]+", "-", bare.casefold()).strip("-")


def meant(connection: Connection, shop: str, given: str) -> str | None:
    """Id of the person whose id or exact name was given; None where there is none, or two have the name."""
    query = select(Person.id, Person.name).where(Person.shop == shop, Person.left_at.is_(None))
    rows = connection.execute(query).all()
    by_id = [row.id for row in rows if row.id == given]
    found = by_id or [row.id for row in rows if same(row.name) == same(given)]
    return found[0] if len(found) == 1 else None
