"""What a phone sends over the shop's network has to be under its own key."""

import json

from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
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
