"""What stands around the entries on the wire, as wild as anybody may send it, on every database (LG6, LG12)."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.ledger.kit import BUILDER, Book, Phone, results

OURS = {"X-Standbook": "1"}
PUSH = "/api/v1/sync/push"
NUL = "a\0b"
LARGEST = 2**53


@pytest.fixture
def client(book: Book) -> FlaskClient:
    return book.app.test_client()


def answered(client: FlaskClient, phone: Phone, **change: Any) -> Any:
    body = {"device": phone.id, "from_no": 1, "entries": [phone.write()], **change}
    return client.post(PUSH, json=body, headers=OURS)


@pytest.mark.parametrize(
    "change",
    [
        {"device": NUL},
        {"device_name": NUL},
        {"app_version": NUL},
        {"carrier": NUL},
        {"replaces": {"device": NUL, "made": 1}},
        {"made": -1},
        {"made": LARGEST + 1},
        {"made": 1.5},
        {"replaces": {"made": 1}},
        {"replaces": "the phone before"},
        {"carrier": ""},
        {"from_no": LARGEST + 1},
    ],
    ids=str,
)
def test_an_envelope_that_no_database_could_keep_is_refused_by_name(
    client: FlaskClient, book: Book, phone: Phone, change: dict[str, Any]
) -> None:
    answer = answered(client, phone, **change)
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "invalid")
    assert next(iter(change)) in answer.json["error"]["message"]
    assert book.texts() == []


@pytest.mark.parametrize(
    "address",
    [
        "sync/pull?device=a%00b",
        "sync/pull?epoch=%00",
        "builds/a%00b",
        "builds/a%00b/steps/journals",
        "blobs/%00",
        "photos/%00",
        "photos/" + "z" * 300,
    ],
)
def test_an_address_that_no_database_could_be_asked_for_finds_nothing(client: FlaskClient, address: str) -> None:
    answer = client.get(f"/api/v1/{address}")
    assert answer.status_code in (404, 422)
    assert answer.json["error"]["code"] in ("not_found", "invalid", "unknown_blob")


@pytest.mark.parametrize("address", ["a%00b/held/1/dealt", f"a/held/{LARGEST}/dealt", f"a/held/{2**80}/dealt"])
def test_dealing_with_a_number_that_no_device_has_finds_nothing(client: FlaskClient, address: str) -> None:
    form = {"person": BUILDER, "reason": "looked at"}
    answer = client.post(f"/api/v1/devices/{address}", json=form, headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"][:3]) == (404, "not" if "%00" in address else "unk")


def test_the_largest_numbers_are_kept_and_told(client: FlaskClient, book: Book, phone: Phone) -> None:
    before = {"device": "u" * 64, "made": LARGEST}
    answer = answered(client, phone, made=LARGEST, replaces=before, device_name="n" * 120)
    assert answer.json["answers"][0]["result"] == "stored"
    assert book.ledger.devices()[0]["made"] == LARGEST
    far = answered(client, phone, from_no=LARGEST)
    assert far.json["answers"][0]["code"] == "number_gap"


def test_lg12_fields_of_a_newer_phone_around_and_inside_are_passed_over_and_kept(
    client: FlaskClient, book: Book, phone: Phone
) -> None:
    text = phone.write("torque_angle", body={"v": 3, "pull": [1, {"x": None}]}, step="torque", place=None, why="later")
    body = {
        "device": phone.id,
        "from_no": 1,
        "entries": [text],
        "mood": {"a": [1]},
        "replaces": {"device": "b", "why": 1},
    }
    answer = client.post(PUSH, json=body, headers=OURS)
    assert answer.json["answers"][0]["result"] == "stored"
    assert client.get("/api/v1/sync/pull").json["entries"][0]["text"] == text


def test_lg12_a_phone_of_the_first_version_says_less_and_is_understood(
    client: FlaskClient, book: Book, phone: Phone
) -> None:
    """Its push as that version wrote it: neither `made` nor `replaces` nor `carrier`."""
    answer = answered(client, phone, now="2026-11-25T08:00:00.000Z", device_name="Stand 1", app_version="0.1.0")
    assert {"count": 1, "next_no": 2}.items() <= answer.json["mine"].items()
    (device,) = book.ledger.devices()
    assert (device["made"], device["unsent"], device["lost"]) == (None, 0, 0)
    assert results(phone.send()) == ["already"]
