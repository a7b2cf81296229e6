"""Order is made at the counter row: whoever reads on from a cursor sees every entry once, however late it commits."""

import threading

from tests.ledger.kit import Book, Phone

WRITERS, EACH = 4, 25


def test_lg8_a_reader_beside_many_writers_skips_nothing_and_sees_nothing_twice(book: Book) -> None:
    phones = [Phone(book) for _ in range(WRITERS)]
    threads = [threading.Thread(target=write, args=(phone,)) for phone in phones]
    for thread in threads:
        thread.start()
    epoch = book.pull().epoch
    seen: list[int] = []
    while any(thread.is_alive() for thread in threads) or len(seen) < book.pull().last_seq:
        seen.extend(entry.seq for entry in book.pull(seen[-1] if seen else 0, epoch, limit=7).entries)
    for thread in threads:
        thread.join()
    assert seen == list(range(1, WRITERS * EACH + 1))
    assert book.ledger.check().findings == []


def write(phone: Phone) -> None:
    for number in range(1, EACH + 1):
        phone.push(number, [phone.write()])


def test_lg8_a_pull_s_entries_and_its_count_are_of_one_moment(book: Book) -> None:
    phone = Phone(book)
    thread = threading.Thread(target=write, args=(phone,))
    thread.start()
    while thread.is_alive():
        pulled = book.pull()
        assert len(pulled.entries) == pulled.last_seq
    thread.join()
