"""Signing in and out at the desk."""

from typing import Any

from flask import Response, jsonify, request

from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.schemas import Session, SignIn
from standbook.api.services import services
from standbook.api.who import COOKIE, signed_in
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
    """Signs a person in and sets the session cookie. One answer for a wrong name and a wrong password."""
    at = services()
    token, person = sessions.sign_in(at.writer, at.ledger.shop(), form["person"], form["password"])
    end_session()
    return with_cookie(jsonify({"person": as_dict(person)}), token)


def with_cookie(response: Response, token: str) -> Response:
    """The answer after which this browser is signed in."""
    response.set_cookie(
        COOKIE,
        token,
        max_age=int(sessions.KEEPS),
        path=PREFIX,
        httponly=True,
        samesite="Strict",
        secure=request.is_secure,
    )
    return response


@blueprint.on("DELETE", "")
@blueprint.gives(200, Session)
def sign_out() -> Response:
    """Ends this browser's session. What is recorded stays."""
    end_session()
    response = jsonify({"person": None})
    response.delete_cookie(COOKIE, path=PREFIX, httponly=True, samesite="Strict", secure=request.is_secure)
    return response


def end_session() -> None:
    token = request.cookies.get(COOKIE)
    if token:
        sessions.sign_out(services().writer, token)


def as_dict(person: Author | None) -> dict[str, str] | None:
    return None if person is None else {"id": person.id, "name": person.name, "role": person.role}
