"""Labels of engines on the shop's network."""

from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from tests.ledger.keys import KeyedPhone
from tests.ledger.kit import BUILD, LEAD, Book


def test_a_label_names_the_origin_that_phones_keep(shop: Book, lead: FlaskClient) -> None:
    desk = KeyedPhone(shop, LEAD)
    desk.write("build_opened")
    desk.send(LEAD)
    asked = lead.get(f"{PREFIX}/builds/{BUILD}/label")
    assert asked.json["address"] == f"https://shop.local:8443/build/{BUILD}"
