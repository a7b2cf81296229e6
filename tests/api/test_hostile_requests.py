"""Requests that no client of ours sends: never a fault of the server, never a way around, and nobody else waits."""

import asyncio
import gzip
import json
import re
import socket
import time
import zlib
from contextlib import ExitStack
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standbook.api import bridge, compression, limits, serving
from standbook.api.guard import PREFIX
from standbook.config import MAX_BLOB, MAX_BODY
from standbook.errors import Problem
from tests.api.test_http import Silent, open_one, scope, taken
from tests.faults.process import Server
from tests.ledger.kit import LEAD, PASSWORD, Book
from tests.ledger.pictures import address, jpeg

__all__ = ["open_one"]
OURS = {"X-Standbook": "1"}
JSON = {**OURS, "Content-Type": "application/json"}
HOST = b"Host: 127.0.0.1\r\nConnection: close\r\n"


@pytest.fixture
def client(book: Book) -> FlaskClient:
    (book.settings.web / "assets").mkdir(parents=True)
    (book.settings.web / "index.html").write_text("<!doctype html><title>Standbook</title>")
    (book.settings.web / "sw.js").write_text("self.addEventListener('fetch', () => {})")
    (book.settings.data / "secret.txt").write_text("the book")
    return book.app.test_client()


# --- addresses and headers ---


@pytest.mark.parametrize("length", [300, 5_000, 60_000])
@pytest.mark.parametrize("start", ["/", "/assets/", "/api/v1/", "/api/v1/photos/", "/api/v1/builds/"])
def test_an_address_longer_than_any_file_finds_nothing(client: FlaskClient, start: str, length: int) -> None:
    assert client.get(start + "a" * length).status_code == 404


OUT = """
/assets/..%2f..%2fsecret.txt /assets/%252e%252e%252f%252e%252e%252fsecret.txt /..%5c..%5csecret.txt
/assets//secret.txt /assets/....//secret.txt /%2e%2e%2fsecret.txt /secret.txt%00.js /~/secret.txt
/assets/\u2024\u2024/secret.txt /%c0%ae%c0%ae/secret.txt /index.html/../../secret.txt /./../secret.txt
"""


@pytest.mark.parametrize("path", OUT.split())
def test_no_way_of_writing_a_path_leads_out_of_the_client(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert b"the book" not in answer.data


DATES = ("Mon, 01 Jan 99999999999 00:00:00 GMT", "Fri, 31 Dec 9999 23:59:59 -2359", "yesterday", "")
ODD_HEADERS = [
    *(("If-Modified-Since", date) for date in DATES),
    *(("If-Unmodified-Since", date) for date in DATES),
    ("Range", "bytes=" + "9" * 5000 + "-"),
    ("If-None-Match", 'W/"' * 1000),
    ("Accept-Encoding", "gzip;q=" + "9" * 5000),
    ("Accept-Encoding", "gzip;q=nan"),
    ("Cookie", "standbook_session=%00\xff"),
    ("Cookie", "standbook_session=" + "x" * 9000),
    ("Content-Type", "application/json; charset=\xff"),
    ("Authorization", "Digest " + "a=" * 999),
    ("Content-Length", "9" * 30),
]


@pytest.mark.parametrize("path", ["/sw.js", "/api/v1/shop", "/api/v1/sync/pull"])
@pytest.mark.parametrize(("name", "value"), ODD_HEADERS, ids=lambda text: str(text)[:30])
def test_odd_headers_are_no_fault_of_the_server(client: FlaskClient, name: str, value: str, path: str) -> None:
    assert client.get(path, headers={name: value}).status_code < 500


@pytest.mark.parametrize(
    "host", ["", "localhost:99999", "localhost:x", "[::1", "a, 127.0.0.1", "127.0.0.1.", "LOCALHOST"]
)
def test_a_host_that_is_not_exactly_ours_is_refused(client: FlaskClient, host: str) -> None:
    answer = client.get("/api/v1/shop", headers={"Host": host})
    assert (answer.status_code, answer.json["error"]["code"]) == (400, "unknown_host")


@pytest.mark.parametrize("said", ["0" * 15 + "1" * 5000, "9" * 16, "1e3", "+1", " 1", "1_0", "٣"])
def test_an_offset_that_is_no_plain_number_is_told(client: FlaskClient, said: str) -> None:
    headers = {**OURS, "Content-Type": "application/partial-upload", "Upload-Offset": said.encode().decode("latin-1")}
    answer = client.patch(f"{PREFIX}/photos/{'a' * 64}", data=b"x", headers=headers)
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "invalid")


