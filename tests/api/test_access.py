"""Who came in where: each sign-in, miss, lock-out and sign-out is one line, and none has a secret in it."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from standbook.people import access, changes, passwords
from standbook.people.changes import By
from tests.ledger.kit import LEAD, PASSWORD, Book, Phone

OURS = {"X-Standbook": "1"}
SESSION = "/api/v1/session"
BY_LEAD = By(LEAD, "Lea D.", "")
FROM = {"REMOTE_ADDR": "192.168.1.31"}


def sign_in(client: FlaskClient, person: str = LEAD, password: str = PASSWORD) -> int:
    form = {"person": person, "password": password}
    return client.post(SESSION, json=form, headers=OURS, environ_base=FROM).status_code


def lines(client: FlaskClient, **query: str) -> list[dict[str, Any]]:
    answer = client.get("/api/v1/access", query_string=query)
    assert answer.status_code == 200, answer.text
    found: list[dict[str, Any]] = answer.json["lines"]
    return found


def told(book: Book) -> list[tuple[str, ...]]:
    """Kind and person of every line, oldest first."""
    return [tuple(row) for row in book.sql("SELECT kind, person FROM access_log ORDER BY at, id")]


def test_a_sign_in_a_miss_and_a_sign_out_are_lines_with_name_and_address(book: Book) -> None:
    client = book.app.test_client()
    assert (sign_in(client, password="not this one"), sign_in(client)) == (401, 200)
    newest, before = lines(client)
    assert {key: newest[key] for key in ("kind", "words", "person", "address", "device")} == {
        "kind": "signed_in",
        "words": "signed in",
        "person": "Lea D.",
        "address": "192.168.1.31",
        "device": None,
    }
    assert (before["words"], before["person"]) == ("wrong name or password", "Lea D.")
    client.delete(SESSION, headers=OURS)
    sign_in(client)
    assert [line["kind"] for line in lines(client)][:2] == ["signed_in", "signed_out"]


def test_what_was_typed_for_a_name_is_kept_nowhere(book: Book) -> None:
    """People type their password where the name belongs."""
    typed = "correct horse battery staple"
    assert sign_in(book.app.test_client(), typed, "Lea D.") == 401
    assert told(book) == [("sign_in_missed", None)]
    assert typed not in str(book.sql("SELECT * FROM access_log")) + str(book.sql("SELECT * FROM sign_in_misses"))


def test_the_miss_that_locks_says_so_and_what_bounces_off_the_lock_writes_nothing(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(passwords, "fits", lambda password, stored: False)
    client = book.app.test_client()
    for _ in range(9):
        sign_in(client, password="not this one")
    assert told(book) == [("sign_in_missed", LEAD)] * 4 + [("sign_in_locked", LEAD)]


def test_a_new_password_is_a_line(book: Book) -> None:
    with book.services.writer.writing() as connection:
        changes.new_password(connection, book.ledger.shop(), LEAD, passwords.hashed("another long password"), BY_LEAD)
    assert told(book) == [("password_set", LEAD)]


def test_pages_hold_two_hundred_lines_and_go_on_where_the_last_one_ended(book: Book) -> None:
    client = book.app.test_client()
    sign_in(client)
    with book.services.writer.writing() as connection:
        for at in range(450):
            access.note(connection, book.ledger.shop(), "code_made", detail=f"code {at}")
    pages, before = [], {}
    while not pages or len(pages[-1]) == 200:
        pages.append(lines(client, **before))
        before = {"before": pages[-1][-1]["id"]}
    assert [len(page) for page in pages] == [200, 200, 51]
    ids = [line["id"] for page in pages for line in page]
    assert ids == sorted(set(ids), reverse=True)
    answers = [
        client.get("/api/v1/access").json["more"],
        client.get("/api/v1/access", query_string=before).json["more"],
    ]
    assert answers == [True, False]


def test_a_device_is_told_by_its_name(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write()], device_name="Bench phone")
    with book.services.writer.writing() as connection:
        access.note(connection, book.ledger.shop(), "device_joined", device=phone.id)
    client = book.app.test_client()
    sign_in(client)
    assert lines(client)[1]["device"] == "Bench phone"


def test_lines_of_more_than_four_hundred_days_go_at_the_next_sign_in(book: Book) -> None:
    client = book.app.test_client()
    sign_in(client)
    book.sql("UPDATE access_log SET at = '2020-01-01T00:00:00.000Z'")
    sign_in(client)
    assert sorted(told(book)) == [("signed_in", LEAD), ("signed_out", LEAD)]


@pytest.mark.parametrize("query", ["before=", "before=%00", f"before={'x' * 65}"])
def test_a_page_that_cannot_be_is_refused(book: Book, query: str) -> None:
    client = book.app.test_client()
    sign_in(client)
    assert client.get(f"/api/v1/access?{query}").status_code == 422


def test_a_kind_that_no_screen_knows_cannot_be_written(book: Book) -> None:
    with book.services.writer.writing() as connection, pytest.raises(ValueError, match="no kind"):
        access.note(connection, book.ledger.shop(), "looked at the moon")
