"""Where a request came from, and that a session which is used stays open."""

from flask import Flask, request

from standbook import clock
from standbook.api.services import services
from standbook.api.trust import device
from standbook.api.who import COOKIE
from standbook.errors import Problem
from standbook.people import sessions
from standbook.people.access import Whence
from standbook.people.misses import sha256

#: Used again within so many seconds, a session is not written anew.
SPARES = 600.0
MOST_KNOWN = 1000


def whence() -> Whence:
    """Whence this request comes."""
    return Whence(request.remote_addr or "", device())


class Used:
    """When each session was last written, by its token's sha256: a desk asks every three seconds."""

    def __init__(self) -> None:
        self._until: dict[str, str] = {}

    def is_new(self, token: str) -> bool:
        """True once in ten minutes for one token."""
        key, now = sha256(token), clock.now_stamp()
        if self._until.get(key, "") > now:
            return False
        if len(self._until) >= MOST_KNOWN:
            self._until.clear()
        self._until[key] = clock.later(SPARES)
        return True


def register(app: Flask) -> None:
    used = Used()

    @app.before_request
    def stay() -> None:
        token = request.cookies.get(COOKIE)
        if token and used.is_new(token):
            keep_open(token)


def keep_open(token: str) -> None:
    at = services()
    with at.ledger.reading() as connection:
        if sessions.end_of(connection, token) is None:
            return
    try:
        with at.writer.writing() as connection:
            sessions.stay(connection, token)
    except Problem:
        # A full disk ends the session earlier; what was asked for may still be answered.
        return