def test_an_address_cannot_begin_a_line_of_the_log(
    client: FlaskClient, book: Book, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(type(book.services.ledger), "blob", lambda *_: 1 / 0)
    assert client.get(f"{PREFIX}/blobs/x%0d%0aERROR%20made%20up").status_code == 500
    assert "blobs/x\\r\\nERROR made up" in caplog.text
    assert "\nERROR made up" not in caplog.text


def test_a_header_with_an_underscore_is_not_taken_for_the_one_that_a_proxy_has_checked() -> None:
    items = [("x-forwarded-for", "10.0.0.7"), ("x_forwarded_for", "127.0.0.1"), ("x_standbook", "1")]
    assert bridge.headers_of(items) == {"HTTP_X_FORWARDED_FOR": "10.0.0.7"}


# --- the same by the wire ---


def said(to: Server, request: bytes) -> bytes:
    """All that the server answers to these bytes."""
    with socket.create_connection(("127.0.0.1", to.port), 10) as connection:
        connection.sendall(request)
        pieces = []
        while piece := connection.recv(65536):
            pieces.append(piece)
    return b"".join(pieces)


def post(path: bytes, more: bytes, body: bytes) -> bytes:
    return b"POST " + path + b" HTTP/1.1\r\n" + HOST + b"X-Standbook: 1\r\n" + more + b"\r\n" + body


def get(path: bytes, more: bytes = b"") -> bytes:
    return b"GET " + path + b" HTTP/1.1\r\n" + HOST + more + b"\r\n"


KIND = b"Content-Type: application/json\r\n"
RAW = {
    "another host too": (get(b"/api/v1/shop", b"Host: evil.example\r\n"), b"400"),
    "a break in an address": (get(b"/x%0d%0aSet-Cookie:%20a=b"), b"404"),
    "a break in a header": (get(b"/", b"X: a\rSet-Cookie: b\r\n"), b"400"),
    "a folded header": (get(b"/", b"X: a\r\n b\r\n"), b"400"),
    "three hundred headers": (get(b"/", b"X: a\r\n" * 300), b"431"),
    "an address without end": (get(b"/" + b"a" * 70_000), b"414"),
    "half a percent": (get(b"/%zz%e0%a4%a"), b"404"),
    "bytes that are no address": (get(b"/\xff\xfe"), b"400"),
    "two lengths": (post(b"/api/v1/session", b"Content-Length: 2\r\nContent-Length: 5\r\n" + KIND, b"{}"), b"400"),
    "a length below zero": (post(b"/api/v1/session", b"Content-Length: -1\r\n" + KIND, b""), b"400"),
    "a length and pieces": (
        post(b"/api/v1/session", b"Content-Length: 9\r\nTransfer-Encoding: chunked\r\n" + KIND, b"0\r\n\r\n"),
        b"400",
    ),
    "a piece without a size": (
        post(b"/api/v1/session", b"Transfer-Encoding: chunked\r\n" + KIND, b"ZZ\r\n\r\n"),
        b"400",
    ),
    "a kind that is no text": (post(b"/api/v1/session", b"Content-Type: \xff\r\nContent-Length: 2\r\n", b"{}"), b"415"),
    "our header by another name": (
        b"POST /api/v1/session HTTP/1.1\r\n" + HOST + b"X_Standbook: 1\r\n" + KIND + b"Content-Length: 2\r\n\r\n{}",
        b"403",
    ),
    "an echo": (b"TRACE /api/v1/shop HTTP/1.1\r\n" + HOST + b"X-Standbook: 1\r\n\r\n", b"405"),
    "a way through": (b"CONNECT evil.example:80 HTTP/1.1\r\n" + HOST + b"\r\n", b"403"),
    "another protocol": (get(b"/api/v1/health", b"Upgrade: websocket\r\nConnection: Upgrade\r\n"), b"40"),
}


def test_the_door_answers_what_is_odd_and_says_nothing_of_what_it_is_made_of(open_one: Server) -> None:
    for what, (request, status) in RAW.items():
        answer = said(open_one, request)
        head = answer.partition(b"\r\n\r\n")[0]
        assert head.startswith((b"HTTP/1.1 " + status, b"HTTP/1.0 " + status)), (what, answer)
        assert b"set-cookie" not in head.lower(), what
        assert b"granian" not in answer.lower(), what
    assert re.findall(rb"\r\nserver: (.*?)\r\n", said(open_one, get(b"/api/v1/health"))) == [b"standbook"]


def test_who_only_holds_connections_open_keeps_nobody_out(open_one: Server) -> None:
    with ExitStack() as held:
        for number in range(140):
            connection = held.enter_context(socket.create_connection(("127.0.0.1", open_one.port), 10))
            connection.sendall((b"", b"GET / HTTP/1.1\r\nHo", post(b"/api/v1/sync/push", KIND, b""))[number % 3])
        assert open_one.ask("GET", "/api/v1/health")[0] == 200


# --- bodies ---


class Dripping(Silent):
    """A body that comes byte by byte and never ends."""

    def __init__(self, piece: bytes = b"x", every: float = 0.01) -> None:
        self.piece, self.every = piece, every

    async def __anext__(self) -> bytes:
        await asyncio.sleep(self.every)
        return self.piece


def at(path: str) -> Any:
    asked = scope()
    asked.path = path
    return asked


def code_of(replies: list[Any]) -> tuple[int, str]:
    ((status, _, body),) = replies
    return status, json.loads(body)["error"]["code"]


def test_a_body_that_drips_without_end_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "LONGEST", 0.2)
    told = taken(at("/api/v1/sync/push"), Dripping(), lambda data: pytest.fail("must not be asked"))
    assert code_of(told) == (408, "too_slow")


