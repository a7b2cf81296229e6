"""The built client as the server hands it out, and the headers of every answer."""

import gzip
import hashlib

import pytest
from flask.testing import FlaskClient

from tests.ledger.kit import Book

SCRIPT = b"export const answer = 42\n" * 100


@pytest.fixture
def client(book: Book) -> FlaskClient:
    web = book.settings.web
    (web / "assets").mkdir(parents=True)
    (web / "index.html").write_text("<!doctype html><title>Standbook</title>")
    (web / "sw.js").write_text("self.addEventListener('fetch', () => {})")
    (web / "manifest.webmanifest").write_text("{}")
    (web / "assets" / "index-abc123.js").write_bytes(SCRIPT)
    (web / "assets" / "micropython-def456.wasm").write_bytes(b"\0asm" * 500)
    (web / "assets" / "trade-fed987.pack").write_bytes(b"pack" * 500)
    (web / "door").mkdir()
    (web / "door" / "door.html").write_text("<!doctype html><title>Join</title>")
    (book.settings.data / "secret.txt").write_text("the book")
    return book.app.test_client()


@pytest.mark.parametrize(
    "address",
    [
        "/",
        "/join",
        "/desk",
        "/desk/new",
        "/desk/build/1/label",
        "/build/1",
        "/build/1/step/journals",
        "/calculators",
        "/calculators/preload",
    ],
)
def test_every_screen_is_the_same_page_and_is_asked_for_anew(client: FlaskClient, address: str) -> None:
    answer = client.get(address)
    assert (answer.status_code, answer.mimetype) == (200, "text/html")
    assert answer.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize(
    ("address", "kind"),
    [
        ("/assets/index-abc123.js", "text/javascript; charset=utf-8"),
        ("/assets/micropython-def456.wasm", "application/wasm"),
        ("/assets/trade-fed987.pack", "application/octet-stream"),
    ],
)
def test_hashed_assets_may_be_kept_for_ever(client: FlaskClient, address: str, kind: str) -> None:
    answer = client.get(address)
    assert (answer.status_code, answer.headers["Content-Type"]) == (200, kind)
    assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"


@pytest.mark.parametrize("address", ["/sw.js", "/manifest.webmanifest"])
def test_the_worker_and_the_manifest_are_asked_for_anew(client: FlaskClient, address: str) -> None:
    answer = client.get(address)
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "no-cache")


@pytest.mark.parametrize("address", ["/assets/index-gone.js", "/assets/", "/assets/../index.html", "/favicon.ico"])
def test_what_is_not_there_is_never_the_page(client: FlaskClient, address: str) -> None:
    answer = client.get(address)
    assert (answer.status_code, answer.mimetype) == (404, "application/json")


@pytest.mark.parametrize(
    "address", ["/../secret.txt", "/..%2fsecret.txt", "/assets/../../secret.txt", "/%2e%2e/secret.txt"]
)
def test_nothing_outside_the_client_is_handed_out(client: FlaskClient, address: str) -> None:
    assert client.get(address).status_code == 404


@pytest.mark.parametrize("address", ["/door/door.html", "/./door/door.html", "/assets/%2e%2e/door/door.html"])
def test_the_page_of_the_phones_that_have_not_joined_is_served_elsewhere(client: FlaskClient, address: str) -> None:
    assert client.get(address).status_code == 404


def test_an_unchanged_file_is_not_sent_again(client: FlaskClient) -> None:
    first = client.get("/sw.js")
    assert client.get("/sw.js", headers={"If-None-Match": first.headers["ETag"]}).status_code == 304


def test_a_rebuilt_file_is_sent_anew(client: FlaskClient, book: Book) -> None:
    first = client.get("/sw.js")
    (book.settings.web / "sw.js").write_text("// another one")
    assert client.get("/sw.js", headers={"If-None-Match": first.headers["ETag"]}).text == "// another one"


