"""PINs for the test shop, and the phone's side of a proof."""

import base64
import json
from functools import cache

import msgspec
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa

from standbook.ledger.counter import read_counter
from standbook.ledger.wire import Proof, Push, Pushed
from standbook.network import private, seal
from standbook.people import pins
from tests.ledger.kit import Book, Phone

PIN, OTHER_PIN, NEW_PIN = "402718", "730264", "615903"
#: A test hashes quickly; that the real count is kept stands in a test of its own.
FEW = 1000


def quick(pin: str) -> pins.Hashed:
    salt = b"0123456789abcdef"
    return pins.Hashed(pins.encoded(salt), pins.encoded(pins.slow(pin, salt, FEW)), FEW)


@cache
def key() -> bytes:
    return seal.fresh()


def lend_key(book: Book) -> None:
    """One key pair for all tests of a process: making one takes its time."""
    path = private.folder(book.settings.keys) / seal.FILE
    if not path.exists():
        private.write(path, key())


def give_pin(book: Book, person: str, pin: str = PIN) -> int:
    """A PIN as of now; gives its number."""
    lend_key(book)
    shop = book.ledger.shop()
    with book.services.writer.writing() as connection:
        return pins.give(connection, person, quick(pin), "lea-d", read_counter(connection, shop).last_seq)


def sealed(book: Book, inside: object) -> str:
    """Sealed to the shop's key as a phone does it."""
    public = serialization.load_der_public_key(base64.b64decode(book.ledger.seal.public.key))
    assert isinstance(public, rsa.RSAPublicKey)
    sha256 = hashes.SHA256()
    oaep = padding.OAEP(mgf=padding.MGF1(sha256), algorithm=sha256, label=None)
    return base64.b64encode(public.encrypt(json.dumps(inside).encode(), oaep)).decode()


def proof(book: Book, text: str, pin: str = PIN, number: int = 1, **other: str) -> Proof:
    """The proof for an entry by its text. `other`: another `entry` inside, or another `person`."""
    entry = json.loads(text)
    inside = {"pin": pin, "number": number, "entry": other.get("entry", entry["id"])}
    return Proof(entry["device_no"], other.get("person", entry["person"]), sealed(book, inside))


def push(phone: Phone, *proofs: Proof, signed_in: str | None = None, **about: str) -> Pushed:
    """Everything that the phone has, with these proofs."""
    wires = [msgspec.Raw(msgspec.json.encode(text)) for text in phone.texts]
    return phone.book.ledger.push(Push(phone.id, 1, wires, proofs=list(proofs), **about), signed_in)
