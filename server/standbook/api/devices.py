"""Phones and browsers of the shop: what each has made, sent and lost (LG5, LG7)."""

from typing import Any

from flask import Response, jsonify

from standbook.api import schemas, trust
from standbook.api.guard import PREFIX
from standbook.api.joining import key_in
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.whence import whence
from standbook.api.who import require_lead, signed_in
from standbook.errors import Problem
from standbook.ledger.counter import the_shop
from standbook.ledger.devices import note_replaced
from standbook.ledger.wire import Replaced
from standbook.people import access, joining

blueprint = Routes("devices", __name__, url_prefix=f"{PREFIX}/devices", description="Phones and browsers")


@blueprint.on("GET", "")
@blueprint.gives(200, schemas.Devices)
def show() -> dict[str, Any]:
    """Every device that the shop has heard of, the last one first. For who is signed in."""
    if signed_in() is None:
        raise Problem("sign_in_needed")
    ledger = services().ledger
    with ledger.reading() as connection:
        trusted = joining.trust_of(connection, the_shop(connection))
    return {"devices": listed(ledger.devices(), trusted)}


STRANGER = {"joined_at": None, "joined_by": None, "cut_off_at": None, "cut_off_by": None}
#: A device that has joined and has not written yet.
SILENT = {"count": 0, "made": None, "unsent": 0, "lost": 0, "replaced_by": None}


def listed(known: list[dict[str, Any]], trusted: dict[str, dict[str, str | None]]) -> list[dict[str, Any]]:
    """Every device with what the shop thinks of it; those that only joined come last."""
    heard = [{**trusted.get(one["id"], STRANGER), **one} for one in known]
    ids = {one["id"] for one in known}
    silent = [
        {"id": device, **SILENT, "last_contact": said["joined_at"], **said}
        for device, said in trusted.items()
        if device not in ids
    ]
    return [*heard, *silent]


@blueprint.on("POST", "/<device>/held/<int:device_no>/dealt")
@blueprint.takes(schemas.DealtByPhone)
@blueprint.gives(204)
def deal(form: dict[str, str], device: str, device_no: int) -> Response:
    """A held-back entry or conflict was dealt with by a person at its device, or at the one that brought it. The bytes
    stay in the database."""
    trust.refuse_other(device, services().ledger.speakers(device, device_no))
    services().ledger.deal_by_number(device, device_no, form["person"], form["reason"])
    return Response(status=204)


@blueprint.on("POST", "/challenge")
@blueprint.takes(schemas.AskChallenge)
@blueprint.gives(200, schemas.Challenge)
def challenge(_form: dict[str, str]) -> dict[str, str]:
    """Random text for a device to sign, good once and for a minute."""
    with services().writer.writing() as connection:
        return {"challenge": joining.challenge(connection)}


@blueprint.on("POST", "/proof")
@blueprint.takes(schemas.KeyProof)
@blueprint.gives(200, schemas.LetIn)
def prove(form: dict[str, str]) -> Response:
    """A device that has joined proves its key and is let in again."""
    at = services()
    proof, token, code = joining.Proof(**form), None, "not_joined"
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        found = joining.proven(connection, shop, proof)
        if found is None:
            access.note_once_an_hour(connection, shop, "device_missed", address=whence().address, device=proof.device)
        elif found.cut_off:
            code = "cut_off"
            access.note_once_an_hour(connection, shop, "device_refused", address=whence().address, device=proof.device)
        else:
            token = joining.open_session(connection, shop, found.device)
    if token is None:
        raise Problem(code)
    return trust.let_in(jsonify({"device": proof.device}), token)


@blueprint.on("POST", "/renamed")
@blueprint.takes(schemas.DeviceKey)
@blueprint.gives(200, schemas.LetIn)
def rename(form: dict[str, str]) -> Response:
    """This browser is another device now: its storage was cleared, or its identity was found on two phones."""
    before, at = trust.require_device(), services()
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        by = joining.joined_by(connection, shop, before)
        token = joining.join_anew(connection, shop, key_in(form), by)
        note_replaced(connection, shop, Replaced(before), form["device"])
        about = {"device": form["device"], "detail": f"it was {before} before"}
        access.note(connection, shop, "device_joined", address=whence().address, **about)
    return trust.let_in(jsonify({"device": form["device"]}), token)


@blueprint.on("POST", "/<device>/cut-off")
@blueprint.takes(schemas.CutOff)
@blueprint.gives(204)
def cut_off(form: dict[str, str], device: str) -> Response:
    """A lost phone is let in no more, at once. What it has not sent can still be handed in by file. For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        shop = the_shop(connection)
        joining.cut_off(connection, shop, device, lead.id, form["reason"])
        about = {"person": lead.id, "device": device, "detail": form["reason"]}
        access.note(connection, shop, "device_cut_off", address=whence().address, **about)
    return Response(status=204)


@blueprint.on("GET", "/proofs/<entry>")
@blueprint.gives(200, schemas.EntryProof)
def proof(entry: str) -> dict[str, Any]:
    """Which device and whose key an entry came from. For a lead."""
    require_lead()
    return services().ledger.proof(entry)
