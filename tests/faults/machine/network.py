"""The network between phones and server: what may become of a request, each by name with its words for the story."""

import base64
import random
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from tests.faults.machine.server import Doom, Killed, Reply

if TYPE_CHECKING:
    from tests.faults.machine.world import World

Command = dict[str, Any]


class Request(NamedTuple):
    id: int
    page: str
    method: str
    url: str
    headers: dict[str, str]
    body: bytes

    @property
    def words(self) -> str:
        return f"{self.page}'s {self.method} {self.url.partition('?')[0].removeprefix('/api/v1')}"


PORTALS: list[tuple[str, int, dict[str, str], str]] = [
    ("a sign-in page", 200, {"content-type": "text/html"}, "<html>Welcome to the guest network</html>"),
    ("a sign-in page that calls itself JSON", 200, {"content-type": "application/json"}, "<html>Welcome</html>"),
    ("somebody else's JSON", 200, {"content-type": "application/json"}, '{"status":"login required"}'),
    ("somebody else's nothing", 200, {"content-type": "application/json"}, "null"),
    ("an empty answer", 200, {}, ""),
    ("an empty answer without content", 204, {}, ""),
    ("not modified", 304, {"etag": '"stranger"'}, ""),
    ("network sign-in needed", 511, {"content-type": "text/html"}, "<html>Sign in</html>"),
    ("a proxy's page", 502, {"content-type": "text/html"}, "<html>Bad gateway</html>"),
    ("a proxy's not found", 404, {"content-type": "text/html"}, "<html>Not here</html>"),
]


def packed(body: bytes) -> Command:
    """Text as it is; pictures and what was cut within a letter in base64."""
    try:
        return {"body": body.decode()}
    except UnicodeDecodeError:
        return {"body": base64.b64encode(body).decode(), "packed": True}


def answer(request: Request, reply: Reply, **more: Any) -> Command:
    return {
        "do": "answer",
        "id": request.id,
        "status": reply.status,
        "headers": reply.headers,
        **packed(reply.body),
        **more,
    }


def fail(request: Request) -> list[Command]:
    return [{"do": "fail", "id": request.id}]


def deliver(world: "World", request: Request, heard: bool = True) -> Reply | None:
    """The server's reply; None where it is down or dies at it. `heard`: the phone takes the cookie in."""
    return world.ask_server(request, heard)


def through(world: "World", request: Request, luck: random.Random) -> list[Command]:
    reply = deliver(world, request)
    return [answer(request, reply)] if reply else fail(request)


def lost(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} is lost on its way")
    return fail(request)


def delayed(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} is held up on its way")
    world.waiting[request.id] = request
    world.held_up.add(request.id)
    return []


def twice(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} arrives twice")
    first, second = deliver(world, request), deliver(world, request)
    reply = first if luck.random() < 0.5 else second
    return [answer(request, reply)] if reply else fail(request)


def again_later(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} arrives, and the network keeps a copy of it")
    world.stragglers.append(request)
    return through(world, request, luck)


def arrives_late(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} is given up by the phone, yet still on its way")
    world.stragglers.append(request)
    return fail(request)


def cut_request(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} is cut in the middle of the request")
    if len(request.body) > 1:
        half = request.body[: luck.randrange(1, len(request.body))]
        world.ask_server(request._replace(body=half), heard=False, size=len(request.body))
    return fail(request)


def cut_reply(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} arrives; the reply is cut")
    reply = deliver(world, request, heard=luck.random() < 0.5)
    if reply is None or luck.random() < 0.5:
        return fail(request)
    return [answer(request, reply, cut=True)]


def half_reply(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} arrives; half of the reply comes back as if it were whole")
    reply = deliver(world, request)
    if reply is None:
        return fail(request)
    return [answer(request, reply._replace(body=reply.body[: len(reply.body) // 2]))]


def portal(world: "World", request: Request, luck: random.Random) -> list[Command]:
    words, status, headers, body = luck.choice(PORTALS)
    world.story.tell(f"{request.words} is answered by a stranger: {words}")
    return [answer(request, Reply(status, headers, body.encode()))]


def proxy_after(world: "World", request: Request, luck: random.Random) -> list[Command]:
    world.story.tell(f"{request.words} arrives; a proxy answers that it took too long")
    deliver(world, request, heard=False)
    return [answer(request, Reply(504, {"content-type": "text/html"}, b"<html>Timeout</html>"))]


def server_dies(world: "World", request: Request, luck: random.Random) -> list[Command]:
    """Before, in or after a commit, or when it has done everything and says nothing."""
    how = luck.choice(["before", "in", "after"])
    on = luck.choice(["commit", "commit", "commit", "file"])
    world.story.tell(f"the server dies at {request.words}: {how} a {on}")
    if world.server.up:
        world.server.dooms = [Doom(on, luck.randrange(0, 2), how)]
    reply = deliver(world, request)
    world.server.dooms = []
    if world.server.up:
        world.kill_server("it dies with the reply in its hand")
        reply = None
    return fail(request) if reply is None else [answer(request, reply)]


def away(world: "World", request: Request, luck: random.Random) -> list[Command]:
    """The phone is out of reach of the shop."""
    return fail(request)


Fate = Callable[["World", Request, random.Random], list[Command]]

#: How often each happens where the network is bad, in parts of the whole.
BAD: list[tuple[Fate, float]] = [
    (lost, 3),
    (delayed, 3),
    (twice, 3),
    (again_later, 3),
    (arrives_late, 3),
    (cut_request, 3),
    (cut_reply, 4),
    (half_reply, 2),
    (portal, 3),
    (proxy_after, 2),
    (server_dies, 2),
]
FATES = [fate for fate, _ in BAD]
PARTS = [part for _, part in BAD]


def fate_of(badness: float, luck: random.Random) -> Fate:
    """What becomes of a request; `badness`: the part of requests that something happens to."""
    if luck.random() >= badness:
        return through
    return luck.choices(FATES, PARTS)[0]


__all__ = ["Killed", "Request", "away", "fate_of", "through"]
