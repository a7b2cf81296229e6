"""The HTTP server: granian inside this process, several threads for the work; one listener for each door of the shop.

granian's own WSGI mode wants a parent and a child process, and a request whose body never comes (a phone that died
while sending) keeps a thread for ever. Here bodies are awaited without a thread and with a limit of time; a thread is
taken once there is something to do. One process is also one thing to start, to stop and to kill.
"""

import asyncio
import gc
import logging
import os
import signal
import socket
import sys
from collections.abc import AsyncIterator, Callable, Coroutine, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any, NoReturn

from flask import Flask
from granian.constants import HTTPModes, Interfaces, SSLProtocols
from granian.http import HTTP1Settings
from granian.server.embed import Server

from standbook.api.bridge import PLACE, Reply, answer, environ_of, problem_reply
from standbook.api.limits import PUSH, most
from standbook.api.services import KEY, Services
from standbook.config import HOST
from standbook.errors import Problem
from standbook.network.certificate import Pair
from standbook.writing import Place

THREADS = 8
# A phone may be slow, but not silent: so many seconds may pass between two pieces of a body.
SILENCE = 20.0
# ... nor may it take longer than this, byte by byte.
LONGEST = 300.0
# Bytes of bodies that are on their way at one time, whoever sends them: nobody has been asked who he is by then.
MOST_AT_ONCE = 256 * 1024 * 1024
# Open connections of one listener, and how long one may be open without asking anything whole (ms): who only holds
# them open would keep the others out.
CONNECTIONS, HEAD = 300, 10_000
SERVER = ("server", "standbook")
# After the signal to stop, bodies that are still coming get so many seconds; they are sent again later (LG3).
GRACE = 2.0
KNOCK = 0.01
#: Older phones do not speak 1.3 yet; rustls offers no weak suite with either.
TLS = SSLProtocols.tls12


class PortTaken(Exception):
    """Another program listens on the port."""


