"""Who may enter what is decided on the server, per entry kind, whatever a client shows."""

import json

import pytest

from tests.ledger.kit import APPRENTICE, BUILDER, LEAD, Book, Phone, only

LEAD_KINDS = ("build_opened", "limits_frozen", "engine_value", "decision")


@pytest.mark.parametrize("kind", LEAD_KINDS)
def test_a_signed_in_lead_enters_under_his_own_name(book: Book, kind: str) -> None:
    desk = Phone(book, LEAD)
    desk.write(kind)
    assert only(desk.send(signed_in=LEAD)).result == "stored"


@pytest.mark.parametrize("kind", LEAD_KINDS)
@pytest.mark.parametrize("signed_in", [None, BUILDER])
def test_without_his_sign_in_it_waits_and_keeps_its_number(book: Book, kind: str, signed_in: str | None) -> None:
    desk = Phone(book, LEAD)
    desk.write(kind)
    refused = desk.send(signed_in)
    assert (only(refused).result, only(refused).code) == ("refused", "sign_in_needed")
    assert only(refused).message == "Lea D. has to sign in before the shop takes this."
    assert refused.next_no == 1
    assert only(desk.send(signed_in=LEAD)).result == "stored"


def test_what_stands_behind_a_refused_entry_waits_for_it(book: Book) -> None:
    desk = Phone(book, LEAD)
    desk.write()
    desk.write("decision")
    desk.write()
    pushed = desk.send()
    assert [(answer.result, answer.code) for answer in pushed.answers] == [
        ("stored", None),
        ("refused", "sign_in_needed"),
        ("refused", "waits_behind"),
    ]
    assert [answer.result for answer in desk.send(LEAD, from_no=pushed.next_no).answers] == ["stored", "stored"]


@pytest.mark.parametrize("kind", LEAD_KINDS)
def test_somebody_who_is_no_lead_is_held_back_even_beside_a_signed_in_lead(book: Book, phone: Phone, kind: str) -> None:
    phone.write(kind)
    answer = only(phone.send(signed_in=LEAD))
    assert (answer.result, answer.code) == ("held", "not_allowed")
    assert answer.message == "Bo B. may not enter this; it takes a lead."


@pytest.mark.parametrize("kind", ["reading", "step_signed", "a_kind_of_tomorrow"])
def test_anybody_of_the_shop_records_and_signs_steps(book: Book, phone: Phone, kind: str) -> None:
    phone.write(kind)
    assert only(phone.send()).result == "stored"


def test_an_apprentice_enters_and_signs_nothing(book: Book) -> None:
    phone = Phone(book, APPRENTICE)
    phone.write()
    phone.write("step_signed")
    assert [(answer.result, answer.code) for answer in phone.send().answers] == [
        ("stored", None),
        ("held", "not_allowed"),
    ]


def strike(phone: Phone, target: str, **fields: str) -> None:
    id = json.loads(target)["id"]
    phone.write("struck_out", body={"v": 1, "target": id, "reason": "wrong journal"}, **fields)


def test_one_strikes_out_his_own_reading(book: Book, phone: Phone) -> None:
    strike(phone, phone.write())
    assert [answer.result for answer in phone.send().answers] == ["stored", "stored"]


def test_one_strikes_out_his_own_reading_of_an_earlier_batch(book: Book, phone: Phone) -> None:
    target = phone.write()
    phone.send()
    strike(phone, target)
    assert only(phone.send(from_no=2)).result == "stored"


def test_nobody_but_a_lead_strikes_out_anothers_reading(book: Book, phone: Phone) -> None:
    target = phone.write()
    phone.send()
    other = Phone(book, APPRENTICE)
    strike(other, target)
    assert (only(other.send()).result, only(other.send()).code) == ("held", "not_allowed")
    desk = Phone(book, LEAD)
    strike(desk, target)
    assert only(desk.send()).code == "sign_in_needed"
    assert only(desk.send(signed_in=LEAD)).result == "stored"


def test_a_strike_out_must_name_a_reading_of_the_same_build(book: Book, phone: Phone) -> None:
    strike(phone, phone.write(), build="01936b00-0000-7000-8000-0000000000b2")
    assert phone.send().answers[1].code == "unknown_target"
