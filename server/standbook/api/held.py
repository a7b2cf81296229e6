"""Held-back entries and conflicts, for a lead to deal with (LG4, LG6)."""

from typing import Any

from flask import Response

from standbook.api import schemas
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.who import require_lead

blueprint = Routes("held", __name__, url_prefix=f"{PREFIX}/held", description="What the book could not take")


@blueprint.on("GET", "")
@blueprint.gives(200, schemas.Asides)
def show() -> dict[str, Any]:
    """Everything held back or in conflict that nobody has dealt with yet. For a lead."""
    require_lead()
    return services().ledger.asides()._asdict()


@blueprint.on("POST", "/<aside>/dealt")
@blueprint.takes(schemas.Dealt)
@blueprint.gives(204)
def deal(form: dict[str, str], aside: str) -> Response:
    """Notes that a lead has dealt with it, and how. The bytes stay in the database."""
    lead = require_lead()
    services().ledger.deal(aside, lead.id, form["reason"])
    return Response(status=204)
