"""Proofs under signatures: a PIN, sealed on the phone to the shop's key and bound to one entry by its id.

They are looked at before the book is locked, since a PIN's hash takes a fifth of a second on purpose.
"""

from collections.abc import Iterable
from typing import Literal, NamedTuple

import msgspec
from sqlalchemy import Connection

from standbook.network.seal import Seal
from standbook.people import misses, pins

#: Hashes of one push. More PINs in one go are no work of a shop's phone; what they are for comes with the next push.
MOST_HASHES = 20


class Inside(msgspec.Struct):
    """What a phone seals."""

    pin: str
    number: int
    entry: str


class Sent(NamedTuple):
    """A proof as it came, with what the entry beside it says of itself."""

    device_no: int
    person: str
    sealed: str
    entry: str
    author: str
    seen: int


class Looked(NamedTuple):
    """What a proof turned out to be; `number`: of the PIN that fits, 0 where none does.

    `unread`: sealed to a key that is gone, or by a PIN that a restored book does not know: as if none had come.
    `late`: there were too many in one push, or too many wrong ones before; it waits for a later push.
    """

    what: Literal["fits", "wrong", "unread", "late"]
    number: int = 0


WRONG, UNREAD, LATE = Looked("wrong"), Looked("unread"), Looked("late")


class Looking:
    """The proofs of one push, each PIN hashed once."""

    def __init__(self, seal: Seal, known: dict[str, dict[int, pins.Known]], locked: set[str]) -> None:
        """`known`: PINs by person and number; `locked`: in whose name too many wrong ones came."""
        self._seal = seal
        self._known = known
        self._locked = locked
        self._hashes: dict[tuple[str, int, str], bool] = {}

    def at_all(self, proofs: Iterable[Sent]) -> dict[int, Looked]:
        """By device number."""
        return {proof.device_no: self.at(proof) for proof in proofs}

    def at(self, proof: Sent) -> Looked:
        inside = self._inside(proof.sealed)
        if inside is None:
            return UNREAD
        if (inside.entry, proof.person) != (proof.entry, proof.author):
            return WRONG
        pin = self._known.get(proof.author, {}).get(inside.number)
        if pin is None:
            return UNREAD
        if proof.author in self._locked:
            return LATE
        if not pin.counted_at(proof.seen):
            return WRONG
        return self._by_hash(proof.author, pin, inside.pin)

    def _inside(self, sealed: str) -> Inside | None:
        opened = self._seal.opened(sealed)
        try:
            return msgspec.json.decode(opened, type=Inside) if opened is not None else None
        except (msgspec.DecodeError, UnicodeDecodeError):
            return None

    def _by_hash(self, person: str, pin: pins.Known, said: str) -> Looked:
        which = (person, pin.number, said)
        if which not in self._hashes:
            if len(self._hashes) >= MOST_HASHES:
                return LATE
            self._hashes[which] = pins.fits(said, pin.hashed)
        return Looked("fits", pin.number) if self._hashes[which] else WRONG


def locked(connection: Connection, people: set[str]) -> set[str]:
    """In whose name so many wrong PINs came, one push after the other, that the shop looks at no more for a while."""
    return {one for one in people if misses.locked_until(connection, misses.pin(one))}


def count(connection: Connection, missed: set[str], fitted: set[str]) -> None:
    """After a push, once for each person: misses in a row lock as those of a sign-in do."""
    for person in fitted:
        misses.forget(connection, misses.pin(person))
    for person in missed:
        misses.count_name(connection, misses.pin(person))
