"""What a phone sends over the shop's network has to be under its own key."""

import json
from collections.abc import Callable

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from standbook.api.guard import PREFIX
from tests.api.roles import person_of
from tests.ledger.keys import batch, new_key, signed
from tests.ledger.kit import Book, Phone
from tests.network.kit import OURS, Device, answered, refused


def entry_of(shop: Book, phone: Device) -> str:
    writer = Phone(shop)
    writer.id = phone.id
    return writer.write()


def test_a_batch_is_refused_whole_without_the_key_of_the_phone_that_sends_it(shop: Book, phone: Device) -> None:
    text = entry_of(shop, phone)
    forged = signed(new_key(), batch(phone.id, 1, [text]))
    for signature in ("", forged):
        assert refused(phone.push(entries=[text], signature=signature)) == (403, "signature_wrong")
    assert shop.texts() == []
    assert answered(phone.push(entries=[text]))["answers"][0]["result"] == "stored"


def test_a_lead_can_tell_which_phone_and_key_an_entry_came_from(shop: Book, phone: Device, lead: FlaskClient) -> None:
    text = entry_of(shop, phone)
    answered(phone.push(entries=[text]))
    entry = json.loads(text)["id"]
    told = answered(lead.get(f"{PREFIX}/devices/proofs/{entry}", headers=OURS))
    assert told == {
        "entry": entry,
        "device": phone.id,
        "from_no": 1,
        "to_no": 1,
        "signer": phone.id,
        "proven": True,
    }
    assert refused(lead.get(f"{PREFIX}/devices/proofs/nothing")) == (404, "unknown_entry")


def dealt(by: Device, device: str) -> TestResponse:
    form = {"person": person_of("builder"), "reason": "looked at"}
    return by.ask("POST", f"/devices/{device}/held/1/dealt", json=form)


def test_what_one_phone_brought_for_another_is_dealt_with_at_the_one_that_brought_it(
    shop: Book, phone: Device, code: Callable[[], str]
) -> None:
    gone, stranger = Device(shop), Device(shop)
    answered(stranger.join(code()))
    brought = answered(phone.push(device=gone.id, carrier=phone.id, entries=["no entry at all"]))
    assert brought["answers"][0]["result"] == "held"
    assert refused(dealt(stranger, gone.id)) == (403, "other_device")
    assert dealt(phone, gone.id).status_code == 204


def test_what_a_browser_left_behind_as_what_it_was_before_it_deals_with_itself(shop: Book, phone: Device) -> None:
    answered(phone.push(entries=["no entry at all"]))
    for _ in range(2):
        anew = Device(shop)
        anew.client = phone.client
        answered(anew.ask("POST", "/devices/renamed", json={"device": anew.id, "public_key": anew.public_key}))
        answered(anew.push())
    assert dealt(anew, phone.id).status_code == 204
