"""Who came in where, who did not, and what was changed about that."""

from typing import Any

from standbook.api import schemas
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.who import require_lead
from standbook.people import access
from standbook.people.roster import authors

blueprint = Routes("access", __name__, url_prefix=f"{PREFIX}/access", description="Who came in")


@blueprint.on("GET", "")
@blueprint.asks(schemas.Before)
@blueprint.gives(200, schemas.AccessLines)
def show(page: dict[str, str]) -> dict[str, Any]:
    """The access log, newest first, at most 200 lines; `before`: the id of the last line that is known. For a lead."""
    require_lead()
    ledger = services().ledger
    with ledger.reading() as connection:
        found = access.lines(connection, ledger.shop(), page.get("before"), access.PAGE + 1)
        people = {one.id: one.name for one in authors(connection, ledger.shop()).values()}
    named = {one["id"]: one["name"] for one in ledger.devices()}
    said = [{**line, "person": people.get(line["person"]), "device": named.get(line["device"])} for line in found]
    return {"lines": said[: access.PAGE], "more": len(said) > access.PAGE}
