"""The shop as every device needs it: its people and gauges. And whether the server is well."""

from importlib.metadata import PackageNotFoundError, version
from typing import Any

from flask import Response, jsonify

from standbook.api import schemas, trust
from standbook.api.etags import marked, tag_of, unchanged
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.errors import Problem
from standbook.ledger.brain import VERSION as TRADE_VERSION
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.shops import shop_name
from standbook.people import changes, roster
from standbook.people.pins import mark, present

blueprint = Routes("shop", __name__, url_prefix=PREFIX, description="People, gauges, health")


@blueprint.on("GET", "/shop")
@blueprint.gives(200, schemas.Shop)
def show() -> Response:
    """Name of the shop, its people with their PINs as slow hashes, and its instruments. With an ETag."""
    answer = shop_facts()
    tag = tag_of("shop", answer)
    return unchanged(tag) or marked(jsonify(answer), tag)


def shop_facts() -> dict[str, Any]:
    at = services()
    ledger = at.ledger
    with ledger.reading() as connection:
        shop = the_shop(connection)
        pins = present(connection, shop)
        people = [
            {**one._asdict(), "version": changes.version(one), "pin": pins.get(one.id)}
            for one in roster.people(connection, shop)
        ]
        return {
            "shop": {"id": shop, "name": shop_name(connection, shop)},
            "epoch": read_counter(connection, shop).epoch,
            "people": people,
            "instruments": at.pulls.gauges_in_use(connection, shop),
            "seal": ledger.seal.public._asdict() if pins else None,
            "pins": mark(connection, shop),
        }


@blueprint.on("GET", "/health")
@blueprint.gives(200, schemas.Health)
def health() -> dict[str, Any]:
    """Whether the server and its database answer. A stranger hears no more than that."""
    return {**NO_WORD, **facts()} if trust.is_known() else {**NO_WORD, "shop": facts()["shop"]}


NO_WORD = {"status": "ok", "version": None, "trade_version": None, "epoch": None, "last_seq": None}


def facts() -> dict[str, Any]:
    versions = {"version": own_version(), "trade_version": TRADE_VERSION}
    try:
        return {**versions, "shop": True, **services().ledger.facts()}
    except Problem as problem:
        if problem.code != "no_shop":
            raise
        return {**versions, "shop": False}


def own_version() -> str:
    try:
        return version("standbook")
    except PackageNotFoundError:
        return "unpacked"
