"""What the HTTP server in front makes of a request, and of one that is odd."""

import asyncio
import gzip
import http.client
import json
from collections.abc import Callable, Iterator
from contextlib import closing
from types import SimpleNamespace
from typing import Any

import pytest

from standbook.api import bridge, serving
from standbook.config import MAX_BODY
from tests.faults.process import Server, server
from tests.ledger.kit import Book, Phone


@pytest.fixture
def open_one(book: Book) -> Iterator[Server]:
    book.close()
    with server(book.settings.data) as running:
        yield running


def asked(to: Server, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, bytes]:
    with closing(http.client.HTTPConnection("127.0.0.1", to.port, timeout=20)) as connection:
        connection.request(method, path, body, {"X-Standbook": "1", **headers})
        reply = connection.getresponse()
        return reply.status, reply.read()


def test_a_body_in_pieces_without_a_length_arrives_whole(open_one: Server, phone: Phone) -> None:
    phone.write()
    text = json.dumps({"device": phone.id, "from_no": 1, "entries": phone.texts}).encode()
    pieces = iter([text[:50], text[50:]])
    _, answer = asked(open_one, "POST", "/api/v1/sync/push", pieces, **{"Content-Type": "application/json"})
    assert json.loads(answer)["answers"][0]["result"] == "stored"


def test_a_packed_body_arrives_whole(open_one: Server, phone: Phone) -> None:
    phone.write()
    packed = gzip.compress(json.dumps({"device": phone.id, "from_no": 1, "entries": phone.texts}).encode())
    headers = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
    _, answer = asked(open_one, "POST", "/api/v1/sync/push", packed, **headers)
    assert json.loads(answer)["answers"][0]["result"] == "stored"


def test_an_entry_of_ten_megabytes_arrives_and_is_held_back(open_one: Server, phone: Phone) -> None:
    body = json.dumps({"device": phone.id, "from_no": 1, "entries": ["x" * 10_000_000]}).encode()
    _, answer = asked(open_one, "POST", "/api/v1/sync/push", body, **{"Content-Type": "application/json"})
    assert json.loads(answer)["answers"][0]["code"] == "entry_too_large"


def test_a_body_that_says_it_is_too_large_is_refused_unread(open_one: Server) -> None:
    headers = {"Content-Type": "application/json", "Content-Length": str(MAX_BODY + 1)}
    status, answer = asked(open_one, "POST", "/api/v1/sync/push", None, **headers)
    assert (status, json.loads(answer)["error"]["code"]) == (413, "too_large")


def test_asking_for_the_head_alone_gives_no_body(open_one: Server) -> None:
    status, answer = asked(open_one, "HEAD", "/api/v1/health")
    assert (status, answer) == (200, b"")


@pytest.mark.parametrize("path", ["/api/v1/builds/%ff%fe", "/api/v1/builds/%E2%82%AC", "/%00", "/a%2f..%2fb", "//shop"])
def test_odd_addresses_get_the_usual_error(open_one: Server, path: str) -> None:
    status, answer = asked(open_one, "GET", path)
    body = json.loads(answer)
    assert (status, set(body["error"])) == (404, {"code", "message", "details"})


def test_headers_that_come_twice_are_joined() -> None:
    items = [("accept", "a"), ("accept", "b"), ("cookie", "x=1"), ("cookie", "y=2"), ("content-type", "t")]
    assert bridge.headers_of(items) == {"HTTP_ACCEPT": "a,b", "HTTP_COOKIE": "x=1; y=2", "CONTENT_TYPE": "t"}


class Silent:
    """A body of which nothing comes any more after its first pieces."""

    def __init__(self, *pieces: bytes) -> None:
        self.pieces = list(pieces)

    def __aiter__(self) -> "Silent":
        return self

    async def __anext__(self) -> bytes:
        if self.pieces:
            return self.pieces.pop(0)
        await asyncio.sleep(60)
        raise StopAsyncIteration


def taken(scope: Any, body: Silent, work: Callable[[bytes], Any]) -> list[Any]:
    """What the door answers to a request with this body."""
    replies: list[Any] = []
    app = SimpleNamespace(wsgi_app=lambda environ, start: work(environ["wsgi.input"].read()))
    door = serving.Door(app, 1)  # type: ignore[arg-type]
    body.response_bytes = lambda *reply: replies.append(reply)  # type: ignore[attr-defined]
    asyncio.run(door(scope, body))
    door.close()
    return replies


def scope() -> Any:
    empty: dict[str, str] = {}
    parts = {"proto": "http", "method": "POST", "path": "/", "query_string": "", "scheme": "http"}
    return SimpleNamespace(headers=empty, server="127.0.0.1:1", client="127.0.0.1:2", **parts)


def test_a_body_that_falls_silent_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "SILENCE", 0.05)
    ((status, _, body),) = taken(scope(), Silent(b"{", b'"a'), lambda data: pytest.fail("must not be asked"))
    assert (status, json.loads(body)["error"]["code"]) == (408, "too_slow")


def test_a_fault_outside_the_applications_handlers_gets_the_usual_error(caplog: pytest.LogCaptureFixture) -> None:
    class Whole(Silent):
        async def __anext__(self) -> bytes:
            raise StopAsyncIteration

    ((status, _, body),) = taken(scope(), Whole(), lambda data: 1 / 0)
    assert (status, json.loads(body)["error"]["code"]) == (500, "internal")
    assert "ZeroDivisionError" in caplog.text
