"""The sync routes: msgspec on the wire (`ledger/wire.py`), since every entry of the shop passes here."""

from typing import Any

import msgspec
from flask import Response, request

from standbook.api.bridge import PLACE
from standbook.api.etags import marked, tag_of, unchanged
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.trust import refuse_other
from standbook.api.who import signed_in
from standbook.errors import Problem
from standbook.ledger.pull import Cursor
from standbook.ledger.wire import MOST_PULLED, USUAL_PULL, Push

blueprint = Routes("sync", __name__, url_prefix=f"{PREFIX}/sync", description="Entries to the shop and back")
WHOLE = {"type": "integer", "minimum": 0}
# How a page may be asked for. Who says nothing, or what is not known here, gets whole entries (LG12).
ENTRIES, COLUMNS = "entries", "columns"
reader = msgspec.json.Decoder(Push)
writer = msgspec.json.Encoder()


def form(name: str) -> dict[str, Any]:
    """A form of `ledger/wire.py`, as the document refers to it."""
    return {"content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{name}"}}}}


@blueprint.on("POST", "/push")
@blueprint.says(
    requestBody={"required": True, **form("Push")},
    responses={"200": {"description": "An answer for every entry", **form("Pushed")}},
)
def push() -> Response:
    """Entries of one device; every one gets its own answer."""
    person, push = signed_in(), pushed(request.get_data())
    refuse_other(push.carrier or push.device)
    ledger = services().ledger
    with ledger.in_line(push, request.environ.get(PLACE)):
        taken = ledger.push(push, person.id if person else None)
    return json(taken)


@blueprint.on("GET", "/pull")
@blueprint.says(
    parameters=[
        {"name": "epoch", "in": "query", "schema": {"type": "string", "default": ""}},
        {"name": "after", "in": "query", "schema": {**WHOLE, "default": 0}},
        {"name": "limit", "in": "query", "schema": {**WHOLE, "default": USUAL_PULL, "maximum": MOST_PULLED}},
        {"name": "device", "in": "query", "schema": {"type": "string"}},
        {"name": "form", "in": "query", "schema": {"type": "string", "enum": [ENTRIES, COLUMNS], "default": ENTRIES}},
    ],
    responses={
        "200": {"description": "The next entries", **form("Pulled")},
        "304": {"description": "Nothing new"},
    },
)
def pull() -> Response:
    """The book from a cursor on, in the shop's order, as whole entries or as columns. With an ETag."""
    cursor = cursor_of()
    ledger = services().ledger
    at = ledger.standing(cursor)
    tag = tag_of("pull", at.counter, at.mine, at.reset, at.after, cursor.limit, cursor.columns)
    return unchanged(tag) or marked(json(ledger.pull(cursor)), tag)


def pushed(body: bytes) -> Push:
    """Raises Problem invalid or bad_json; what is wrong inside an entry is not told here, but entry by entry."""
    try:
        return reader.decode(body)
    except msgspec.ValidationError as error:
        raise Problem("invalid", fields=str(error)) from error
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise Problem("bad_json") from error


def cursor_of() -> Cursor:
    given = request.args
    numbers = {name: whole(name, usual) for name, usual in (("after", 0), ("limit", USUAL_PULL))}
    columns = given.get("form") == COLUMNS
    return Cursor(given.get("epoch", ""), numbers["after"], numbers["limit"], given.get("device") or None, columns)


def whole(name: str, usual: int) -> int:
    text = request.args.get(name, "") or str(usual)
    if not (text.isascii() and text.isdigit() and len(text) <= 15):
        raise Problem("invalid", fields=f"{name} has to be a whole number")
    return int(text)


def json(answer: msgspec.Struct) -> Response:
    return Response(writer.encode(answer), mimetype="application/json")
