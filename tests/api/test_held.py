"""What is held back, at the desk (LG4, LG6)."""

import json
from typing import Any

import pytest

from tests.ledger.kit import LEAD, PASSWORD, Book, Phone, reading

OURS = {"X-Standbook": "1"}


@pytest.fixture
def desk(book: Book) -> Any:
    client = book.app.test_client()
    client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS)
    return client


def test_lg6_only_a_signed_in_lead_sees_it(book: Book) -> None:
    answer = book.app.test_client().get("/api/v1/held")
    assert (answer.status_code, answer.json["error"]["code"]) == (401, "sign_in_needed")


def test_lg6_a_builder_with_a_password_is_still_no_lead(book: Book) -> None:
    book.sql("UPDATE people SET role = 'builder' WHERE id = 'lea-d'")
    client = book.app.test_client()
    client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS)
    answer = client.get("/api/v1/held")
    assert (answer.status_code, answer.json["error"]["code"]) == (403, "not_allowed")


def test_lg4_lg6_it_shows_what_came_and_why_it_was_kept_beside_the_book(book: Book, phone: Phone, desk: Any) -> None:
    first = json.loads(phone.write())
    phone.write(person="nobody")
    phone.write(id=first["id"], body=reading("9.9"))
    phone.keep("x" * 40_000)
    phone.push(1, phone.texts, device_name="Stand 1")
    asides = desk.get("/api/v1/held").json
    unknown, huge = asides["held"]
    assert (unknown["device_name"], unknown["code"], unknown["text"]) == ("Stand 1", "unknown_person", phone.texts[1])
    assert (huge["text"], huge["size"], len(huge["sha256"])) == (None, 40_000, 64)
    (conflict,) = asides["conflicts"]
    assert (conflict["text"], conflict["first"]) == (phone.texts[2], {"seq": 1, "text": phone.texts[0]})


def test_lg6_it_goes_once_a_lead_has_dealt_with_it(phone: Phone, desk: Any) -> None:
    phone.keep("not an entry")
    phone.send()
    (held,) = desk.get("/api/v1/held").json["held"]
    address = f"/api/v1/held/{held['id']}/dealt"
    assert desk.post(address, json={"reason": "Recorded again."}, headers=OURS).status_code == 204
    assert desk.get("/api/v1/held").json == {"held": [], "conflicts": []}
    answer = desk.post(address, json={"reason": "Again."}, headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"]) == (409, "already_dealt")


@pytest.mark.parametrize("body", [{}, {"reason": ""}, {"reason": 5}])
def test_lg6_dealing_with_it_takes_a_reason(phone: Phone, desk: Any, body: dict[str, Any]) -> None:
    phone.keep("not an entry")
    phone.send()
    (held,) = desk.get("/api/v1/held").json["held"]
    assert desk.post(f"/api/v1/held/{held['id']}/dealt", json=body, headers=OURS).status_code == 422
    assert len(desk.get("/api/v1/held").json["held"]) == 1


def test_what_is_not_held_back_cannot_be_dealt_with(desk: Any) -> None:
    answer = desk.post("/api/v1/held/unknown/dealt", json={"reason": "x"}, headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"]) == (404, "unknown_held")
