"""The access log: who came in where, who did not, and what was changed about that. Never a secret in it."""

from typing import Any, NamedTuple

from sqlalchemy import Connection, delete, insert, select

from standbook import clock
from standbook.ids import uuid7
from standbook.people.models import Access

HOUR = 3600.0
#: Lines are kept for so many seconds, and shown so many at a time.
KEPT = 400 * 24 * 3600.0
PAGE = 200

#: Every kind of line, and what it says on the desk's screen.
KINDS = {
    "signed_in": "signed in",
    "sign_in_missed": "wrong name or password",
    "sign_in_locked": "locked after too many misses",
    "signed_out": "signed out",
    "password_set": "password set",
    "pin_set": "PIN set",
    "pin_missed": "wrong PIN under a signature",
    "pin_unlocked": "PIN unlocked on a phone",
    "person_added": "taken on",
    "person_changed": "role or name changed",
    "person_left": "left the shop",
    "code_made": "code for a phone made",
    "code_missed": "wrong, used or expired code",
    "link_used": "first lead's link used",
    "device_joined": "device joined",
    "device_missed": "device could not prove its key",
    "device_cut_off": "device cut off",
    "device_refused": "cut-off device turned away",
    "customer_erased": "customer's data erased",
}


class Whence(NamedTuple):
    """Where a request came from: the network's address, and the joined device where that is known."""

    address: str = ""
    device: str | None = None


NOWHERE = Whence()


def note(
    connection: Connection,
    shop: str,
    kind: str,
    *,
    address: str = "",
    person: str | None = None,
    device: str | None = None,
    detail: str = "",
) -> None:
    """Writes one line. `address`: whence, as the network has it. `detail`: in words, never a secret."""
    if kind not in KINDS:
        raise ValueError(f"the access log has no kind {kind}")
    line = {"id": uuid7(), "shop": shop, "at": clock.now_stamp(), "kind": kind, "address": address[:64]}
    connection.execute(insert(Access), [{**line, "person": person, "device": device, "detail": detail[:500]}])


def note_once_an_hour(connection: Connection, shop: str, kind: str, *, device: str, **about: Any) -> None:
    """For what a device does again and again: one line an hour tells as much."""
    since = clock.later(-HOUR)
    query = select(Access.id).where(
        Access.shop == shop, Access.at > since, Access.kind == kind, Access.device == device
    )
    if connection.execute(query).first() is None:
        note(connection, shop, kind, device=device, **about)


def lines(connection: Connection, shop: str, before: str | None = None, most: int = PAGE) -> list[dict[str, Any]]:
    """The newest lines, or those before the line with the id `before`; ids sort by time."""
    columns = (Access.id, Access.at, Access.kind, Access.person, Access.device, Access.address, Access.detail)
    query = select(*columns).where(Access.shop == shop).order_by(Access.id.desc()).limit(most)
    found = connection.execute(query.where(Access.id < before) if before else query)
    return [{**row, "words": KINDS.get(row["kind"], row["kind"])} for row in found.mappings()]


def forget_old(connection: Connection) -> None:
    connection.execute(delete(Access).where(Access.at < clock.later(-KEPT)))
