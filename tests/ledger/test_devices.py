"""What the shop knows of phones and browsers: what they made, sent and lost, and who handed in for whom (LG5, LG6)."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select

from standbook.errors import Problem
from standbook.ledger.models import Device
from standbook.ledger.wire import Replaced
from tests.ledger.kit import BUILDER, LEAD, PASSWORD, Book, Phone, only, results


def record(book: Book, phone: Phone) -> dict[str, Any]:
    """All that the database has of the device."""
    with book.ledger.reading() as connection:
        query = select(Device.__table__).where(Device.id == phone.id)
        return dict(connection.execute(query).mappings().one())


def listed(book: Book, phone: Phone) -> dict[str, Any]:
    return next(device for device in book.ledger.devices() if device["id"] == phone.id)


def test_lg5_numbers_made_and_not_sent_are_told_as_unsent(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write(), phone.write()], made=5)
    assert (listed(book, phone)["count"], listed(book, phone)["unsent"], listed(book, phone)["lost"]) == (2, 3, 0)


def test_lg5_a_browser_that_lost_its_storage_tells_what_it_was_and_the_book_what_is_lost(
    book: Book, phone: Phone
) -> None:
    phone.push(1, [phone.write(), phone.write()], made=2)
    new = Phone(book)
    new.push(1, [new.write()], made=1, replaces=Replaced(phone.id, 5))
    old = listed(book, phone)
    assert (old["lost"], old["unsent"], old["replaced_by"]) == (3, 0, new.id)
    assert listed(book, new)["replaced_by"] is None


def test_lg5_what_was_lost_and_turns_up_after_all_is_lost_no_more(book: Book, phone: Phone) -> None:
    first, second = phone.write(), phone.write()
    phone.push(1, [first], made=1)
    new = Phone(book)
    new.push(1, [new.write()], replaces=Replaced(phone.id, 2))
    phone.push(2, [second], carrier=new.id)
    assert listed(book, phone)["lost"] == 0


def test_lg5_entries_that_another_device_hands_in_are_of_their_own_device(book: Book, phone: Phone) -> None:
    carrier = Phone(book)
    phone.push(1, [phone.write()], device_name="Bench phone", app_version="0.1.0", now="2026-11-25T08:00:00Z")
    before = record(book, phone)
    pushed = phone.push(2, [phone.write()], carrier=carrier.id, device_name="Desk", app_version="9", now="1999-01-01")
    assert results(pushed) == ["stored"]
    assert record(book, phone) == before | {"next_no": 3, "head": pushed.mine.head}
    assert [device["id"] for device in book.ledger.devices()] == [phone.id]


def test_lg10_the_clock_of_who_hands_in_is_not_taken_for_the_clock_that_dated_the_entries(
    book: Book, phone: Phone
) -> None:
    phone.push(1, [phone.write(), phone.write(person="nobody")], carrier=Phone(book).id, now="1999-01-01T00:00:00Z")
    skews = [book.sql(f"SELECT skew_ms FROM {table}") for table in ("entries", "held_back", "devices")]
    assert skews == [[(None,)], [(None,)], [(None,)]]


def test_lg3_handed_in_and_then_sent_by_its_own_phone_it_is_there_already(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write()], carrier=Phone(book).id)
    assert results(phone.send()) == ["already"]
    assert len(book.texts()) == 1


def test_lg6_what_a_person_dealt_with_leaves_the_list_of_its_phone(book: Book, phone: Phone) -> None:
    assert results(phone.push(1, [phone.write(person="nobody")])) == ["held"]
    assert book.pull(device=phone.id).mine.dealt == []
    book.ledger.deal_by_number(phone.id, 1, BUILDER, "entered again under my name")
    (dealt,) = book.pull(device=phone.id).mine.dealt
    assert (dealt.device_no, dealt.person, dealt.reason) == (1, BUILDER, "entered again under my name")
    assert book.ledger.asides().held == []
    assert [mine.device_no for mine in phone.send().mine.dealt] == [1]


def test_lg6_dealt_with_twice_is_told(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write(person="nobody")])
    book.ledger.deal_by_number(phone.id, 1, BUILDER, "looked at")
    with pytest.raises(Problem) as caught:
        book.ledger.deal_by_number(phone.id, 1, LEAD, "looked at")
    assert caught.value.code == "already_dealt"


@pytest.mark.parametrize(("number", "person", "code"), [(2, BUILDER, "unknown_held"), (1, "nobody", "person_unknown")])
def test_lg6_dealing_wants_something_held_back_and_somebody_of_the_shop(
    book: Book, phone: Phone, number: int, person: str, code: str
) -> None:
    phone.push(1, [phone.write(person="nobody")])
    with pytest.raises(Problem) as caught:
        book.ledger.deal_by_number(phone.id, number, person, "looked at")
    assert caught.value.code == code


def test_lg4_the_second_of_two_phones_with_one_identity_deals_with_its_conflict(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write()])
    clone = Phone(book)
    clone.id = phone.id
    answer = only(clone.push(1, [clone.write()]))
    assert (answer.result, answer.code) == ("conflict", "same_number")
    book.ledger.deal_by_number(phone.id, 1, BUILDER, "entered again")
    assert book.ledger.asides().conflicts == []


@pytest.fixture
def client(book: Book) -> FlaskClient:
    return book.app.test_client()


def test_the_list_of_devices_is_for_who_is_signed_in(client: FlaskClient, phone: Phone) -> None:
    phone.push(1, [phone.write()], made=1, device_name="Bench phone")
    assert client.get("/api/v1/devices").status_code == 401
    client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers={"X-Standbook": "1"})
    (device,) = client.get("/api/v1/devices").get_json()["devices"]
    assert (device["id"], device["name"], device["count"]) == (phone.id, "Bench phone", 1)


def test_lg6_a_phone_deals_with_its_own_over_the_wire(client: FlaskClient, phone: Phone) -> None:
    phone.push(1, [phone.write(person="nobody")])
    form = {"person": BUILDER, "reason": "entered again"}
    answer = client.post(f"/api/v1/devices/{phone.id}/held/1/dealt", json=form, headers={"X-Standbook": "1"})
    assert answer.status_code == 204
    pulled = client.get(f"/api/v1/sync/pull?device={phone.id}").get_json()
    assert [dealt["device_no"] for dealt in pulled["mine"]["dealt"]] == [1]
