"""The shop's network: a TCP proxy of our own between pages and server, which does to a request what its fate says.

Each phone reaches the shop under an address of its own (127.0.0.x), so that each has storage and cookies of its own.
The page itself comes from here, and what it tells goes to here: a phone opens its app without the shop, as an
installed app does.
"""

import asyncio
import contextlib
import gzip
import json
import threading
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from standbook.config import HOST
from tests.faults.real.fates import Fate, Weather

PAGE = b"<!doctype html><meta charset=utf-8><title>A phone</title><script src=/page.js></script>"
PORTAL = b"<!doctype html><title>Welcome</title>Sign in to this network with your room number."
Streams = tuple[asyncio.StreamReader, asyncio.StreamWriter]


class Cut(Exception):
    """The connection ends here, without a word."""


class PartOf(Cut):
    """As much of an answer as came through."""

    def __init__(self, data: bytes) -> None:
        super().__init__()
        self.data = data


class Request(NamedTuple):
    method: str
    path: str
    headers: dict[str, str]
    body: bytes

    def bytes_for(self, host: str) -> bytes:
        kept = {name: value for name, value in self.headers.items() if name not in ("host", "connection")}
        lines = [f"{self.method} {self.path} HTTP/1.1", f"Host: {host}", "Connection: close"]
        lines += [f"{name}: {value}" for name, value in kept.items()]
        return "\r\n".join(lines).encode() + b"\r\n\r\n" + self.body


class Pushed(NamedTuple):
    """A push that reached the server whole, and what the server said, where its answer came back to us."""

    device: str
    first: int
    last: int
    answers: list[dict[str, Any]] | None


class Line:
    """One phone's way to the shop. `told`: what its page has said. `pushes`: what went over the line."""

    def __init__(self, name: str, address: str, weather: Weather) -> None:
        self.name = name
        self.address = address
        self.weather = weather
        self.told: list[dict[str, Any]] = []
        self.pushes: list[Pushed] = []