def refuse_taken(port: int, host: str = HOST) -> None:
    """granian shares a port with whoever asks (SO_REUSEPORT); two servers on one would split the shop's phones."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, getattr(socket, "SO_EXCLUSIVEADDRUSE", socket.SO_REUSEADDR), 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise PortTaken(str(port)) from error


class Door:
    """Takes requests in, hands them to the application in a thread, sends its answers."""

    def __init__(self, app: Flask, threads: int) -> None:
        self._app = app
        self._threads = ThreadPoolExecutor(threads, thread_name_prefix="request")
        self._coming: set[asyncio.Task[None]] = set()
        self._bytes = 0

    async def __call__(self, scope: Any, protocol: Any) -> None:
        """granian calls this for every request (RSGI)."""
        if scope.proto == "http":
            reply = await self._reply(scope, protocol)
            protocol.response_bytes(reply.status, [*reply.headers, SERVER], reply.body)

    async def _reply(self, scope: Any, protocol: Any) -> Reply:
        body = bytearray()
        try:
            trouble = await self._trouble_with(self._take(scope, protocol, body))
            if trouble is not None:
                return problem_reply(trouble)
            return await self._answer(scope, bytes(body))
        finally:
            self._bytes -= len(body)

    async def _answer(self, scope: Any, body: bytes) -> Reply:
        place = self._place(scope)
        try:
            environ = {**environ_of(scope, body), PLACE: place}
            return await asyncio.get_running_loop().run_in_executor(self._threads, answer, self._app, environ)
        finally:
            if place:
                place.leave()

    def _place(self, scope: Any) -> Place | None:
        """A batch's place in line is that of its coming, whichever thread gets on with its own first: a phone has two
        on their way, and the second may not pass the first (LG5)."""
        if scope.path != PUSH:
            return None
        at: Services | None = self._app.extensions.get(KEY)
        return at.writer.line.join() if at else None

    async def _trouble_with(self, taking: Coroutine[Any, Any, None]) -> Problem | None:
        """Waits for a body; gives what kept it from coming whole."""
        task = asyncio.ensure_future(taking)
        self._coming.add(task)
        try:
            await task
        except (TimeoutError, asyncio.CancelledError):
            return Problem("too_slow")
        except Problem as problem:
            return problem
        finally:
            self._coming.discard(task)
        return None

    async def _take(self, scope: Any, protocol: Any, body: bytearray) -> None:
        """The body, piece by piece. Raises Problem crowded, or TimeoutError."""
        async with asyncio.timeout(LONGEST):
            async for piece in pieces_of(scope, protocol):
                body += piece
                self._bytes += len(piece)
                if self._bytes > MOST_AT_ONCE:
                    raise Problem("crowded")

    def give_up_waiting(self) -> None:
        for task in self._coming:
            task.cancel()

    def close(self) -> None:
        self._threads.shutdown()


async def pieces_of(scope: Any, protocol: Any) -> AsyncIterator[bytes]:
    """The body, as far as it can be taken; one that says itself that it is too large is not even read."""
    left = most(scope.path)
    said = scope.headers.get("content-length") or "0"
    if said.isdigit() and int(said) > left:
        return
    waiting = protocol.__aiter__()
    while left >= 0:
        try:
            # Not `wait_for`: on Python 3.11 it swallows the end of LONGEST where a piece comes at that very moment.
            async with asyncio.timeout(SILENCE):
                piece = await waiting.__anext__()
        except StopAsyncIteration:
            return
        left -= len(piece)
        yield piece


class Listener:
    """One port that leads to an application. `tls`: the pair to begin with, asked for again at each `renew`."""

    def __init__(
        self, app: Flask, port: int, host: str = HOST, tls: Callable[[], Pair] | None = None, threads: int = THREADS
    ) -> None:
        self.host = host
        self.port = port
        self._tls = tls
        self._door = Door(app, threads)
        self._server: Any = None
        self._again = True

    async def listen(self) -> None:
        """Until `stop`. After `renew` it listens again, with the pair of that moment."""
        while self._again:
            self._again = False
            self._server = self._made()
            await self._server.serve()

    def _made(self) -> Any:
        pair = self._tls() if self._tls else None
        secure: dict[str, Any] = (
            {"ssl_cert": pair.certificate, "ssl_key": pair.key, "ssl_protocol_min": TLS} if pair else {}
        )
        return Server(
            self._door,
            address=self.host,
            port=self.port,
            interface=Interfaces.RSGI,
            http=HTTPModes.http1,
            websockets=False,
            log_enabled=False,
            backlog=CONNECTIONS,
            backpressure=CONNECTIONS,
            http1_settings=HTTP1Settings(header_read_timeout=HEAD),
            **secure,
        )

    def renew(self) -> None:
        """Requests under way are answered first."""
        self._again = True
        self._server.stop()

    def stop(self) -> None:
        self._again = False
        self._server.stop()
        asyncio.get_running_loop().call_later(GRACE, self._door.give_up_waiting)

    def close(self) -> None:
        self._door.close()


class Serving:
    """All listeners of a process, from the first request to the last."""

    def __init__(self, listeners: Sequence[Listener], when_open: Callable[[], None]) -> None:
        self._listeners = listeners
        self._when_open = when_open
        self._loop: asyncio.AbstractEventLoop | None = None

    def run(self) -> None:
        """Serves until Ctrl+C or a termination signal; requests under way are answered first. Raises PortTaken."""
        for listener in self._listeners:
            refuse_taken(listener.port, listener.host)
        # What the start has made lives as long as the process: no look for garbage needs to go over it again.
        gc.freeze()
        with suppress(KeyboardInterrupt):
            asyncio.run(self._stay_open())
        for listener in self._listeners:
            listener.close()

    def renew(self, listener: Listener) -> None:
        """From any thread; before it is open or after its end, there is nothing to renew."""
        if self._loop is not None and self._loop.is_running():
            self._loop.call_soon_threadsafe(listener.renew)

    async def _stay_open(self) -> None:
        self._loop = loop = asyncio.get_running_loop()
        for number in (signal.SIGINT, signal.SIGTERM):
            # signal.signal and not the loop's own way, which Windows does not have.
            signal.signal(number, lambda *_: loop.call_soon_threadsafe(self._stop))
        announcing = asyncio.ensure_future(self._announce())
        await asyncio.gather(*(listener.listen() for listener in self._listeners))
        announcing.cancel()

    def _stop(self) -> None:
        for listener in self._listeners:
            listener.stop()

    async def _announce(self) -> None:
        """Says that it is open once somebody can come in; granian's own hook is called a moment before."""
        for listener in self._listeners:
            await knocked(listener.port)
        self._when_open()


def serve(app: Flask, port: int, when_open: Callable[[], None]) -> None:
    """Serves this machine alone. Raises PortTaken."""
    Serving([Listener(app, port)], when_open).run()


def leave() -> NoReturn:
    """Ends the process after `serve`. Everything is answered and on the disk by then.

    Without the interpreter's own tidying up: granian's thread may still be letting go of its last Python objects, and
    doing that in an interpreter that is being taken down aborts the process (seen in one stop of four).
    """
    logging.shutdown()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


async def knocked(port: int) -> None:
    while True:
        try:
            _, writer = await asyncio.open_connection(HOST, port)
        except OSError:
            await asyncio.sleep(KNOCK)
            continue
        return writer.close()
