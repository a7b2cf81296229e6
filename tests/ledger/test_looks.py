"""What a push looks up stays as quick as the book grows. SQLite tells how it goes about a statement."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from tests.ledger.kit import Book, Phone, people_in, results

Asked = list[str]


@pytest.fixture
def small_book(tmp_path: Path) -> Iterator[Book]:
    book = Book(tmp_path / "data")
    people_in(book)
    yield book
    book.close()


def selects_of(book: Book, phone: Phone) -> Asked:
    """What SQLite itself is asked, values and all, when all of a phone's entries come again."""
    asked: Asked = []

    def note(connection: Any, *_: Any) -> None:
        connection.set_trace_callback(asked.append)

    event.listen(book.ledger.engine, "checkout", note)
    assert results(phone.send()) == ["already", "already"]
    event.remove(book.ledger.engine, "checkout", note)
    return [words for words in asked if words.startswith("SELECT")]


def looks(book: Book, words: str) -> list[str]:
    return [row[3] for row in book.sql(f"EXPLAIN QUERY PLAN {words}")]


def test_lg3_what_is_there_already_is_found_by_number_and_by_id_without_a_walk_through_the_book(
    small_book: Book,
) -> None:
    phone = Phone(small_book)
    phone.write(), phone.write()
    phone.send()
    asked = selects_of(small_book, phone)
    into = [look for words in asked for look in looks(small_book, words) if " entries " in look]
    assert len(into) >= 2
    assert [look for look in into if "device=?" not in look and "id=?" not in look] == []
