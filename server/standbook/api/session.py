"""Signing in and out at the desk."""

from typing import Any

from flask import Response, jsonify, request

from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.schemas import Everywhere, OpenSessions, Session, SignIn
from standbook.api.services import services
from standbook.api.trust import with_token
from standbook.api.whence import whence
from standbook.api.who import COOKIE, signed_in
from standbook.errors import Problem
from standbook.people import sessions
from standbook.people.authority import Author

blueprint = Routes("session", __name__, url_prefix=f"{PREFIX}/session", description="Who is signed in")


@blueprint.on("GET", "")
@blueprint.gives(200, Session)
def show() -> dict[str, Any]:
    """Who is signed in in this browser."""
    return {"person": as_dict(signed_in())}


@blueprint.on("POST", "")
@blueprint.takes(SignIn)
@blueprint.gives(200, Session)
def sign_in(form: dict[str, str]) -> Response:
    """Signs a person in, by id or whole name, and sets the session cookie. One answer for a wrong name and a wrong
    password."""
    at = services()
    token, person = sessions.sign_in(at.writer, at.ledger.shop(), form["person"], form["password"], whence())
    end_session()
    return with_cookie(jsonify({"person": as_dict(person)}), token)


def with_cookie(response: Response, token: str) -> Response:
    """The answer after which this browser is signed in."""
    return with_token(response, COOKIE, token, sessions.KEEPS)


@blueprint.on("DELETE", "")
@blueprint.asks(Everywhere)
@blueprint.gives(200, Session)
def sign_out(where: dict[str, bool]) -> Response:
    """Ends this browser's session, or (everywhere=1) all of the person's. What is recorded stays."""
    person = signed_in()
    if where["everywhere"] and person:
        sessions.sign_out_everywhere(services().writer, person.id, whence())
    else:
        end_session()
    response = jsonify({"person": None})
    response.delete_cookie(COOKIE, path=PREFIX, httponly=True, samesite="Strict", secure=request.is_secure)
    return response


@blueprint.on("GET", "/all")
@blueprint.gives(200, OpenSessions)
def show_all() -> dict[str, Any]:
    """The open sessions of whoever is signed in, on whatever browser. For who is signed in."""
    person = signed_in()
    if person is None:
        raise Problem("sign_in_needed")
    with services().ledger.reading() as connection:
        return {"sessions": sessions.open_sessions(connection, person.id, request.cookies.get(COOKIE, ""))}


def end_session() -> None:
    token = request.cookies.get(COOKIE)
    if token:
        sessions.sign_out(services().writer, token, whence())


def as_dict(person: Author | None) -> dict[str, str] | None:
    return None if person is None else {"id": person.id, "name": person.name, "role": person.role}
