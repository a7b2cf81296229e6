"""Two at once, on either database: whoever looks before he writes finds nobody in between."""

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import msgspec

from standbook.errors import Problem
from standbook.ledger.append import Door, append
from standbook.ledger.counter import lock_counter
from standbook.ledger.entry_text import read_entry
from standbook.ledger.photos import Piece
from standbook.ledger.wire import Push
from standbook.people import misses
from tests.ledger.kit import BUILDER, LEAD, Book, Phone, results
from tests.ledger.pictures import address, jpeg

AT_ONCE = 6


def together(work: Sequence[Callable[[], Any]]) -> list[Any]:
    """What each gives, or the code of the problem that it meets; they begin at the same moment."""
    door = threading.Barrier(len(work))

    def one(call: Callable[[], Any]) -> Any:
        door.wait()
        try:
            return call()
        except Problem as problem:
            return problem.code

    with ThreadPoolExecutor(len(work)) as pool:
        return list(pool.map(one, work))


def test_lg13_the_same_text_from_several_phones_is_kept_once_and_refused_to_nobody(book: Book) -> None:
    for number in range(5):
        data = b"%d" % number
        new = together([lambda data=data: book.ledger.keep_blob(address(data), data)] * AT_ONCE)  # type: ignore[misc]
        assert sorted(new) == [False] * (AT_ONCE - 1) + [True]


def test_lg13_the_same_picture_from_two_phones_is_kept_once(book: Book) -> None:
    picture = jpeg(60, 40)
    whole = Piece(0, picture, last=True)
    told = together([lambda: book.ledger.take_photo(address(picture), whole)] * 2)
    # The second one may find the first one's piece there, and is told from where to go on.
    assert (len(picture), True) in told
    assert set(told) <= {(len(picture), True), (0, True), "wrong_offset"}
    assert book.ledger.photo_offset(address(picture)) == (0, True)
    assert book.ledger.check().findings == []


def test_tries_to_sign_in_at_once_are_all_counted(book: Book) -> None:
    def attempt() -> None:
        with book.services.writer.writing() as connection:
            misses.count(connection, LEAD, "192.168.1.9")

    assert together([attempt] * 4) == [None] * 4
    assert book.sql("SELECT tries FROM sign_in_misses") == [(4,), (4,)]


def test_lg6_of_two_who_deal_with_the_same_entry_one_is_told_that_it_was_done(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write(person="nobody")])
    held = book.ledger.asides().held[0]["id"]
    told = together([lambda who=who: book.ledger.deal(held, who, "seen") for who in (LEAD, BUILDER)])  # type: ignore[misc]
    assert sorted(told, key=str) == [None, "already_dealt"]


def test_lg8_an_entry_that_commits_late_is_waited_for_and_skipped_by_nobody(book: Book) -> None:
    early, late = Phone(book), Phone(book)
    shop = book.ledger.shop()
    told: list[str] = []
    with book.services.writer.writing() as connection:
        incoming = [read_entry(msgspec.Raw(msgspec.json.encode(late.write())), 1, late.id)]
        append(connection, shop, Push(late.id, 1, []), incoming, Door(None))
        other = threading.Thread(target=lambda: told.extend(results(early.push(1, [early.write()]))))
        other.start()
        other.join(0.3)
        assert other.is_alive(), "the second writer has to wait for the first one's number"
        assert book.pull().entries == []
    other.join(20)
    assert told == ["stored"]
    seen = book.pull().entries
    assert [entry.seq for entry in seen] == [1, 2]
    assert [entry.text for entry in seen] == [*late.texts, *early.texts]


def test_lg8_the_counters_row_lets_a_second_one_in_only_after_the_first_has_committed(book: Book) -> None:
    """Past the queue of writers: the row itself is the lock."""
    shop = book.ledger.shop()

    def second() -> None:
        with book.ledger.engine.begin() as connection:
            lock_counter(connection, shop)

    with book.ledger.engine.begin() as connection:
        lock_counter(connection, shop)
        other = threading.Thread(target=second)
        other.start()
        other.join(0.3)
        assert other.is_alive()
    other.join(20)
    assert not other.is_alive()
