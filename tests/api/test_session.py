"""Signing in at the desk, as a browser sees it."""

from http.cookies import SimpleCookie
from typing import Any

from werkzeug.test import TestResponse

from tests.ledger.kit import LEAD, PASSWORD, Book

OURS = {"X-Standbook": "1"}
ADDRESS = "/api/v1/session"


def sign_in(client: Any, password: str = PASSWORD) -> TestResponse:
    return client.post(ADDRESS, json={"person": LEAD, "password": password}, headers=OURS)


def test_it_tells_who_is_signed_in(book: Book) -> None:
    client = book.app.test_client()
    assert client.get(ADDRESS).json == {"person": None}
    lead = {"person": {"id": LEAD, "name": "Lea D.", "role": "lead"}}
    assert sign_in(client).json == lead
    assert client.get(ADDRESS).json == lead


def test_the_cookie_is_out_of_reach_for_scripts_and_other_sites(book: Book) -> None:
    cookie = SimpleCookie(sign_in(book.app.test_client()).headers["Set-Cookie"])["standbook_session"]
    assert (cookie["httponly"], cookie["samesite"], cookie["path"]) == (True, "Strict", "/api/v1")
    assert len(cookie.value) > 40


def test_a_wrong_password_sets_no_cookie(book: Book) -> None:
    answer = sign_in(book.app.test_client(), "not this one")
    assert (answer.status_code, answer.json["error"]["code"]) == (401, "sign_in_failed")
    assert "Set-Cookie" not in answer.headers


def test_signing_out_ends_the_session_on_the_server_too(book: Book) -> None:
    client = book.app.test_client()
    token = SimpleCookie(sign_in(client).headers["Set-Cookie"])["standbook_session"].value
    assert client.delete(ADDRESS, headers=OURS).json == {"person": None}
    thief = book.app.test_client()
    thief.set_cookie("standbook_session", token, path="/api/v1")
    assert thief.get(ADDRESS).json == {"person": None}


def test_a_new_sign_in_ends_the_browsers_session_before_it(book: Book) -> None:
    client = book.app.test_client()
    for _ in range(3):
        sign_in(client)
    assert book.sql("SELECT count(*) FROM sessions") == [(1,)]


def test_too_many_misses_say_how_long_to_wait(book: Book) -> None:
    client = book.app.test_client()
    for _ in range(5):
        sign_in(client, "not this one")
    answer = sign_in(client)
    assert (answer.status_code, answer.json["error"]["code"]) == (429, "sign_in_locked")
    assert 0 < int(answer.headers["Retry-After"]) <= 60


def test_signing_out_without_a_session_is_no_error(book: Book) -> None:
    assert book.app.test_client().delete(ADDRESS, headers=OURS).status_code == 200
