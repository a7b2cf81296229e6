"""A shop's beginning: one link, once, for an hour, and only while there is no shop."""

import os
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from standbook import clock
from standbook.api.first_lead import first_link
from standbook.caretaker import Caretaker
from tests.ledger.kit import Book

OURS = {"X-Standbook": "1"}
PASSWORD = "a long enough password"


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Book]:
    book = Book(tmp_path / "data")
    yield book
    book.close()


def token_of(book: Book) -> str:
    link = first_link(book.services, "http://127.0.0.1:8765")
    assert link
    address, token = link.split("#")
    assert address == "http://127.0.0.1:8765/first"
    return token


def begin(book: Book, token: str, **fields: str) -> Any:
    form = {"token": token, "shop": "Our Shop", "name": "Ann O.", "password": PASSWORD, **fields}
    return book.app.test_client().post("/api/v1/first-lead", json=form, headers=OURS)


def code_of(answer: Any) -> str:
    return str(answer.json["error"]["code"])


def test_the_link_makes_the_shop_and_signs_its_first_lead_in(empty: Book) -> None:
    client = empty.app.test_client()
    form = {"token": token_of(empty), "shop": " Our Shop ", "name": " Ann O. ", "password": PASSWORD}
    answer = client.post("/api/v1/first-lead", json=form, headers=OURS)
    lead = {"person": {"id": "ann-o", "name": "Ann O.", "role": "lead"}}
    assert (answer.status_code, answer.json) == (201, lead)
    assert client.get("/api/v1/session").json == lead
    assert client.get("/api/v1/shop").json["shop"]["name"] == "Our Shop"
    told = client.get("/api/v1/access").json["lines"]
    assert sorted((line["words"], line["person"]) for line in told) == [
        ("first lead's link used", "Ann O."),
        ("signed in", "Ann O."),
    ]


def test_it_is_used_up_by_that_and_no_other_is_made(empty: Book) -> None:
    token = token_of(empty)
    assert begin(empty, token).status_code == 201
    assert code_of(begin(empty, token)) == "code_wrong"
    assert first_link(empty.services, "http://127.0.0.1:8765") is None
    assert list(empty.settings.keys.iterdir()) == []


@pytest.mark.parametrize("token", ["guessed", "\ud83d\udd11", "x" * 200])
def test_a_guess_is_refused(empty: Book, token: str) -> None:
    assert code_of(begin(empty, token)) == "code_wrong"
    token_of(empty)
    answer = begin(empty, token)
    assert (answer.status_code, code_of(answer)) == (401, "code_wrong")
    assert code_of(empty.app.test_client().get("/api/v1/shop")) == "no_shop"


def test_a_new_start_makes_a_new_one_and_an_hour_ends_it(empty: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    first = token_of(empty)
    second = token_of(empty)
    assert code_of(begin(empty, first)) == "code_wrong"
    now = clock.now()
    monkeypatch.setattr(clock, "now", lambda: now + timedelta(minutes=61))
    assert code_of(begin(empty, second)) == "code_wrong"
    monkeypatch.setattr(clock, "now", lambda: now + timedelta(minutes=59))
    assert begin(empty, second).status_code == 201


@pytest.mark.parametrize("password", ["short", "password123", "Ann O. Ann O."])
def test_a_password_that_is_none_does_not_use_the_link_up(empty: Book, password: str) -> None:
    token = token_of(empty)
    answer = begin(empty, token, password=password)
    assert (answer.status_code, code_of(answer)) == (422, "password_unfit")
    assert begin(empty, token).status_code == 201


@pytest.mark.parametrize("field", ["shop", "name"])
def test_a_name_of_nothing_is_named(empty: Book, field: str) -> None:
    answer = begin(empty, token_of(empty), **{field: "   "})
    assert field in answer.json["error"]["details"]["problems"]


def test_only_the_tokens_hash_is_kept_and_only_for_its_owner_to_read(empty: Book) -> None:
    token = token_of(empty)
    (file,) = empty.settings.keys.iterdir()
    assert token not in file.read_text()
    if os.name == "posix":
        assert (file.stat().st_mode & 0o777, file.parent.stat().st_mode & 0o777) == (0o600, 0o700)


def test_without_a_shop_health_and_the_screens_answer_and_everything_else_says_so(empty: Book) -> None:
    web = empty.settings.web
    web.mkdir(parents=True)
    (web / "index.html").write_text("<!doctype html>")
    client = empty.app.test_client()
    assert client.get("/api/v1/health").json["shop"] is False
    assert [client.get(path).status_code for path in ("/first", "/", "/desk")] == [200] * 3
    for rule in empty.app.url_map.iter_rules():
        path = rule.rule.replace("<", "").replace(">", "").replace("int:", "")
        if path.startswith("/api/v1") and path.rsplit("/", 1)[1] not in ("health", "first-lead", "openapi.json"):
            method = next(iter((rule.methods or set()) - {"HEAD", "OPTIONS"}))
            answer = client.open(path, method=method, json={} if method != "GET" else None, headers=OURS)
            assert (answer.status_code, code_of(answer)) == (503, "no_shop"), path


def test_a_day_without_a_shop_makes_no_backup_and_no_noise(empty: Book, caplog: pytest.LogCaptureFixture) -> None:
    Caretaker(empty.services).daily().look()
    assert caplog.text == ""
    assert not list(empty.settings.backups.glob("*.tar"))
