"""A shop's beginning: the server runs without one, and a one-time link makes it and its first lead."""

from flask import Flask, Response, jsonify, request

from standbook.api import schemas
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import Services, services
from standbook.api.session import as_dict, with_cookie
from standbook.api.whence import whence
from standbook.errors import Problem
from standbook.ledger.shops import open_shop
from standbook.people import access, first_lead, passwords, sessions
from standbook.people.authority import Author
from standbook.people.roster import take_on

blueprint = Routes("first-lead", __name__, url_prefix=f"{PREFIX}/first-lead", description="A shop's beginning")
#: What answers before there is a shop, apart from the client's own files.
OPEN = (f"{PREFIX}/health", f"{PREFIX}/first-lead", f"{PREFIX}/openapi.json")


def register(app: Flask) -> None:
    app.before_request(refuse_without_shop)


def refuse_without_shop() -> None:
    """Raises Problem no_shop on every route that is about a shop."""
    if request.path.startswith(f"{PREFIX}/") and request.path not in OPEN:
        services().ledger.shop()


def has_shop(at: Services) -> bool:
    try:
        return bool(at.ledger.shop())
    except Problem as problem:
        if problem.code != "no_shop":
            raise
        return False


def first_link(at: Services, address: str) -> str | None:
    """A new one-time link to the first lead's screen, None where there is a shop. The token stands behind the #: no
    browser sends that, so it is in no log."""
    if has_shop(at):
        first_lead.forget(at.settings.keys)
        return None
    return f"{address}/first#{first_lead.make(at.settings.keys)}"


@blueprint.on("POST", "")
@blueprint.takes(schemas.FirstLead)
@blueprint.gives(201, schemas.Session)
def begin(form: dict[str, str]) -> Response:
    """Opens the shop's book, takes its first lead on and signs him in. Only while there is no shop; the link is used
    up by it."""
    at = services()
    if has_shop(at) or not first_lead.fits(at.settings.keys, form["token"]):
        raise Problem("code_wrong")
    person = taken_on(at, form)
    first_lead.forget(at.settings.keys)
    response = with_cookie(jsonify({"person": as_dict(person)}), sessions.open_session(at.writer, person, whence()))
    response.status_code = 201
    return response


def taken_on(at: Services, form: dict[str, str]) -> Author:
    """Raises Problem password_unfit, or code_wrong where another one was quicker."""
    try:
        passwords.refuse_easy(form["password"], form["name"])
    except ValueError as error:
        raise Problem("password_unfit", reason=str(error)) from error
    with at.writer.writing() as connection:
        try:
            shop = open_shop(connection, form["shop"])
        except ValueError as error:
            raise Problem("code_wrong") from error
        person = take_on(connection, shop, form["name"], "lead", form["password"])
        access.note(connection, shop, "link_used", person=person, **whence()._asdict())
    return Author(person, form["name"].strip(), "lead")
