"""A shop on its network, and devices that join it."""

import base64
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import ECDSA, SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from standbook.api.guard import PREFIX
from standbook.ids import uuid7
from standbook.network.whereabouts import Whereabouts
from tests.ledger.kit import Book

OURS = {"X-Standbook": "1"}


def whereabouts(**more: Any) -> Whereabouts:
    given = {"origin": "https://shop.local:8443", "name": "shop.local", "port": 8443, "door_port": 8764}
    return Whereabouts(**{**given, "fingerprint": "AB:CD", "addresses": ["192.168.1.20"], **more})


class Device:
    """A phone's or browser's side: its id, its key, its cookies."""

    def __init__(self, book: Book, device: str | None = None, key: EllipticCurvePrivateKey | None = None) -> None:
        self.id = device or uuid7()
        self.key = key or generate_private_key(SECP256R1())
        self.client: FlaskClient = book.app.test_client()

    @property
    def public_key(self) -> str:
        spki = self.key.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
        return base64.b64encode(spki).decode()

    def signed(self, message: bytes) -> str:
        """As WebCrypto gives it: r and s, 32 bytes each."""
        r, s = decode_dss_signature(self.key.sign(message, ECDSA(SHA256())))
        return base64.b64encode(r.to_bytes(32) + s.to_bytes(32)).decode()

    def ask(self, method: str, path: str, **more: Any) -> TestResponse:
        return self.client.open(PREFIX + path, method=method, headers=OURS, **more)

    def join(self, code: str) -> TestResponse:
        form = {"code": code, "device": self.id, "device_name": "Phone 1", "public_key": self.public_key}
        return self.ask("POST", "/join", json=form)

    def challenge(self) -> str:
        told: str = answered(self.ask("POST", "/devices/challenge", json={"device": self.id}))["challenge"]
        return told

    def prove(self, challenge: str, device: str | None = None) -> TestResponse:
        device = device or self.id
        signature = self.signed(f"standbook proof 1\n{device}\n{challenge}".encode())
        return self.ask(
            "POST", "/devices/proof", json={"device": device, "challenge": challenge, "signature": signature}
        )

    def forget(self) -> None:
        """Its cookies are gone."""
        self.client = self.client.application.test_client()

    def push(self, **more: Any) -> TestResponse:
        return self.ask("POST", "/sync/push", json={"device": self.id, "from_no": 1, "entries": [], **more})


def answered(answer: TestResponse) -> dict[str, Any]:
    assert answer.status_code < 300, answer.text
    body: dict[str, Any] = answer.json or {}
    return body


def refused(answer: TestResponse) -> tuple[int, str]:
    assert answer.json is not None
    return answer.status_code, answer.json["error"]["code"]