class DueAtOnce(Dripping):
    """A busy machine: when it looks again, a piece and the end of all patience are both due. Ends by itself, some time
    after it should have been given up."""

    def __init__(self) -> None:
        super().__init__()
        self.left = 5

    async def __anext__(self) -> bytes:
        if self.left == 0:
            raise StopAsyncIteration
        self.left -= 1
        loop = asyncio.get_running_loop()
        piece: asyncio.Future[bytes] = loop.create_future()
        loop.call_later(0.001, piece.set_result, self.piece)
        time.sleep(0.1)
        return await piece


def test_a_body_whose_piece_comes_as_its_time_is_over_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "LONGEST", 0.05)
    told = taken(at("/api/v1/sync/push"), DueAtOnce(), lambda data: pytest.fail("must not be asked"))
    assert code_of(told) == (408, "too_slow")


def test_bodies_on_their_way_are_bounded_together(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "MOST_AT_ONCE", 5 * 2**20)
    told = taken(at("/api/v1/sync/push"), Dripping(bytes(2**20), 0), lambda data: pytest.fail("must not be asked"))
    assert code_of(told) == (503, "crowded")


def test_a_body_in_pieces_is_read_no_further_than_its_address_allows() -> None:
    seen: list[int] = []
    taken(at("/api/v1/session"), Dripping(bytes(1000), 0), lambda data: seen.append(len(data)) or 1 / 0)
    assert seen[0] <= limits.SMALL + 1000


SIZES = {
    "/session": limits.SMALL,
    f"/blobs/{'0' * 64}": MAX_BLOB,
    f"/photos/{'0' * 64}": limits.MOST_PIECE,
    "/sync/push": MAX_BODY,
}


@pytest.mark.parametrize("packed", [False, True], ids=["as it is", "packed"])
@pytest.mark.parametrize("path", SIZES)
def test_a_body_larger_than_its_address_takes_is_refused(book: Book, path: str, packed: bool) -> None:
    method = "PUT" if "blobs" in path else "PATCH" if "photos" in path else "POST"
    kind = {"Content-Type": "application/partial-upload" if "photos" in path else "application/json"}
    body = b" " * (SIZES[path] + 1)
    headers = {**OURS, **kind, "Upload-Offset": "0"}
    if packed:
        body, headers = gzip.compress(body, 1), {**headers, "Content-Encoding": "gzip"}
    answer = book.app.test_client().open(PREFIX + path, method=method, data=body, headers=headers)
    assert (answer.status_code, answer.json["error"]["code"]) == (413, "too_large")
    assert answer.json["error"]["details"] == {"limit": SIZES[path]}


def test_a_bomb_of_gzip_is_stopped_at_the_bound() -> None:
    bomb = gzip.compress(bytes(64 * 2**20), 9)
    assert len(bomb) < 70_000
    with pytest.raises(Problem) as told:
        compression.unpacked(bomb, limits.SMALL)
    assert told.value.code == "too_large"


WHOLE = gzip.compress(b'{"device": "d", "from_no": 1, "entries": []}', mtime=0)


