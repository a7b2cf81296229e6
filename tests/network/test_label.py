"""Labels of engines on the shop's network."""

from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from tests.api.test_shop_and_builds import opened
from tests.ledger.kit import BUILD, Book


def test_a_label_names_the_origin_that_phones_keep(shop: Book, lead: FlaskClient) -> None:
    opened(shop)
    asked = lead.get(f"{PREFIX}/builds/{BUILD}/label")
    assert asked.json["address"] == f"https://shop.local:8443/build/{BUILD}"