def test_what_gains_by_it_is_packed(client: FlaskClient) -> None:
    answer = client.get("/assets/index-abc123.js", headers={"Accept-Encoding": "gzip"})
    assert gzip.decompress(answer.data) == SCRIPT
    assert len(answer.data) < len(SCRIPT) / 5


def test_a_client_that_is_not_built_is_told_in_words(book: Book) -> None:
    answer = book.app.test_client().get("/")
    assert (answer.status_code, answer.json["error"]["code"]) == (503, "client_missing")


@pytest.mark.parametrize("address", ["/", "/api/v1/health", "/api/v1/nowhere", "/assets/index-abc123.js"])
def test_every_answer_carries_the_headers_that_keep_strangers_out(client: FlaskClient, address: str) -> None:
    headers = client.get(address).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'self'"
    assert policy["script-src"] == "'self' 'wasm-unsafe-eval'"
    assert policy["frame-ancestors"] == "'none'"
    assert "unsafe-inline" not in headers["Content-Security-Policy"]
    assert "'unsafe-eval'" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Frame-Options"] == "DENY"


def test_a_page_says_what_it_never_asks_of_a_phone_and_its_assets_need_not_repeat_it(client: FlaskClient) -> None:
    """W3C Permissions Policy, section 5: the header is read of the answer that a page is made of."""
    assert "geolocation=()" in client.get("/").headers["Permissions-Policy"]
    assert "Permissions-Policy" not in client.get("/assets/index-abc123.js").headers


def test_answers_of_the_book_are_never_kept_by_a_cache(client: FlaskClient) -> None:
    assert client.get("/api/v1/health").headers["Cache-Control"] == "no-store"
    assert client.get("/api/v1/shop").headers["Cache-Control"] == "no-cache"


def test_a_text_is_handed_out_under_a_name_of_ours_and_is_never_shown(client: FlaskClient, book: Book) -> None:
    data = b"<script>alert(1)</script>"
    sha256 = hashlib.sha256(data).hexdigest()
    book.ledger.keep_blob(sha256, data)
    answer = client.get(f"/api/v1/blobs/{sha256}")
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{sha256}.bin"'
    assert (answer.mimetype, answer.headers["X-Content-Type-Options"]) == ("application/octet-stream", "nosniff")
    assert answer.headers["Cache-Control"].startswith("private")


@pytest.mark.parametrize("takes", ["gzip, deflate, br, zstd", "br"])
def test_an_asset_that_the_build_has_packed_goes_out_so(book: Book, client: FlaskClient, takes: str) -> None:
    (book.settings.web / "assets" / "index-abc123.js.br").write_bytes(b"packed")
    answer = client.get("/assets/index-abc123.js", headers={"Accept-Encoding": takes})
    assert (answer.data, answer.headers["Content-Encoding"]) == (b"packed", "br")
    assert answer.headers["Content-Type"] == "text/javascript; charset=utf-8"
    assert "immutable" in answer.headers["Cache-Control"]
    assert "Accept-Encoding" in answer.headers["Vary"]


@pytest.mark.parametrize("takes", ["gzip", "identity", "br;q=0, gzip", ""])
def test_who_does_not_take_it_packed_so_gets_it_as_before(book: Book, client: FlaskClient, takes: str) -> None:
    (book.settings.web / "assets" / "index-abc123.js.br").write_bytes(b"packed")
    answer = client.get("/assets/index-abc123.js", headers={"Accept-Encoding": takes})
    assert answer.headers.get("Content-Encoding") in ("gzip", None)
    assert answer.data != b"packed"
    assert "Accept-Encoding" in answer.headers["Vary"]


def test_a_packed_file_of_another_version_is_gone_with_it(book: Book, client: FlaskClient) -> None:
    (book.settings.web / "assets" / "index-old.js.br").write_bytes(b"packed")
    assert client.get("/assets/index-old.js", headers={"Accept-Encoding": "gzip"}).status_code == 404
