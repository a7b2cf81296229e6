"""Several phones at once: seq comes from the shop's locked row, on either database (LG8)."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from tests.ledger.kit import Book, Phone, results

PHONES, BATCHES = 6, 8


def pushing(phone: Phone) -> Callable[[], list[str]]:
    def push() -> list[str]:
        found: list[str] = []
        for _ in range(BATCHES):
            first = len(phone.texts) + 1
            phone.write()
            phone.write()
            found += results(phone.send(from_no=first))
        return found

    return push


def told(work: Callable[[], list[str]]) -> list[str]:
    try:
        return work()
    except Exception as error:  # noqa: BLE001 - whatever it is, the test wants to see it
        return [repr(error)]


def test_lg8_phones_that_push_at_once_lose_nothing_and_leave_no_gap(book: Book) -> None:
    phones = [Phone(book) for _ in range(PHONES)]
    with ThreadPoolExecutor(PHONES) as pool:
        answers = [answer for found in pool.map(told, map(pushing, phones)) for answer in found]
    assert set(answers) == {"stored"}
    assert [entry.seq for entry in book.pull().entries] == list(range(1, PHONES * BATCHES * 2 + 1))
    assert sorted(book.texts()) == sorted(text for phone in phones for text in phone.texts)
    assert book.ledger.check().findings == []