class Network(threading.Thread):
    """Runs in a thread of its own. `server_dies`: called there when a request's fate says so."""

    def __init__(self, server_port: int, script: Path, server_dies: Callable[[], None]) -> None:
        super().__init__(daemon=True)
        self.server_port = server_port
        self.script = script.read_bytes()
        self.server_dies = server_dies
        self.steps: Counter[str] = Counter()
        self.lines: dict[str, Line] = {}
        self.loop = asyncio.new_event_loop()
        self.port = 0
        #: Faults of this proxy; there may be none.
        self.troubles: list[str] = []
        #: Set when a push goes to the server.
        self.pushing = threading.Event()
        self._later: set[asyncio.Task[None]] = set()
        self._doors: list[asyncio.Server] = []

    def run(self) -> None:
        self.loop.run_forever()
        self.loop.run_until_complete(self.end_all())
        self.loop.close()

    def close(self) -> None:
        self.loop.call_soon_threadsafe(self.loop.stop)
        self.join()

    def add(self, line: Line) -> None:
        """Opens a phone's way. All ways have one port."""
        self.lines[line.address] = line

        async def serve(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            await self.meet(line, reader, writer)

        opening = asyncio.start_server(serve, line.address, self.port, limit=2**24)
        server = asyncio.run_coroutine_threadsafe(opening, self.loop).result(10)
        self._doors.append(server)
        self.port = server.sockets[0].getsockname()[1]

    def quiet(self) -> None:
        """Whatever was to arrive later has arrived."""
        asyncio.run_coroutine_threadsafe(self._stragglers(), self.loop).result(60)

    async def _stragglers(self) -> None:
        await asyncio.gather(*self._later, return_exceptions=True)

    async def end_all(self) -> None:
        """Connections that are still open at the end of a story."""
        for door in self._doors:
            door.close()
        while left := asyncio.all_tasks() - {asyncio.current_task()}:
            for task in left:
                task.cancel()
            await asyncio.gather(*left, return_exceptions=True)
            # Whoever was let in at the last moment is a task a little later.
            await asyncio.sleep(0.01)

    # A connection

    async def meet(self, line: Line, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """One request a connection. What ends badly ends as a cut cable does."""
        try:
            request = await request_from(reader)
            writer.write(await self.answer(line, request))
            await writer.drain()
            writer.close()
        except PartOf as part:
            writer.write(part.data)
            with contextlib.suppress(OSError):
                await writer.drain()
            writer.close()
        except (Cut, OSError, asyncio.IncompleteReadError):
            writer.transport.abort()
        except Exception as error:  # noqa: BLE001 - a fault of the network itself: the story has to hear of it
            self.troubles.append(repr(error))
            writer.transport.abort()

    async def answer(self, line: Line, request: Request) -> bytes:
        if request.path == "/told":
            line.told.append(json.loads(request.body))
            return reply(204, "")
        if request.path == "/page.js":
            return reply(200, "text/javascript; charset=utf-8", self.script)
        if not request.path.startswith("/api/"):
            return reply(200, "text/html; charset=utf-8", PAGE)
        fate = line.weather.fate()
        self.steps["fates of requests"] += 1
        return await self.meet_fate(line, request, fate)

    async def meet_fate(self, line: Line, request: Request, fate: Fate) -> bytes:
        if fate.how == "refused":
            raise Cut
        if fate.how == "another's page":
            return reply(200, "text/html", PORTAL)
        if fate.how == "a gateway's page":
            return reply(502, "text/html", PORTAL)
        if fate.how == "cut in the request":
            await self.send_part(request, fate.share)
            raise Cut
        if fate.how in ("delayed", "the server dies"):
            return await self.meet_slowly(line, request, fate)
        return await self.meet_whole(line, request, fate)

    async def meet_slowly(self, line: Line, request: Request, fate: Fate) -> bytes:
        if fate.how == "delayed":
            await asyncio.sleep(fate.ms / 1000)
        else:
            self.keep(self.die_later(fate.ms / 1000))
        return await self.forward(line, request)

    async def meet_whole(self, line: Line, request: Request, fate: Fate) -> bytes:
        """The server gets all of it, once or twice; how much of its answer comes back is another matter."""
        answer = await self.forward(line, request)
        if fate.how == "sent twice":
            answer = await self.forward(line, request)
        if fate.how == "sent again later":
            self.keep(self.forward_later(line, request, fate.ms / 100))
        if fate.how == "reply lost":
            raise Cut
        if fate.how == "cut in the reply":
            raise PartOf(answer[: int(len(answer) * fate.share)])
        return answer

    def keep(self, later: Any) -> None:
        task = self.loop.create_task(later)
        self._later.add(task)
        task.add_done_callback(self._later.discard)

    async def forward_later(self, line: Line, request: Request, seconds: float) -> None:
        await asyncio.sleep(seconds)
        with contextlib.suppress(OSError, Cut):
            await self.forward(line, request)

    async def die_later(self, seconds: float) -> None:
        await asyncio.sleep(seconds)
        self.server_dies()

    # The server's side

    async def forward(self, line: Line, request: Request) -> bytes:
        """The whole of the server's answer. Raises Cut where it dies over it, OSError where nobody is there."""
        push = pushed(request)
        reader, writer = await asyncio.open_connection(HOST, self.server_port)
        try:
            writer.write(request.bytes_for(f"{HOST}:{self.server_port}"))
            if push:
                line.pushes.append(push)
                self.pushing.set()
            answer = await reader.read(-1)
        finally:
            writer.transport.abort()
        if not answer:
            raise Cut
        if push:
            line.pushes.append(push._replace(answers=answers_in(answer)))
        return answer

    async def send_part(self, request: Request, share: float) -> None:
        whole = request.bytes_for(f"{HOST}:{self.server_port}")
        _, writer = await asyncio.open_connection(HOST, self.server_port)
        writer.write(whole[: int(len(whole) * share)])
        await asyncio.sleep(0.001)
        writer.transport.abort()


async def request_from(reader: asyncio.StreamReader) -> Request:
    head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1")
    first, *lines = head.rstrip("\r\n").split("\r\n")
    method, path, _ = first.split(" ")
    headers = {name.strip().lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
    return Request(method, path, headers, await reader.readexactly(int(headers.get("content-length", "0"))))


def reply(status: int, kind: str, body: bytes = b"") -> bytes:
    head = f"HTTP/1.1 {status} So\r\nContent-Type: {kind}\r\nContent-Length: {len(body)}\r\nConnection: close\r\n\r\n"
    return head.encode() + body


def pushed(request: Request) -> Pushed | None:
    if request.path != "/api/v1/sync/push":
        return None
    packed = request.headers.get("content-encoding") == "gzip"
    body = json.loads(gzip.decompress(request.body) if packed else request.body)
    first = int(body["from_no"])
    return Pushed(body["device"], first, first + len(body["entries"]) - 1, None)


def answers_in(answer: bytes) -> list[dict[str, Any]] | None:
    head, _, body = answer.partition(b"\r\n\r\n")
    if not head.startswith(b"HTTP/1.1 200"):
        return None
    try:
        found = json.loads(gzip.decompress(body) if b"content-encoding: gzip" in head.lower() else body)
    except (ValueError, EOFError, OSError):
        return None
    return list(found["answers"])
