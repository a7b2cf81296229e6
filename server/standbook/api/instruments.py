"""The shop's gauges at the desk: a lead adds, changes and retires them, each change against the version looked at."""

from typing import Any

from standbook.api import schemas
from standbook.api.etags import named_in
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.who import require_lead
from standbook.people import instruments

#: An answer with its head: the ETag is the version, which a later change names.
Marked = tuple[dict[str, Any], dict[str, str]]

blueprint = Routes("instruments", __name__, url_prefix=PREFIX, description="The shop's instruments, for leads")


@blueprint.on("GET", "/instruments")
@blueprint.gives(200, schemas.KeptInstruments)
def show() -> dict[str, Any]:
    """Every instrument, also those that are retired, with calibration, pulls and history. For a lead."""
    require_lead()
    at = services()
    with at.ledger.reading() as connection:
        return {"instruments": at.pulls.kept(connection, at.ledger.shop())}


@blueprint.on("POST", "/instruments")
@blueprint.takes(schemas.InstrumentForm)
@blueprint.gives(201, schemas.KeptInstrument)
def add(form: dict[str, Any]) -> Marked:
    """Adds an instrument. For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        return one(instruments.add(connection, at.ledger.shop(), form, lead.id), connection)


@blueprint.on("PUT", "/instruments/<instrument>")
@blueprint.heeds(schemas.IfMatch)
@blueprint.takes(schemas.InstrumentForm)
@blueprint.gives(200, schemas.KeptInstrument)
def change(head: dict[str, str], form: dict[str, Any], instrument: str) -> Marked:
    """Writes an instrument anew, where it still is as it was looked at. For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        instruments.change(connection, at.ledger.shop(), instrument, form, named_in(head), lead.id)
        return one(instrument, connection)


@blueprint.on("POST", "/instruments/<instrument>/retired")
@blueprint.heeds(schemas.IfMatch)
@blueprint.takes(schemas.Retire)
@blueprint.gives(200, schemas.KeptInstrument)
def retire(head: dict[str, str], form: dict[str, str], instrument: str) -> Marked:
    """Takes an instrument out of use with a reason, or without one into use again. For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        instruments.retire(connection, at.ledger.shop(), instrument, form["reason"], named_in(head), lead.id)
        return one(instrument, connection)


def one(which: str, connection: Any) -> Marked:
    at = services()
    found = next(row for row in at.pulls.kept(connection, at.ledger.shop()) if row["id"] == which)
    return found, {"ETag": f'"{found["version"]}"'}