@given(
    st.one_of(
        st.binary(max_size=60),
        st.integers(0, len(WHOLE)).map(lambda at: WHOLE[:at]),
        st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 255)).map(
            lambda change: WHOLE[: change[0]] + bytes([change[1]]) + WHOLE[change[0] + 1 :]
        ),
        st.just(WHOLE * 2),
        st.just(WHOLE + b"more"),
        st.just(zlib.compress(b"{}")),
    )
)
def test_a_packed_body_is_unpacked_whole_or_told(data: bytes) -> None:
    try:
        found = compression.unpacked(data, 1000)
    except Problem as problem:
        found = problem.code.encode()
    assert found in (b"bad_gzip", b"too_large") or found == gzip.decompress(data)


# --- photos by the wire ---

PICTURE = jpeg(400, 300)
ACTS = st.tuples(
    st.integers(-1, 5), st.integers(0, 4000), st.sampled_from(["?1", "?0", "", "yes"]), st.booleans(), st.booleans()
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(ACTS, max_size=6))
def test_pieces_that_lie_about_their_place_never_spoil_a_photo(client: FlaskClient, acts: list[Any]) -> None:
    """Whatever came before, the phone that asks and goes on from there gets its photo to the shop."""
    url = f"{PREFIX}/photos/{address(PICTURE)}"
    for back, length, last, true, packed in acts:
        offset = max(0, int(client.head(url).headers["Upload-Offset"]) - back * 100) if true else length
        data = PICTURE[offset : offset + length]
        headers = {**OURS, "Content-Type": "application/partial-upload", "Upload-Offset": str(offset)}
        headers |= {"Upload-Complete": last} | ({"Content-Encoding": "gzip"} if packed else {})
        answer = client.patch(url, data=gzip.compress(data) if packed else data, headers=headers)
        assert answer.status_code in (204, 409, 422), answer.json
    come = int(client.head(url).headers["Upload-Offset"])
    headers = {
        **OURS,
        "Content-Type": "application/partial-upload",
        "Upload-Offset": str(come),
        "Upload-Complete": "?1",
    }
    assert client.patch(url, data=PICTURE[come:], headers=headers).status_code == 204
    assert client.get(url).data[:2] == b"\xff\xd8"


# --- what every answer says to the browser ---

ADDRESSES = ("/", "/sw.js", "/nowhere", f"{PREFIX}/health", f"{PREFIX}/nowhere", f"{PREFIX}/openapi.json")


@pytest.mark.parametrize("path", ADDRESSES)
@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS", "POST"])
def test_every_answer_tells_the_browser_what_it_may_not_do(client: FlaskClient, path: str, method: str) -> None:
    headers = client.open(path, method=method, headers=OURS).headers
    assert headers["Cross-Origin-Embedder-Policy"] == "require-corp"
    assert headers["Cross-Origin-Opener-Policy"] == headers["Cross-Origin-Resource-Policy"] == "same-origin"
    allowed = dict(part.split("=") for part in headers["Permissions-Policy"].split(", "))
    assert set(allowed.values()) == {"()"}
    assert {"geolocation", "microphone", "usb", "payment"} <= set(allowed)
    assert not {"camera", "screen-wake-lock", "storage-access"} & set(allowed), "a stand takes pictures and stays on"
    assert "Access-Control-Allow-Origin" not in headers
    assert headers["Content-Type"] != "text/html" or "charset" in headers["Content-Type"]


def test_signing_out_ends_the_session_and_leaves_the_browser_its_book(client: FlaskClient) -> None:
    sign_in = {"person": LEAD, "password": PASSWORD}
    cookie = client.post(f"{PREFIX}/session", json=sign_in, headers=OURS).headers["Set-Cookie"]
    assert {"HttpOnly", "SameSite=Strict", f"Path={PREFIX}"} <= set(cookie.split("; "))
    answer = client.delete(f"{PREFIX}/session", headers=OURS)
    assert "Max-Age=0" in answer.headers["Set-Cookie"]
    assert "Clear-Site-Data" not in answer.headers, "it would wipe what the phone has not sent yet"
    token = cookie.partition("=")[2].partition(";")[0]
    client.set_cookie("standbook_session", token, path=PREFIX)
    assert client.get(f"{PREFIX}/session").json == {"person": None}


def test_a_secure_origin_gives_secure_cookies(book: Book) -> None:
    sign_in = {"person": LEAD, "password": PASSWORD}
    client = book.app.test_client()
    answer = client.post(f"{PREFIX}/session", json=sign_in, headers=OURS, base_url="https://localhost")
    assert "Secure" in answer.headers["Set-Cookie"].split("; ")
