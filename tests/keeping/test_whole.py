"""`standbook check` finds what a disk or a hand has changed, and says it in words."""

import pytest

from standbook.caretaker import Caretaker
from standbook.cli import check_words
from tests.keeping.conftest import PICTURE, SHOWN, photo_body
from tests.ledger.keys import KeyedPhone
from tests.ledger.kit import Book, Phone
from tests.ledger.pictures import address


def findings(caretaker: Caretaker) -> str:
    return "\n".join(caretaker.check().findings)


def flip(book: Book, sha256: str) -> None:
    path = book.ledger.store.path(sha256)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def stored_photo(book: Book) -> str:
    return str(book.sql("SELECT stored_sha256 FROM photos")[0][0])


def test_a_whole_shop_has_no_findings(caretaker: Caretaker) -> None:
    assert findings(caretaker) == ""


def test_a_flipped_byte_in_an_entry_is_found(full: Book, caretaker: Caretaker) -> None:
    full.unfreeze()
    full.sql("UPDATE entries SET text = replace(text, '2.5758', '2.5759') WHERE seq = 1")
    assert "Entry 1 does not fit the chain" in findings(caretaker)


def test_a_flipped_byte_in_the_database_file_is_found_wherever_it_lies(full: Book, caretaker: Caretaker) -> None:
    full.close()
    file = full.settings.data / "standbook.db"
    data = file.read_bytes()
    at = data.index(b"2.5758")
    file.write_bytes(data[:at] + b"3" + data[at + 1 :])
    assert "does not fit the chain" in findings(caretaker)


def test_a_flipped_byte_in_a_photo_is_found(full: Book, caretaker: Caretaker) -> None:
    flip(full, stored_photo(full))
    assert "The photo " in findings(caretaker)
    assert "was changed" in findings(caretaker)


def test_a_flipped_byte_in_a_signature_s_text_is_found(full: Book, caretaker: Caretaker) -> None:
    flip(full, address(SHOWN))
    assert "The file " in findings(caretaker)


def test_a_missing_file_is_found(full: Book, caretaker: Caretaker) -> None:
    full.ledger.store.path(stored_photo(full)).unlink()
    assert "is missing" in findings(caretaker)


def test_a_broken_chain_is_found(full: Book, caretaker: Caretaker) -> None:
    full.unfreeze()
    full.sql("UPDATE entries SET prev = hash WHERE seq = 2")
    assert "Entry 2 does not fit the chain" in findings(caretaker)


def test_several_faults_are_all_told(full: Book, caretaker: Caretaker) -> None:
    flip(full, stored_photo(full))
    full.ledger.store.path(address(SHOWN)).unlink()
    full.sql("UPDATE devices SET next_no = 9")
    assert len(caretaker.check().findings) == 3


def test_a_photo_whose_phone_has_not_sent_it_yet_is_awaited_and_no_fault(
    book: Book, phone: Phone, capsys: pytest.CaptureFixture[str]
) -> None:
    phone.push(1, [phone.write("photo", body=photo_body())])
    whole = Caretaker(book.services).check()
    assert (whole.findings, whole.awaited) == ([], 1)
    assert address(PICTURE) not in capsys.readouterr().out


def test_a_book_made_to_fit_its_chain_again_still_does_not_fit_what_its_device_signed(book: Book) -> None:
    phone = KeyedPhone(book)
    other = KeyedPhone(book)
    phone.push(1, [phone.write()])
    other.push(1, [other.write(), "too much " * 10_000])
    assert Caretaker(book.services).check().findings == []
    book.sql("UPDATE batch_signatures SET signature = 'AAAA'")
    whole = Caretaker(book.services).check()
    words = f"Device {phone.id}, numbers 1 to 1: what the book has there is not what it signed."
    assert whole.findings == [words]
    told = check_words(whole)
    assert told.startswith("The book does not hold together")
    assert f"Device {other.id}, numbers 1 to 2 cannot be proved" in told


def test_the_check_says_how_many_batches_are_proven(book: Book) -> None:
    phone = KeyedPhone(book)
    phone.push(1, [phone.write()])
    assert check_words(Caretaker(book.services).check()).endswith("; batches proven by their devices' keys: 1.")
