"""PINs at the stand: as a slow hash that a phone can check without network, and that the shop checks once more.

PBKDF2 and not argon2id, since a browser has it built in; the count of iterations is the one that OWASP's Password
Storage Cheat Sheet names for PBKDF2-HMAC-SHA256. It stands in each row, so that a later one can be higher.
"""

import base64
import hashlib
import hmac
import secrets
import threading
from itertools import pairwise
from typing import Any, NamedTuple

from sqlalchemy import Connection, func, insert, select

from standbook import clock
from standbook.people.models import Person, Pin

FEWEST, MOST = 6, 12
ITERATIONS = 600_000
SALT_BYTES = 16
# One at a time: each takes a fifth of a second of a whole core, and the book shall go on being written.
_one_at_a_time = threading.Lock()


class Hashed(NamedTuple):
    """`salt` and `hash` as base64."""

    salt: str
    hash: str
    iterations: int


class Known(NamedTuple):
    """A PIN that a person has or had. `until`: the book's last seq when it was replaced; None while it counts."""

    number: int
    hashed: Hashed
    until: int | None

    def counted_at(self, seen: int) -> bool:
        """Whether it was this person's PIN for a device that had pulled the book up to `seen`."""
        return self.until is None or seen <= self.until


def hashed(pin: str) -> Hashed:
    """Takes its time: never inside a write transaction. Raises ValueError when it is no PIN or too easily guessed."""
    refuse_unfit(pin)
    salt = secrets.token_bytes(SALT_BYTES)
    return Hashed(encoded(salt), encoded(slow(pin, salt, ITERATIONS)), ITERATIONS)


def fits(pin: str, stored: Hashed) -> bool:
    """Takes its time: never inside a write transaction."""
    found = slow(pin, base64.b64decode(stored.salt), stored.iterations)
    return hmac.compare_digest(found, base64.b64decode(stored.hash))


def slow(pin: str, salt: bytes, iterations: int) -> bytes:
    with _one_at_a_time:
        return hashlib.pbkdf2_hmac("sha256", pin.encode("utf-8", "surrogatepass"), salt, iterations)


def encoded(data: bytes) -> str:
    return base64.b64encode(data).decode()


def refuse_unfit(pin: str) -> None:
    """Raises ValueError with the reason."""
    if not (pin.isascii() and pin.isdigit() and FEWEST <= len(pin) <= MOST):
        raise ValueError(f"a PIN has {FEWEST} to {MOST} digits and nothing else")
    steps = {(int(after) - int(before)) % 10 for before, after in pairwise(pin)}
    if steps == {0}:
        raise ValueError("one digit over and over is guessed at once; take another PIN")
    if steps in ({1}, {9}):
        raise ValueError("digits that follow each other are guessed at once; take another PIN")


def give(connection: Connection, person: str, pin: Hashed, by: str, at_seq: int) -> int:
    """The person's PIN from now on; gives its number. `at_seq`: the book's last seq, read in this transaction."""
    highest = connection.execute(select(func.max(Pin.number)).where(Pin.person == person)).scalar_one_or_none()
    number = (highest or 0) + 1
    row = {"person": person, "number": number, **pin._asdict()}
    connection.execute(insert(Pin), [{**row, "set_at": clock.now_stamp(), "set_by": by, "at_seq": at_seq}])
    return number


def all_pins(connection: Connection, shop: str) -> dict[str, dict[int, Known]]:
    """Every PIN that somebody of the shop has or had, by person and number."""
    columns = (Pin.person, Pin.number, Pin.salt, Pin.hash, Pin.iterations, Pin.at_seq)
    query = select(*columns).join(Person, Person.id == Pin.person).where(Person.shop == shop)
    found: dict[str, dict[int, Known]] = {}
    after: dict[str, int] = {}
    for row in connection.execute(query.order_by(Pin.person, Pin.number.desc())):
        known = Known(row.number, Hashed(row.salt, row.hash, row.iterations), after.get(row.person))
        found.setdefault(row.person, {})[row.number] = known
        after[row.person] = row.at_seq
    return found


def present(connection: Connection, shop: str) -> dict[str, dict[str, Any]]:
    """The PIN that counts of everyone who has one, in the form in which phones get it."""
    found = {}
    for person, numbers in all_pins(connection, shop).items():
        number = max(numbers)
        found[person] = {"number": number, **numbers[number].hashed._asdict()}
    return found


def mark(connection: Connection, shop: str) -> str:
    """Another one after every change of a PIN, "" while nobody has one: so a phone knows that its list is old."""
    columns = select(Pin.person, Pin.number, Pin.salt).join(Person, Person.id == Pin.person)
    rows = connection.execute(columns.where(Person.shop == shop).order_by(Pin.person, Pin.number)).all()
    text = "\n".join(f"{row.person} {row.number} {row.salt}" for row in rows)
    return hashlib.sha256(text.encode()).hexdigest()[:16] if rows else ""
