"""A full disk: a named error, nothing half stored, and it heals by itself once there is room."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from sqlalchemy import event

from standbook.database import db
from standbook.errors import Problem
from tests.ledger.kit import LEAD, PASSWORD, Book, Phone, reading, reasons, results

OURS = {"X-Standbook": "1"}


@contextmanager
def full_disk(book: Book, room: int = 2) -> Iterator[None]:
    """Lets the database grow by no more than `room` pages, as a disk without space would."""
    ((pages,),) = book.sql("PRAGMA page_count")
    with book.app.app_context():
        engine = db.engine

    def limit(connection: Any, *_: Any) -> None:
        connection.execute(f"PRAGMA max_page_count={pages + room}")

    event.listen(engine, "connect", limit)
    engine.dispose()
    try:
        yield
    finally:
        event.remove(engine, "connect", limit)
        engine.dispose()


def large_batch(phone: Phone) -> None:
    for _ in range(20):
        phone.write(body=reading(note="x" * 4000))


def test_lg6_a_full_disk_refuses_the_batch_whole_and_takes_it_later(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    large_batch(phone)
    with full_disk(book):
        pushed = phone.send(from_no=2)
        assert set(results(pushed)) == {"refused"}
        assert set(reasons(pushed)) == {"disk_full"}
        assert "disk is full" in (pushed.answers[0].message or "")
        assert (pushed.next_no, pushed.last_seq, pushed.mine.count) == (2, 1, 1)
        assert book.texts() == phone.texts[:1]
    assert set(results(phone.send(from_no=2))) == {"stored"}
    assert book.texts() == phone.texts
    assert book.ledger.check().findings == []


def test_lg6_what_still_fits_is_taken_while_more_is_refused(book: Book, phone: Phone) -> None:
    large_batch(phone)
    with full_disk(book, room=6):
        pushed = [phone.push(number, [text]) for number, text in enumerate(phone.texts, 1)]
        stored = [answer.device_no for answers in pushed for answer in answers.answers if answer.result == "stored"]
        assert stored == list(range(1, len(stored) + 1))
        assert 0 < len(stored) < 20
        assert book.texts() == phone.texts[: len(stored)]
    assert phone.send().next_no == 21
    assert book.ledger.check().findings == []


def test_reading_the_book_goes_on_while_the_disk_is_full(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    with full_disk(book, room=0):
        assert book.texts() == phone.texts


def fill_up(book: Book) -> None:
    row = "INSERT INTO sign_in_misses VALUES ('{0}', 1, NULL, '2999-01-01T00:00:00.000Z')"
    for number in range(500):
        book.sql(row.format(f"{number:064d}"))


def test_every_other_change_is_answered_with_the_same_name(book: Book) -> None:
    """The smallest rows fill what is left of the last pages; then a sign-in has no room to count its try."""
    client = book.app.test_client()
    with full_disk(book, room=0):
        with pytest.raises(Problem) as told:
            fill_up(book)
        answer = client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS)
    assert (told.value.code, told.value.status) == ("disk_full", 507)
    assert (answer.status_code, answer.json["error"]["code"]) == (507, "disk_full")
    assert client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS).status_code == 200
