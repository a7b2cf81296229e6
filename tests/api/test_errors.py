"""One error shape on every route, whatever goes wrong."""

import re
from typing import Any

import pytest
from werkzeug.test import TestResponse

from standbook.api.services import KEY
from standbook.errors import ENTRIES, ROUTES, Problem
from standbook.trade.plain import Refusal
from tests.ledger.kit import LEAD, PASSWORD, Book

OURS = {"X-Standbook": "1"}
METHODS = ("GET", "POST", "PUT", "DELETE", "PATCH")


def assert_error(response: TestResponse, code: str | None = None) -> None:
    assert response.content_type == "application/json", response.data
    assert set(response.json) == {"error"}
    error = response.json["error"]
    assert set(error) == {"code", "message", "details"}
    assert error["code"] in ROUTES
    assert error["message"].strip()
    assert isinstance(error["details"], dict)
    if code:
        assert error["code"] == code


def addresses(book: Book) -> list[str]:
    """Every route's address with something where it takes a name."""
    return sorted(re.sub(r"<[^>]+>", "nothing-here", rule.rule) for rule in book.app.url_map.iter_rules())


def test_every_route_that_answers_an_error_answers_it_in_the_one_shape(book: Book) -> None:
    """Every address by every method, with and without a body that fits nothing."""
    client = book.app.test_client()
    checked = 0
    for address in addresses(book):
        for method in METHODS:
            for body in (None, b"{", b'{"surprise": 1}'):
                answer = client.open(address, method=method, data=body, headers=OURS, content_type="application/json")
                if answer.status_code >= 400:
                    assert_error(answer)
                    checked += 1
    assert checked > 100


def test_a_method_that_a_route_does_not_take_is_told_with_those_it_takes(book: Book) -> None:
    answer = book.app.test_client().put("/api/v1/sync/pull", headers=OURS)
    assert (answer.status_code, answer.headers["Allow"]) == (405, "GET, HEAD, OPTIONS")
    assert_error(answer, "method_not_allowed")


@pytest.mark.parametrize("address", ["/api/v1/nowhere", "/api/v2", "/nowhere", "/api/v1/shop/", "/assets/gone.js"])
def test_an_address_without_anything_is_not_found(book: Book, address: str) -> None:
    answer = book.app.test_client().get(address)
    assert answer.status_code == 404
    assert_error(answer, "not_found")


@pytest.mark.parametrize(
    "change", ["POST /sync/push", "POST /session", "DELETE /session", "PUT /blobs/00", "POST /held/x/dealt"]
)
def test_no_change_without_our_own_header(book: Book, change: str) -> None:
    method, address = change.split()
    answer = book.app.test_client().open(f"/api/v1{address}", method=method, json={})
    assert answer.status_code == 403
    assert_error(answer, "header_missing")


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
@pytest.mark.parametrize("address", ["/api/v1/session", "/api/v1/sync/push"])
def test_a_body_that_is_no_json_by_its_own_word_is_refused(book: Book, address: str, kind: str) -> None:
    answer = book.app.test_client().post(address, data=b'{"person": "x"}', headers=OURS, content_type=kind)
    assert answer.status_code == 415
    assert_error(answer, "unsupported_media")


@pytest.mark.parametrize("body", [b"{", b"\xff\xfe", b"[" * 50_000, b"", b'{"person": "\\ud800"}', b'{"now": NaN}'])
@pytest.mark.parametrize("address", ["/api/v1/session", "/api/v1/sync/push"])
def test_a_body_that_is_broken_is_told(book: Book, address: str, body: bytes) -> None:
    answer = book.app.test_client().post(address, data=body, headers=OURS, content_type="application/json")
    assert answer.status_code in (400, 422)
    assert_error(answer)


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({}, "person"),
        ({"person": LEAD}, "password"),
        ({"person": 5, "password": PASSWORD}, "person"),
        ({"person": LEAD, "password": "a\0b"}, "password"),
        ({"person": LEAD, "password": PASSWORD, "remember": True}, "remember"),
        ([], "_schema"),
    ],
)
def test_fields_that_are_not_right_are_named(book: Book, body: Any, field: str) -> None:
    answer = book.app.test_client().post("/api/v1/session", json=body, headers=OURS)
    assert answer.status_code == 422
    assert_error(answer, "invalid")
    assert field in answer.json["error"]["details"]["problems"]
    assert field in answer.json["error"]["message"]


def test_a_request_that_is_too_large_is_told_its_limit(book: Book) -> None:
    client = book.app.test_client()
    answer = client.put(f"/api/v1/blobs/{'0' * 64}", data=b"x" * (1024 * 1024 + 1), headers=OURS)
    assert answer.status_code == 413
    assert_error(answer, "too_large")
    assert "1048576" in answer.json["error"]["message"]
    huge = b"x" * (32 * 1024 * 1024 + 1)
    answer = client.post("/api/v1/sync/push", data=huge, headers=OURS, content_type="application/json")
    assert_error(answer, "too_large")


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "10.0.0.7:8765"])
def test_another_name_for_this_machine_is_refused(book: Book, host: str) -> None:
    answer = book.app.test_client().get("/api/v1/shop", headers={"Host": host})
    assert answer.status_code == 400
    assert_error(answer, "unknown_host")


def test_a_fault_of_ours_tells_nothing_of_our_insides_and_is_logged(
    book: Book, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    services = book.app.extensions[KEY]
    monkeypatch.setattr(type(services.ledger), "asides", lambda self: {}["a secret of ours"])
    client = signed_in(book)
    answer = client.get("/api/v1/held")
    assert answer.status_code == 500
    assert_error(answer, "internal")
    assert "secret" not in answer.text
    assert "a secret of ours" in caplog.text


def test_a_refusal_of_the_brain_keeps_its_own_words(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Any) -> None:
        raise Refusal("number_empty", "Nothing typed yet.", {"text": ""})

    monkeypatch.setattr(type(book.ledger), "shop", refuse)
    answer = book.app.test_client().post("/api/v1/session", json={"person": "a", "password": "b"}, headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "number_empty")


def test_a_book_without_a_shop_says_how_to_begin(book: Book) -> None:
    for table in ("instruments", "sessions", "people", "devices", "shops"):
        book.sql(f"DELETE FROM {table}")
    client = book.app.test_client()
    for address in ("/api/v1/shop", "/api/v1/builds", "/api/v1/sync/pull"):
        answer = client.get(address)
        assert answer.status_code == 503
        assert_error(answer, "no_shop")
    assert client.get("/api/v1/health").json["shop"] is False


def signed_in(book: Book) -> Any:
    client = book.app.test_client()
    assert client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS).status_code == 200
    return client


@pytest.mark.parametrize("code", ROUTES)
def test_every_message_of_a_route_is_a_sentence_that_can_be_shown(code: str) -> None:
    message = Problem(code).message
    assert message[0].isupper()
    assert message[-1] in ".?"


def test_no_code_means_two_things() -> None:
    assert set(ROUTES) & set(ENTRIES) == {"sign_in_needed"}
