"""Joining: a lead makes a code at the desk, a phone gives it once and leaves its key."""

from typing import Any

from flask import Response, jsonify

from standbook.api import qr, schemas, trust
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import Services, services
from standbook.api.whence import whence
from standbook.api.who import require_lead, signed_in
from standbook.errors import Problem
from standbook.ledger.counter import the_shop
from standbook.ledger.shops import shop_name
from standbook.people import access, joining, misses

blueprint = Routes("joining", __name__, url_prefix=f"{PREFIX}/join", description="Letting a phone or browser in")


@blueprint.on("GET", "")
@blueprint.gives(200, schemas.Joining)
def show() -> dict[str, Any]:
    """Under which origin a phone joins, and the fingerprint of the shop's certificate authority."""
    where = services().whereabouts
    if where is None:
        return {"network": False, "origin": None, "name": None, "fingerprint": None}
    return {"network": True, "origin": where.origin, "name": where.name, "fingerprint": where.fingerprint}


@blueprint.on("POST", "/codes")
@blueprint.takes(schemas.Nothing)
@blueprint.gives(201, schemas.JoinCode)
def make_code(_form: dict[str, Any]) -> dict[str, Any]:
    """A code for one phone, good once and for ten minutes, and what the phone opens. For a lead."""
    lead, at = require_lead(), services()
    if at.whereabouts is None:
        raise Problem("no_network")
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        made = joining.make_code(connection, shop, lead.id)
        access.note(connection, shop, "code_made", person=lead.id, **whence()._asdict())
    address = at.whereabouts.join_address(made.code)
    told = {"address": address, "origin": at.whereabouts.origin, "fingerprint": at.whereabouts.fingerprint}
    return {**made._asdict(), **told, "qr": qr.rows(address)}


@blueprint.on("POST", "")
@blueprint.takes(schemas.Join)
@blueprint.gives(200, schemas.JoinedShop)
def join(form: dict[str, str]) -> Response:
    """A phone gives the code and its key, and is let in from then on."""
    at, address = services(), whence().address
    with at.writer.writing() as connection:
        misses.count_guess(connection, address)
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        lead = joining.use_code(connection, shop, form["code"])
        if lead is None:
            access.note(connection, shop, "code_missed", address=address)
        else:
            token = joining.join(connection, shop, key_in(form), lead)
            about = {"device": form["device"], "person": lead, "detail": form["device_name"]}
            access.note(connection, shop, "device_joined", address=address, **about)
            misses.forget(connection, misses.guess(address))
    if lead is None:
        raise Problem("code_wrong")
    return joined_shop(at, token)


@blueprint.on("POST", "/desk")
@blueprint.takes(schemas.DeviceKey)
@blueprint.gives(200, schemas.JoinedShop)
def join_desk(form: dict[str, str]) -> Response:
    """The browser in which somebody has signed in is trusted by that."""
    person, at = signed_in(), services()
    if person is None:
        raise Problem("sign_in_needed")
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        token = joining.join_anew(connection, shop, key_in(form), person.id)
        about = {"device": form["device"], "person": person.id}
        access.note(connection, shop, "device_joined", address=whence().address, **about)
    return joined_shop(at, token)


def key_in(form: dict[str, str]) -> joining.Key:
    return joining.Key(form["device"], form["public_key"], form.get("device_name", ""))


def joined_shop(at: Services, token: str) -> Response:
    with at.ledger.reading() as connection:
        shop = the_shop(connection)
        answer = jsonify({"shop": {"id": shop, "name": shop_name(connection, shop)}})
    return trust.let_in(answer, token)
