"""Phones with a key of their own: they sign their batches as WebCrypto does."""

import base64
from collections.abc import Sequence
from typing import Any

import msgspec
from cryptography.hazmat.primitives.asymmetric.ec import ECDSA, SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from standbook.ledger.wire import Push, Pushed
from standbook.people import joining
from tests.ledger.kit import BUILDER, LEAD, Book, Phone


def new_key() -> EllipticCurvePrivateKey:
    return generate_private_key(SECP256R1())


def spki(key: EllipticCurvePrivateKey) -> str:
    data = key.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return base64.b64encode(data).decode()


def signed(key: EllipticCurvePrivateKey, message: bytes) -> str:
    """r and s, 32 bytes each."""
    r, s = decode_dss_signature(key.sign(message, ECDSA(SHA256())))
    return base64.b64encode(r.to_bytes(32) + s.to_bytes(32)).decode()


def batch(device: str, from_no: int, texts: Sequence[str]) -> bytes:
    """What is signed of a batch, written down once more: the server's own words are what is tested."""
    return "\n".join(["standbook batch 1", device, str(from_no), "\n".join(texts)]).encode()


class KeyedPhone(Phone):
    """It has joined, and signs what it sends. `key`: another phone's, where it is its copy."""

    def __init__(
        self, book: Book, person: str = BUILDER, key: EllipticCurvePrivateKey | None = None, joins: bool = True
    ) -> None:
        super().__init__(book, person)
        self.key = key or new_key()
        if joins:
            self.join()

    def join(self) -> None:
        with self.book.services.writer.writing() as connection:
            device = joining.Key(self.id, spki(self.key), "")
            joining.join(connection, self.book.ledger.shop(), device, LEAD)

    def push_raw(self, from_no: int, wires: list[bytes], signed_in: str | None = None, **about: Any) -> Pushed:
        texts = [msgspec.json.decode(wire, type=str) for wire in wires]
        about.setdefault("signature", signed(self.key, batch(self.id, from_no, texts)))
        return super().push_raw(from_no, wires, signed_in, **about)

    def carry(self, other: Phone, from_no: int, texts: list[str]) -> Pushed:
        """Hands in what another phone wrote, under this one's key."""
        raws = [msgspec.Raw(msgspec.json.encode(text)) for text in texts]
        signature = signed(self.key, batch(other.id, from_no, texts))
        return self.book.ledger.push(Push(other.id, from_no, raws, carrier=self.id, signature=signature), None)

    def twin(self) -> "KeyedPhone":
        """Its storage on another phone: the same name, the same key, the same entries so far."""
        copied = KeyedPhone(self.book, self.person, self.key, joins=False)
        copied.id, copied.texts = self.id, [*self.texts]
        return copied
