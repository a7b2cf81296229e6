"""Who is asking."""

from flask import g, request

from standbook.api.services import services
from standbook.errors import Problem
from standbook.people.authority import Author
from standbook.people.sessions import signed_in as person_of

COOKIE = "standbook_session"


def signed_in() -> Author | None:
    """The person of the session cookie, looked up once a request."""
    token = request.cookies.get(COOKIE)
    if token is None:
        return None
    if "signed_in" not in g:
        with services().ledger.reading() as connection:
            g.signed_in = person_of(connection, token)
    found: Author | None = g.signed_in
    return found


def require_somebody() -> Author:
    """Raises Problem sign_in_needed."""
    person = signed_in()
    if person is None:
        raise Problem("sign_in_needed")
    return person


def require_lead() -> Author:
    """Raises Problem sign_in_needed or not_allowed."""
    person = require_somebody()
    if not person.leads:
        raise Problem("not_allowed")
    return person
