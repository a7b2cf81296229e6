"""Reading the whole book and saying in words what does not fit."""

import pytest

from standbook.ledger import chain_check
from tests.ledger.kit import Book, Phone


def filled(book: Book, phone: Phone) -> None:
    for _ in range(5):
        phone.write()
    phone.keep("no entry at all")
    phone.send()


def test_a_whole_book_has_no_findings(book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chain_check, "PAGE", 2)
    filled(book, phone)
    report = book.ledger.check()
    assert (report.entries, report.devices, report.open_asides, report.findings) == (5, 1, 1, [])


DAMAGE = {
    "a text changed": ("UPDATE entries SET text = replace(text, '2.5758', '2.5757') WHERE seq = 3", "Entry 3 does not"),
    "a hash changed": (f"UPDATE entries SET hash = '{'0' * 64}' WHERE seq = 2", "Entry 3 does not"),
    "a column changed": ("UPDATE entries SET place = 'MJ2.F.0' WHERE seq = 4", "Entry 4: what it is found by"),
    "one taken out": ("DELETE FROM entries WHERE seq = 2", "After entry 1 comes 3"),
    "the last one taken out": ("DELETE FROM entries WHERE seq = 5", "counter says 5 entries, the book ends with 4"),
    "a held-back one taken out": ("DELETE FROM held_back", "numbers up to 6 are not all"),
    "a device's number set back": ("UPDATE devices SET next_no = 3", "numbers up to 2 are not all"),
}


@pytest.mark.parametrize("case", DAMAGE)
def test_damage_is_found_and_told_in_words(book: Book, phone: Phone, case: str) -> None:
    filled(book, phone)
    book.unfreeze()
    statement, words = DAMAGE[case]
    book.sql(statement)
    assert any(words in finding for finding in book.ledger.check().findings)
