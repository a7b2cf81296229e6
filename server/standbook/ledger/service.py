"""The ledger as the API, the command line and the demo's seed use it: one object per database."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from typing import Any

from sqlalchemy import Connection, Engine

from standbook import clock
from standbook.errors import Problem
from standbook.ledger import blobs, devices, held, pull
from standbook.ledger.append import Door, append
from standbook.ledger.blobs import BlobStore
from standbook.ledger.chain_check import Report, check_book
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.devices import successors
from standbook.ledger.entry_text import Incoming, read_entry
from standbook.ledger.held import Asides
from standbook.ledger.photos import Photos, Piece
from standbook.ledger.pull import Cursor, Standing
from standbook.ledger.signature_check import proof
from standbook.ledger.signatures import Signed, public_key, signed_of, signers
from standbook.ledger.uploads import Uploads
from standbook.ledger.wire import MOST_NUMBER, Answer, Pulled, Push, Pushed
from standbook.network.seal import Seal
from standbook.people import pins, proofs
from standbook.people.authority import PROVEN_KINDS
from standbook.people.proofs import Looked, Looking, Sent
from standbook.people.roster import authors
from standbook.writing import Place, Writer


class Ledger:
    def __init__(
        self,
        engine: Engine,
        writer: Writer,
        store: BlobStore,
        uploads: Uploads,
        seal: Seal,
        network: bool,
    ) -> None:
        """`network`: served beyond this machine, where nobody signs without a PIN and every batch has to prove which
        device it came from."""
        self.engine = engine
        self.seal = seal
        self.pins_wanted = self.keys_wanted = network
        # SQLite's readers have a snapshot anyway; PostgreSQL's must ask for one.
        snapshot = {"isolation_level": "REPEATABLE READ"} if engine.dialect.name == "postgresql" else {}
        self._readers = engine.execution_options(**snapshot)
        self._shop: str | None = None
        self.writer = writer
        self.store = store
        self.photos = Photos(writer, self.reading, store, uploads)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One snapshot of the book."""
        with self._readers.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def glance(self) -> Iterator[Connection]:
        """For one quick statement: no snapshot has to be opened for it."""
        with self._readers.connect() as connection:
            yield connection

    def shop(self) -> str:
        """Whose book it is, looked up once: that never changes. Raises Problem no_shop."""
        if self._shop is None:
            with self.reading() as connection:
                self._shop = the_shop(connection)
        return self._shop

    def in_line(self, push: Push, place: Place | None) -> AbstractContextManager[None]:
        """One batch is looked through while another one is written: more of them side by side would take the
        interpreter from the one that holds the book, and all wait for that. Not where PINs are looked at, which takes
        long. `place`: taken when it came."""
        if not push.proofs:
            return self.writer.in_line(place)
        if place:
            place.leave()
        return nullcontext()

    def push(self, push: Push, signed_in: str | None) -> Pushed:
        """Takes entries in. What can be done before the lock is taken is done then; a full disk refuses the batch as a
        whole. Raises Problem not_joined or signature_wrong."""
        shop = self.shop()
        signed = self.signed(shop, push)
        incoming = [read_entry(raw, push.from_no + at, push.device) for at, raw in enumerate(push.entries)]
        door = Door(signed_in, self.looked_at(shop, push, incoming), self.pins_wanted, signed)
        try:
            with self.writer.writing() as connection:
                outcome = append(connection, shop, push, incoming, door)
        except Problem as problem:
            if problem.status != 507:
                raise
            return self.refused(shop, push.device, incoming, problem)
        return Pushed(
            answers=outcome.answers,
            next_no=outcome.mine.next_no,
            epoch=outcome.counter.epoch,
            last_seq=outcome.counter.last_seq,
            server_now=clock.now_stamp(),
            mine=outcome.mine,
        )

    def looked_at(self, shop: str, push: Push, incoming: list[Incoming]) -> dict[int, Looked]:
        """What the proofs of a push are worth, by device number; before the book is locked, since it takes long."""
        if not push.proofs:
            return {}
        heads = {one.no: one.head for one in incoming if one.head and one.head.kind in PROVEN_KINDS}
        with self.reading() as connection:
            known = pins.all_pins(connection, shop)
            locked = proofs.locked(connection, {head.person for head in heads.values()})
        sent = [
            Sent(proof.device_no, proof.person, proof.sealed, head.id, head.person, head.seen)
            for proof in push.proofs
            if (head := heads.get(proof.device_no))
        ]
        return Looking(self.seal, known, locked).at_all(sent)

    def signed(self, shop: str, push: Push) -> Signed | None:
        """What proves where the batch came from. Nobody's key is looked for where nobody has signed or need to."""
        if not (push.signature or self.keys_wanted):
            return None
        with self.reading() as connection:
            key = public_key(connection, shop, push.sender)
        return signed_of(push, key, required=self.keys_wanted)

    def refused(self, shop: str, device: str, incoming: list[Incoming], problem: Problem) -> Pushed:
        """Nothing was stored: every entry stays with its device, which asks again later."""
        with self.reading() as connection:
            counter, record = read_counter(connection, shop), devices.mine(connection, shop, device)
        answers = [Answer(one.no, one.id, "refused", None, problem.code, problem.message) for one in incoming]
        return Pushed(answers, record.next_no, counter.epoch, counter.last_seq, clock.now_stamp(), record)

    def standing(self, cursor: Cursor) -> Standing:
        shop = self.shop()
        with self.reading() as connection:
            return pull.standing(connection, shop, cursor)

    def pull(self, cursor: Cursor) -> Pulled:
        shop = self.shop()
        with self.reading() as connection:
            at = pull.standing(connection, shop, cursor)
            return pull.pull(connection, at, cursor.limit, cursor.columns)

    def keep_blob(self, sha256: str, data: bytes) -> bool:
        return blobs.keep(self.writer, self.store, sha256, data)

    def blob(self, sha256: str) -> bytes:
        return self.store.get(sha256)

    def photo_offset(self, sha256: str) -> tuple[int, bool]:
        return self.photos.offset(sha256)

    def take_photo(self, sha256: str, piece: Piece) -> tuple[int, bool]:
        return self.photos.take(sha256, piece)

    def photo(self, sha256: str, as_small: bool) -> bytes:
        return self.photos.show(sha256, as_small)

    def devices(self) -> list[dict[str, Any]]:
        with self.reading() as connection:
            return devices.devices(connection, the_shop(connection))

    def asides(self) -> Asides:
        with self.reading() as connection:
            return held.asides(connection, the_shop(connection))

    def deal(self, aside: str, person: str, reason: str) -> None:
        with self.writer.writing() as connection:
            held.deal(connection, the_shop(connection), aside, person, reason)

    def deal_by_number(self, device: str, device_no: int, person: str, reason: str) -> None:
        """Raises Problem person_unknown, unknown_held or already_dealt."""
        with self.writer.writing() as connection:
            shop = the_shop(connection)
            if person not in authors(connection, shop):
                raise Problem("person_unknown", person=person)
            held.deal_by_number(connection, shop, device, device_no, person, reason)

    def proof(self, entry: str) -> dict[str, Any]:
        """Which device and whose key an entry came from. Raises Problem unknown_entry."""
        with self.reading() as connection:
            return proof(connection, the_shop(connection), entry)

    def speakers(self, device: str, no: int) -> set[str]:
        """Who else may speak for what this device wrote under a number: who brought it, and what its browser is now."""
        if no > MOST_NUMBER:
            return set()
        with self.reading() as connection:
            shop = the_shop(connection)
            return signers(connection, shop, device, no) | successors(connection, shop, device)

    def check(self) -> Report:
        with self.reading() as connection:
            return check_book(connection, the_shop(connection))

    def facts(self) -> dict[str, Any]:
        """Whether the database answers, and how far the book has come."""
        with self.reading() as connection:
            counter = read_counter(connection, the_shop(connection))
            return {"epoch": counter.epoch, "last_seq": counter.last_seq}
