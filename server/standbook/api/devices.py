"""Phones and browsers of the shop: what each has made, sent and lost (LG5, LG7)."""

from typing import Any

from flask import Response

from standbook.api import schemas
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.who import signed_in
from standbook.errors import Problem

blueprint = Routes("devices", __name__, url_prefix=f"{PREFIX}/devices", description="Phones and browsers")


@blueprint.on("GET", "")
@blueprint.gives(200, schemas.Devices)
def show() -> dict[str, Any]:
    """Every device that the shop has heard of, the last one first. For who is signed in."""
    if signed_in() is None:
        raise Problem("sign_in_needed")
    return {"devices": services().ledger.devices()}


@blueprint.on("POST", "/<device>/held/<int:device_no>/dealt")
@blueprint.takes(schemas.DealtByPhone)
@blueprint.gives(204)
def deal(form: dict[str, str], device: str, device_no: int) -> Response:
    """A device's own held-back entry or conflict was dealt with by a person at it. The bytes stay in the database."""
    services().ledger.deal_by_number(device, device_no, form["person"], form["reason"])
    return Response(status=204)
