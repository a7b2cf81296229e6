"""Builds as the server's own brain sees them."""

import hashlib
import json
from typing import Any

import pytest

from standbook.errors import Problem
from standbook.people.models import Person
from standbook.trade.build import Build
from standbook.trade.limits import TABLE_SHA256, TABLE_TEXT
from tests.ledger.kit import BUILD, LEAD, Book, Phone, reading


def state(book: Book) -> dict[str, Any]:
    with book.ledger.reading() as connection:
        return book.services.builds.state(connection, BUILD)


def board(book: Book) -> list[dict[str, Any]]:
    with book.ledger.reading() as connection:
        return book.services.builds.board(connection)


def opened(book: Book, defaults: str = TABLE_SHA256) -> Phone:
    desk = Phone(book, LEAD)
    desk.write("build_opened")
    desk.write("limits_frozen", body={"v": 1, "defaults": defaults, "cards": []})
    desk.send(LEAD)
    return desk


def test_a_state_grows_by_what_the_book_gained(book: Book, phone: Phone) -> None:
    opened(book)
    assert (state(book)["job"], state(book)["count"]) == ("R-1", 2)
    phone.write()
    phone.send()
    assert state(book)["count"] == 3


def test_a_state_grows_without_reading_the_whole_book_again(
    book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(book)
    state(book)
    added: list[int] = []
    monkeypatch.setattr(Build, "add", lambda self, text, seq: added.append(seq))
    phone.write()
    phone.send()
    state(book)
    assert added == [3]


def test_an_unknown_build_and_an_unknown_step_are_named(book: Book) -> None:
    with pytest.raises(Problem) as told:
        state(book)
    assert told.value.code == "unknown_build"
    opened(book)
    with book.ledger.reading() as connection, pytest.raises(Problem) as told:
        book.services.builds.step(connection, BUILD, "no_such_step")
    assert told.value.code == "unknown_step"


def test_a_new_name_is_shown_at_once(book: Book) -> None:
    opened(book)
    assert state(book)["last_touch"]["person"] == "Lea D."
    book.sql(f"UPDATE {Person.__tablename__} SET name = 'Lea F.' WHERE id = '{LEAD}'")
    assert state(book)["last_touch"]["person"] == "Lea F."


def test_a_build_keeps_the_table_of_limits_that_it_was_opened_with(book: Book) -> None:
    table = json.loads(TABLE_TEXT)
    table["source"] = f"an earlier table of {book.settings.database}"
    text = json.dumps(table)
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    opened(book, sha256)
    assert state(book)["limits"]["needs_blob"] is True
    book.ledger.keep_blob(sha256, text.encode())
    assert state(book)["limits"]["needs_blob"] is False


def test_a_build_that_cannot_be_worked_out_leaves_the_others_on_the_board(
    book: Book, phone: Phone, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(book)
    phone.write(build="01936b00-0000-7000-8000-0000000000b2")
    phone.send()
    well = Build.state
    monkeypatch.setattr(Build, "state", lambda self: well(self) if self.build_id == BUILD else 1 / 0)
    broken, whole = board(book)
    assert (whole["job"], whole["trouble"]) == ("R-1", None)
    assert "could not be worked out" in broken["trouble"]
    assert "b2 could not be worked out" in caplog.text


def test_the_board_shows_the_build_touched_last_first(book: Book, phone: Phone) -> None:
    opened(book)
    other = "01936b00-0000-7000-8000-0000000000b2"
    phone.write(build=other)
    phone.send()
    assert [build["build"] for build in board(book)] == [other, BUILD]
    phone.write(body=reading("2.5759"))
    phone.send()
    assert [build["build"] for build in board(book)] == [BUILD, other]
