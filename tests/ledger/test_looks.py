"""What a push looks up stays as quick as the book grows. SQLite tells how it goes about a statement."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from tests.ledger.kit import Book, Phone, people_in, results

Asked = list[tuple[str, Any]]


@pytest.fixture
def small_book(tmp_path: Path) -> Iterator[Book]:
    book = Book(tmp_path / "data")
    people_in(book)
    yield book
    book.close()


def selects_of(book: Book, phone: Phone) -> Asked:
    """What is looked up, with its parameters, when all of a phone's entries come again."""
    asked: Asked = []

    def note(_connection: Any, _cursor: Any, words: str, given: Any, *_: Any) -> None:
        if words.startswith("SELECT"):
            asked.append((words, given))

    event.listen(book.ledger.engine, "before_cursor_execute", note)
    assert results(phone.send()) == ["already", "already"]
    event.remove(book.ledger.engine, "before_cursor_execute", note)
    return asked


def looks(book: Book, words: str, given: Any) -> list[str]:
    with book.ledger.reading() as connection:
        return [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {words}", given)]


def test_lg3_what_is_there_already_is_found_by_number_and_by_id_without_a_walk_through_the_book(
    small_book: Book,
) -> None:
    phone = Phone(small_book)
    phone.write(), phone.write()
    phone.send()
    asked = selects_of(small_book, phone)
    into = [look for words, given in asked for look in looks(small_book, words, given) if " entries " in look]
    assert len(into) >= 2
    assert [look for look in into if "device=?" not in look and "id=?" not in look] == []
