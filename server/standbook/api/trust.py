"""Who is let in at all where the shop is served beyond this machine: devices that have joined, people who signed in."""

from collections.abc import Collection

from flask import Flask, Response, g, request

from standbook.api.guard import PREFIX
from standbook.api.services import services
from standbook.api.who import signed_in
from standbook.errors import Problem
from standbook.people import joining

COOKIE = "standbook_device"
#: What a stranger may ask: whether anybody is there, how to join, and to be let in.
OPEN = frozenset(
    {
        "shop.health",
        "session.show",
        "session.sign_in",
        "session.sign_out",
        "joining.show",
        "joining.join",
        "devices.challenge",
        "devices.prove",
        "first-lead.begin",
    }
)


def register(app: Flask) -> None:
    app.before_request(refuse_unknown)


def refuse_unknown() -> None:
    """What leads to no route, or comes under another host's name, is told so by what follows."""
    elsewhere = request.routing_exception is not None or not request.path.startswith(PREFIX)
    if elsewhere or request.endpoint in OPEN:
        return
    if not is_known():
        raise Problem("not_joined")


def is_known() -> bool:
    """Whether whoever asks may know of the shop: everybody where it is served on this machine alone."""
    return not services().settings.network or device() is not None or signed_in() is not None


def device() -> str | None:
    """The device of this request's cookie, looked up once a request; None for a stranger's."""
    token = request.cookies.get(COOKIE)
    if token is None:
        return None
    if "device" not in g:
        with services().ledger.reading() as connection:
            g.device = joining.device_of(connection, token)
    found: str | None = g.device
    return found


def require_device() -> str:
    """Raises Problem not_joined."""
    found = device()
    if found is None:
        raise Problem("not_joined")
    return found


def refuse_other(sender: str, others: Collection[str] = ()) -> None:
    """A device speaks for itself, and for whom the shop knows it to speak: `others` may for the sender.

    Raises Problem cut_off, not_joined or other_device.
    """
    at = services()
    asking = device() if at.settings.network else sender
    if asking not in others:
        shop = at.ledger.shop()
        with at.ledger.glance() as connection:
            if joining.is_cut_off(connection, shop, sender):
                raise Problem("cut_off")
    if asking is None:
        raise Problem("not_joined")
    if asking != sender and asking not in others:
        raise Problem("other_device")


def let_in(response: Response, token: str) -> Response:
    """Gives the device its token, for as long as it holds; then it proves its key again."""
    return with_token(response, COOKIE, token, joining.SESSION_KEEPS)


def with_token(response: Response, cookie: str, token: str, seconds: float) -> Response:
    """The answer with a cookie that no script, no other site and, once by TLS, no plain HTTP gets."""
    response.set_cookie(
        cookie,
        token,
        max_age=int(seconds),
        path=PREFIX,
        httponly=True,
        samesite="Strict",
        secure=request.is_secure,
    )
    return response
