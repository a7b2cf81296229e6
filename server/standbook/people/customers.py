"""Customers: whose engine it is. Kept apart from the book, so that a person can be erased and the book stays whole.

Erased means: name, phone, email, address and note are empty; the id and the engines that it stands beside stay.
"""

import hashlib
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.ids import uuid7
from standbook.people import access
from standbook.people.access import NOWHERE, Whence
from standbook.people.models import BuildCustomer, Customer
from standbook.people.names import same

#: All that tells who a customer is.
PERSONAL = ("name", "phone", "email", "address", "note")
#: Whose an engine is of which nobody has said it.
NOBODY = "nobody"
#: Shorter words of a name are in any sentence.
TELLING = 4


def customers(connection: Connection, shop: str) -> list[dict[str, Any]]:
    """Every customer by name, those who were erased last; each with the ids of the builds that are theirs."""
    builds = defaultdict(list)
    links = select(BuildCustomer.customer, BuildCustomer.build).where(BuildCustomer.shop == shop)
    for row in connection.execute(links.order_by(BuildCustomer.build)):
        builds[row.customer].append(row.build)
    rows = connection.execute(select(Customer.__table__).where(Customer.shop == shop)).mappings()
    found = [{**row, "builds": builds[row["id"]], "version": version(dict(row))} for row in rows]
    return sorted(found, key=lambda one: (one["erased_at"] is not None, same(one["name"] or ""), one["id"]))


def customer(connection: Connection, shop: str, which: str) -> dict[str, Any]:
    """Raises Problem unknown_customer."""
    found = [one for one in customers(connection, shop) if one["id"] == which]
    if not found:
        raise Problem("unknown_customer")
    return found[0]


def add(connection: Connection, shop: str, fields: Mapping[str, str]) -> str:
    """Gives the new customer's id, which tells nothing of who it is."""
    which = uuid7()
    row = {"id": which, "shop": shop, "created_at": clock.now_stamp(), **written(fields)}
    connection.execute(insert(Customer), [row])
    return which


def change(connection: Connection, shop: str, which: str, fields: Mapping[str, str]) -> None:
    """Raises Problem unknown_customer or customer_erased."""
    refuse_erased(customer(connection, shop, which))
    connection.execute(update(Customer).where(Customer.id == which).values(**written(fields)))


def version(row: Mapping[str, Any]) -> str:
    """The same as long as what tells who it is stays the same."""
    told = "\0".join(f"{name}={row[name] or ''}" for name in (*PERSONAL, "erased_at"))
    return hashlib.sha256(f"{row['id']}\0{told}".encode()).hexdigest()[:32]


def refuse_stale(found: Mapping[str, Any], fields: Mapping[str, str], looked_at: str) -> None:
    """Raises Problem changed_meanwhile, and customer_erased of one who is erased. What stands there as it was asked for
    has been written by the same change, whose answer was lost."""
    refuse_erased(found)
    if looked_at != found["version"] and written(fields) != {name: found[name] for name in PERSONAL}:
        raise Problem("changed_meanwhile")


def refuse_stale_whose(connection: Connection, shop: str, build: str, which: str | None, looked_at: str) -> None:
    """The same of whose engine a build is: a customer's id, or NOBODY. Raises Problem changed_meanwhile."""
    mine = (BuildCustomer.shop == shop) & (BuildCustomer.build == build)
    now = connection.scalar(select(BuildCustomer.customer).where(mine))
    if looked_at != (now or NOBODY) and which != now:
        raise Problem("changed_meanwhile")


def written(fields: Mapping[str, str]) -> dict[str, str | None]:
    """An empty field is none."""
    return {name: fields.get(name, "").strip() or None for name in PERSONAL}


def refuse_erased(found: Mapping[str, Any]) -> None:
    if found["erased_at"]:
        raise Problem("customer_erased")


def say_whose(connection: Connection, shop: str, build: str, which: str | None, by: str) -> None:
    """Whose engine it is; None: nobody's yet. Raises Problem unknown_customer or customer_erased."""
    if which is not None:
        refuse_erased(customer(connection, shop, which))
    mine = (BuildCustomer.shop == shop) & (BuildCustomer.build == build)
    connection.execute(delete(BuildCustomer).where(mine))
    if which is not None:
        row = {"shop": shop, "build": build, "customer": which, "said_at": clock.now_stamp(), "said_by": by}
        connection.execute(insert(BuildCustomer), [row])


def erase(connection: Connection, shop: str, which: str, by: str, reason: str, whence: Whence = NOWHERE) -> str:
    """Empties what tells who it was; gives when that was done. Done before, it stays as it is.

    Raises Problem unknown_customer, or reason_tells: the reason stays in the access log.
    """
    found = customer(connection, shop, which)
    if found["erased_at"]:
        return str(found["erased_at"])
    if tells(reason, found):
        raise Problem("reason_tells")
    now = clock.now_stamp()
    empty: dict[str, str | None] = dict.fromkeys(PERSONAL)
    connection.execute(update(Customer).where(Customer.id == which).values(**empty, erased_at=now, erased_by=by))
    access.note(connection, shop, "customer_erased", person=by, detail=f"{which}: {reason}", **whence._asdict())
    return now


def erase_again(connection: Connection, erased: Mapping[str, tuple[str, str]]) -> None:
    """What an older copy of the book has brought back; `erased`: when and by whom, by the customer's id."""
    empty: dict[str, str | None] = dict.fromkeys(PERSONAL)
    for which, (at, by) in erased.items():
        again = (Customer.id == which) & Customer.erased_at.is_(None)
        connection.execute(update(Customer).where(again).values(**empty, erased_at=at, erased_by=by))


def tells(reason: str, found: Mapping[str, Any]) -> bool:
    """Whether a sentence holds a customer's name, or a word of it, phone or email."""
    said = same(reason)
    whole = [same(found[name]) for name in ("name", "phone", "email") if found[name]]
    words = [word for word in same(found["name"] or "").split() if len(word) >= TELLING]
    return any(part in said for part in (*whole, *words))
