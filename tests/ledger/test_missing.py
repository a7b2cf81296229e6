"""LG5, LG9: what others carry of a device goes on though one of its entries is gone with a lost book."""

from typing import Any

from standbook.ledger import missing
from standbook.ledger.wire import Pushed
from tests.ledger.kit import LEAD, Book, Phone, reading, reasons, results

DESK = "01936b00-0000-7000-8000-0000000000d1"


def carried(phone: Phone, first: int, count: int, **more: Any) -> Pushed:
    """Another device hands in entries of this phone from a number on."""
    return phone.push(first, phone.texts[first - 1 : first - 1 + count], carrier=DESK, **more)


def written(phone: Phone, count: int) -> Phone:
    for number in range(count):
        phone.write(body=reading(f"2.{number}"))
    return phone


def test_lg9_carried_entries_behind_a_number_that_nobody_has_are_taken_and_the_number_is_in_sight(
    book: Book, phone: Phone
) -> None:
    written(phone, 5)
    carried(phone, 1, 1)
    pushed = carried(phone, 4, 2)
    assert results(pushed) == ["stored", "stored"]
    assert (pushed.next_no, pushed.mine.count) == (6, 5)
    asides = book.ledger.asides()
    assert [(row["device_no"], row["code"], row["text"]) for row in asides.held] == [
        (2, "number_missing", None),
        (3, "number_missing", None),
    ]
    assert "ask who made it" in asides.held[0]["message"]
    assert book.ledger.check().findings == []


def test_lg9_a_missing_entry_takes_up_its_number_when_it_comes_and_its_neighbours_are_there_already(
    book: Book, phone: Phone
) -> None:
    written(phone, 4)
    carried(phone, 3, 2)
    pushed = phone.send()
    assert results(pushed) == ["stored", "stored", "already", "already"]
    assert pushed.next_no == 5
    assert results(phone.send()) == ["already"] * 4
    assert sorted(book.texts()) == sorted(phone.texts)
    assert book.ledger.asides().held == []
    assert book.ledger.check().findings == []


def test_lg7_the_head_is_the_hash_of_the_devices_last_number_also_when_an_earlier_one_came_after_it(
    book: Book, phone: Phone
) -> None:
    written(phone, 3)
    last = carried(phone, 3, 1).mine.head
    assert phone.send().mine.head == last
    assert book.pull(device=phone.id).mine.head == last


def test_lg6_a_missing_entry_that_the_book_cannot_take_is_held_back_under_its_number(book: Book, phone: Phone) -> None:
    phone.write(person="nobody")
    phone.write()
    carried(phone, 2, 1)
    assert reasons(phone.send()) == ["unknown_person", None]
    (held,) = book.ledger.asides().held
    assert (held["device_no"], held["code"], held["text"]) == (1, "unknown_person", phone.texts[0])
    assert book.ledger.check().findings == []


def test_lg6_a_missing_entry_that_waits_for_its_lead_leaves_its_number_open(book: Book, phone: Phone) -> None:
    phone.write("decision", person=LEAD)
    phone.write()
    carried(phone, 2, 1)
    assert reasons(phone.send()) == ["sign_in_needed", "waits_behind"]
    assert [held["code"] for held in book.ledger.asides().held] == ["number_missing"]
    assert results(phone.send(signed_in=LEAD)) == ["stored", "already"]
    assert book.ledger.asides().held == []


def test_lg4_two_entries_for_one_missing_number_are_a_conflict(book: Book, phone: Phone) -> None:
    written(phone, 2)
    carried(phone, 2, 1)
    other = phone.texts[0].replace("2.0", "2.9").replace(phone.id, phone.id)
    assert results(phone.push(1, [phone.texts[0]])) == ["stored"]
    assert reasons(phone.push(1, [other])) == ["same_number"]
    assert book.ledger.check().findings == []


def test_lg5_a_device_itself_may_pass_over_no_number(book: Book, phone: Phone) -> None:
    written(phone, 3)
    assert reasons(phone.send(from_no=2)) == ["number_gap", "number_gap"]
    assert reasons(phone.push(2, phone.texts[1:], carrier=phone.id)) == ["number_gap", "number_gap"]
    assert book.ledger.asides().held == []


def test_lg5_nobody_passes_over_more_numbers_than_a_phone_ever_had_kept_back(book: Book, phone: Phone) -> None:
    phone.texts = ["x"] * (missing.MOST + 1)
    phone.write()
    assert reasons(carried(phone, missing.MOST + 2, 1)) == ["number_gap"]
    assert results(carried(phone, missing.MOST + 1, 1)) == ["held"]
