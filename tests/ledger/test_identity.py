"""Whose id, whose number, whose record: what the shop keeps is what the device made (LG1, LG4, LG7)."""

import json

from tests.ledger.kit import Book, Phone, reading, reasons


def test_lg1_the_id_in_the_shops_book_is_the_devices(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    made = json.loads(phone.texts[0])["id"]
    assert book.sql("SELECT id FROM entries") == [(made,)]
    again = Phone(book)
    again.write(id=made)
    assert reasons(again.send()) == ["same_id"]


def test_lg4_an_id_that_was_held_back_is_not_free_for_other_bytes_later_either(book: Book, phone: Phone) -> None:
    held = json.loads(phone.write(person="nobody"))
    phone.send()
    phone.write(id=held["id"], body=reading("2.5759"))
    assert reasons(phone.send(from_no=2)) == ["same_id"]
    assert book.texts() == []


def test_lg7_the_shops_record_ends_with_the_devices_last_entry(book: Book, phone: Phone) -> None:
    for _ in range(2):
        phone.write()
        mine = phone.send().mine
        assert mine.head == book.pull().entries[-1].hash
        other = Phone(book)
        other.write()
        other.send()
    assert book.pull(device=phone.id).mine == mine
    assert phone.send().mine == mine
