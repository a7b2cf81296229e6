"""A shop on its network, and devices that join it."""

from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from standbook.api.guard import PREFIX
from standbook.ids import uuid7
from standbook.network.whereabouts import Whereabouts
from tests.ledger.keys import batch, new_key, signed, spki
from tests.ledger.kit import Book

OURS = {"X-Standbook": "1"}


def whereabouts(**more: Any) -> Whereabouts:
    given = {"origin": "https://shop.local:8443", "name": "shop.local", "port": 8443, "door_port": 8764}
    return Whereabouts(**{**given, "fingerprint": "AB:CD", "addresses": ["192.168.1.20"], **more})


class Device:
    """A phone's or browser's side: its id, its key, its cookies."""

    def __init__(self, book: Book, device: str | None = None, key: EllipticCurvePrivateKey | None = None) -> None:
        self.id = device or uuid7()
        self.key = key or new_key()
        self.client: FlaskClient = book.app.test_client()

    @property
    def public_key(self) -> str:
        return spki(self.key)

    def signed(self, message: bytes) -> str:
        return signed(self.key, message)

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
        """Signs it, unless the test says otherwise."""
        body = {"device": self.id, "from_no": 1, "entries": [], **more}
        body.setdefault("signature", self.signed(batch(body["device"], body["from_no"], body["entries"])))
        return self.ask("POST", "/sync/push", json=body)


def answered(answer: TestResponse) -> dict[str, Any]:
    assert answer.status_code < 300, answer.text
    body: dict[str, Any] = answer.json or {}
    return body


def refused(answer: TestResponse) -> tuple[int, str]:
    assert answer.json is not None
    return answer.status_code, answer.json["error"]["code"]
