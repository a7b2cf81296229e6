"""Signing in at the desk, as a browser sees it."""

from datetime import UTC, datetime, timedelta
from http.cookies import SimpleCookie
from typing import Any

import pytest
from werkzeug.test import TestResponse

from standbook import clock
from standbook.errors import Problem
from standbook.people import sessions
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


@pytest.mark.parametrize(("scheme", "secure"), [("https", True), ("http", "")])
def test_the_cookie_is_for_https_alone_when_it_came_by_https(book: Book, scheme: str, secure: object) -> None:
    client = book.app.test_client()
    form = {"person": LEAD, "password": PASSWORD}
    answer = client.post(ADDRESS, json=form, headers=OURS, base_url=f"{scheme}://localhost")
    assert SimpleCookie(answer.headers["Set-Cookie"])["standbook_session"]["secure"] == secure


def test_somebody_sees_the_own_open_sessions_and_ends_them_all_from_one(book: Book) -> None:
    here, there = book.app.test_client(), book.app.test_client()
    sign_in(here)
    sign_in(there)
    found = here.get(f"{ADDRESS}/all").json["sessions"]
    assert sorted(one["here"] for one in found) == [False, True]
    assert all(one["created_at"] <= one["last_at"] for one in found)
    assert here.delete(f"{ADDRESS}?everywhere=1", headers=OURS).json == {"person": None}
    assert there.get(ADDRESS).json == {"person": None}
    assert there.get(f"{ADDRESS}/all").json["error"]["code"] == "sign_in_needed"


def test_any_request_keeps_a_session_open_and_few_of_them_are_written(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = book.app.test_client()
    sign_in(client)
    moving = datetime.now(UTC)
    ends = []
    for minutes in (0, 1, 9, 2, 12 * 60 - 3):
        moving += timedelta(minutes=minutes)
        monkeypatch.setattr(clock, "now", lambda now=moving: now)
        client.get("/api/v1/sync/pull")
        ends.append(book.sql("SELECT expires_at FROM sessions")[0][0])
    assert ends == sorted(ends)
    assert len(set(ends)) == 3
    assert client.get(ADDRESS).json["person"]["id"] == LEAD
    monkeypatch.setattr(clock, "now", lambda: moving + timedelta(hours=12, seconds=1))
    assert client.get(ADDRESS).json == {"person": None}


def test_a_disk_that_takes_nothing_keeps_no_page_from_being_read(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    client = book.app.test_client()
    sign_in(client)

    def full(*_: object) -> None:
        raise Problem("disk_full")

    monkeypatch.setattr(sessions, "stay", full)
    assert client.get(ADDRESS).json["person"]["id"] == LEAD


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
