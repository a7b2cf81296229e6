"""The people of the shop: a lead takes on, changes, gives passwords and PINs; everybody changes the own."""

from typing import Any

from flask import Response

from standbook.api import schemas
from standbook.api.etags import named_in
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.session import with_cookie
from standbook.api.whence import whence
from standbook.api.who import require_lead, require_somebody
from standbook.ledger.counter import read_counter
from standbook.people import changes, passwords, pins, sessions
from standbook.people.authority import Author
from standbook.people.changes import By, fitting

blueprint = Routes("people", __name__, url_prefix=PREFIX, description="People, their passwords and PINs")


@blueprint.on("POST", "/people")
@blueprint.takes(schemas.NewPerson)
@blueprint.gives(201, schemas.Person)
def take_on(form: dict[str, str]) -> dict[str, Any]:
    """Takes somebody on. For a lead."""
    by, at = by_lead(), services()
    with at.writer.writing() as connection:
        return changes.take_on(connection, at.ledger.shop(), form["name"], form["role"], by)._asdict()


@blueprint.on("POST", "/people/<person>")
@blueprint.heeds(schemas.IfMatch)
@blueprint.takes(schemas.ChangedPerson)
@blueprint.gives(200, schemas.Person)
def change(head: dict[str, str], form: dict[str, str], person: str) -> tuple[dict[str, Any], dict[str, str]]:
    """Another name or role, where they still are as they were looked at (If-Match). For a lead; the last one who leads
    cannot stop."""
    by, at = by_lead(), services()
    name, role = form.get("name"), form.get("role")
    with at.writer.writing() as connection:
        changes.refuse_stale(changes.somebody(connection, at.ledger.shop(), person), name, role, named_in(head))
        new = changes.change(connection, at.ledger.shop(), person, name, role, by)
        return new._asdict(), {"ETag": f'"{changes.version(new)}"'}


@blueprint.on("POST", "/people/<person>/left")
@blueprint.gives(204)
def leave(person: str) -> Response:
    """Somebody has left the shop: signed in nowhere from now on, and still named in the book. For a lead."""
    by, at = by_lead(), services()
    with at.writer.writing() as connection:
        changes.leave(connection, at.ledger.shop(), person, by)
    return Response(status=204)


@blueprint.on("POST", "/people/<person>/password")
@blueprint.takes(schemas.NewPassword)
@blueprint.gives(204)
def give_password(form: dict[str, str], person: str) -> Response:
    """A new password for somebody; ends what the old one opened. For a lead."""
    put_password(person, form["password"], by_lead())
    return Response(status=204)


@blueprint.on("POST", "/people/<person>/pin")
@blueprint.takes(schemas.NewPin)
@blueprint.gives(204)
def give_pin(form: dict[str, str], person: str) -> Response:
    """A new PIN for somebody. For a lead."""
    put_pin(person, form["pin"], by_lead())
    return Response(status=204)


@blueprint.on("POST", "/me/password")
@blueprint.takes(schemas.OwnPassword)
@blueprint.gives(204)
def change_own_password(form: dict[str, str]) -> Response:
    """Another password for who is signed in. Other browsers are signed out; this one goes on."""
    me = sure_of_myself(form["old"])
    put_password(me.id, form["password"], by(me))
    return with_cookie(Response(status=204), sessions.open_session(services().writer, me, whence()))


@blueprint.on("POST", "/me/pin")
@blueprint.takes(schemas.OwnPin)
@blueprint.gives(204)
def change_own_pin(form: dict[str, str]) -> Response:
    """Another PIN for who is signed in."""
    me = sure_of_myself(form["password"])
    put_pin(me.id, form["pin"], by(me))
    return Response(status=204)


def by_lead() -> By:
    """Raises Problem sign_in_needed or not_allowed."""
    return by(require_lead())


def by(person: Author) -> By:
    return By(person.id, person.name, whence().address)


def sure_of_myself(password: str) -> Author:
    """Who is signed in, and knows the password. Raises Problem sign_in_needed, sign_in_failed or sign_in_locked."""
    me, at = require_somebody(), services()
    return sessions.check_password(at.writer, at.ledger.shop(), me.id, password, whence())


def put_password(person: str, password: str, by: By) -> None:
    at = services()
    with at.ledger.reading() as connection:
        name = changes.somebody(connection, at.ledger.shop(), person).name
    with fitting():
        hashed = passwords.hashed(password, name)
    with at.writer.writing() as connection:
        changes.new_password(connection, at.ledger.shop(), person, hashed, by)


def put_pin(person: str, pin: str, by: By) -> None:
    at = services()
    shop = at.ledger.shop()
    with fitting():
        hashed = pins.hashed(pin)
    with at.writer.writing() as connection:
        changes.new_pin(connection, shop, person, hashed, read_counter(connection, shop).last_seq, by)
