"""Tries at a sign-in, counted by name and by network address, and the locks that come of them.

A try is counted before it is made, so that a hundred at once are a hundred; one that works is taken back.
"""

import hashlib
import ipaddress
from datetime import datetime

from sqlalchemy import Connection, delete, insert, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.people.models import SignInMiss
from standbook.people.names import counted

#: In a row for one name; from then on each locks it for a minute longer.
MISSES = 5
LOCKED = 60.0
#: From one address within ten minutes, whatever the names: then it waits until they are over.
FROM_ADDRESS = 30
ADDRESS_WINDOW = 600.0
FORGET_MISSES = 24 * 3600.0


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def count(connection: Connection, name: str, address: str) -> bool:
    """Counts a try; True where a miss of it locks. Raises Problem sign_in_locked, alike for a name and an address."""
    connection.execute(delete(SignInMiss).where(SignInMiss.last_at < clock.later(-FORGET_MISSES)))
    by_name, by_address = key_of_name(name), key_of_address(address)
    for key in (by_name, by_address):
        refuse_locked(connection, key)
    locks = count_name(connection, by_name)
    return count_address(connection, by_address) or locks if address else locks


def count_guess(connection: Connection, address: str) -> None:
    """Counts a try at a join code, which is guessed in nobody's name. Raises Problem join_locked."""
    key = guess(address)
    try:
        refuse_locked(connection, key)
    except Problem as problem:
        raise Problem("join_locked", **problem.details) from problem
    count_name(connection, key)


def guess(address: str) -> str:
    return sha256(f"joining {network_of(address)}")


def pin(person: str) -> str:
    """Under which key wrong PINs in a person's name are counted."""
    return sha256(f"PIN of {person}")


def forget(connection: Connection, key: str) -> None:
    connection.execute(delete(SignInMiss).where(SignInMiss.name_sha256 == key))


def take_back(connection: Connection, names: set[str], address: str) -> None:
    """The try was none: it forgets the misses of the name. Of the address it takes back itself alone, or whoever has
    one password could wash off what is tried on all the others."""
    keys = {key_of_name(name) for name in names}
    connection.execute(delete(SignInMiss).where(SignInMiss.name_sha256.in_(keys)))
    mine = SignInMiss.name_sha256 == key_of_address(address)
    connection.execute(update(SignInMiss).where(mine).values(tries=SignInMiss.tries - 1, locked_until=None))


def key_of_name(name: str) -> str:
    return sha256(f"name {counted(name)}")


def key_of_address(address: str) -> str:
    return sha256(f"address {network_of(address)}")


def network_of(address: str) -> str:
    """Whoever has one IPv6 address has a whole network of 64 bits of them."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return address
    return str(ipaddress.ip_network((int(found), 64), strict=False)) if found.version == 6 else str(found)


def count_name(connection: Connection, key: str) -> bool:
    tries = (tries_of(connection, key) or (0, ""))[0] + 1
    until = clock.later(LOCKED * (tries - MISSES + 1)) if tries >= MISSES else None
    put(connection, key, tries, until, clock.now_stamp())
    return until is not None


def count_address(connection: Connection, key: str) -> bool:
    """`last_at` of an address is when its ten minutes began."""
    tries, began = tries_of(connection, key) or (0, "")
    if began <= clock.later(-ADDRESS_WINDOW):
        tries, began = 0, clock.now_stamp()
    until = clock.later(ADDRESS_WINDOW) if tries + 1 >= FROM_ADDRESS else None
    put(connection, key, tries + 1, until, began)
    return until is not None


def tries_of(connection: Connection, key: str) -> tuple[int, str] | None:
    query = select(SignInMiss.tries, SignInMiss.last_at).where(SignInMiss.name_sha256 == key)
    row = connection.execute(query).one_or_none()
    return (row.tries, row.last_at) if row else None


def put(connection: Connection, key: str, tries: int, until: str | None, at: str) -> None:
    connection.execute(delete(SignInMiss).where(SignInMiss.name_sha256 == key))
    values = {"name_sha256": key, "tries": tries, "locked_until": until, "last_at": at}
    connection.execute(insert(SignInMiss), [values])


def locked_until(connection: Connection, key: str) -> str | None:
    until = connection.scalar(select(SignInMiss.locked_until).where(SignInMiss.name_sha256 == key))
    return until if until and until > clock.now_stamp() else None


def refuse_locked(connection: Connection, key: str) -> None:
    until = locked_until(connection, key)
    if until:
        left = (datetime.fromisoformat(until) - clock.now()).total_seconds()
        raise Problem("sign_in_locked", seconds=max(1, round(left)))
