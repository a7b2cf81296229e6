"""The HTTP server: granian inside this process, several threads for the work; one listener for each door of the shop.

granian's own WSGI mode wants a parent and a child process, and a request whose body never comes (a phone that died
while sending) keeps a thread for ever. Here bodies are awaited without a thread and with a limit of time; a thread is
taken once there is something to do. One process is also one thing to start, to stop and to kill.
"""

import asyncio
import logging
import os
import signal
import socket
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any, NoReturn

from flask import Flask
from granian.constants import HTTPModes, Interfaces, SSLProtocols
from granian.server.embed import Server

from standbook.api.bridge import Reply, answer, environ_of, too_slow
from standbook.config import HOST, MAX_BODY
from standbook.network.certificate import Pair

THREADS = 8
# A phone may be slow, but not silent: so many seconds may pass between two pieces of a body.
SILENCE = 20.0
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
        self._coming: set[asyncio.Task[bytes]] = set()

    async def __call__(self, scope: Any, protocol: Any) -> None:
        """granian calls this for every request (RSGI)."""
        if scope.proto == "http":
            reply = await self._reply(scope, protocol)
            protocol.response_bytes(reply.status, reply.headers, reply.body)

    async def _reply(self, scope: Any, protocol: Any) -> Reply:
        task = asyncio.ensure_future(body_of(scope, protocol))
        self._coming.add(task)
        try:
            environ = environ_of(scope, await task)
        except (TimeoutError, asyncio.CancelledError):
            return too_slow()
        finally:
            self._coming.discard(task)
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._threads, answer, self._app, environ)

    def give_up_waiting(self) -> None:
        for task in self._coming:
            task.cancel()

    def close(self) -> None:
        self._threads.shutdown()


async def body_of(scope: Any, protocol: Any) -> bytes:
    """The body, as far as it can be taken; one that says itself that it is too large is not even read."""
    said = scope.headers.get("content-length") or "0"
    if said.isdigit() and int(said) > MAX_BODY:
        return b""
    pieces, size = [], 0
    waiting = protocol.__aiter__()
    while size <= MAX_BODY:
        try:
            piece = await asyncio.wait_for(waiting.__anext__(), SILENCE)
        except StopAsyncIteration:
            break
        pieces.append(piece)
        size += len(piece)
    return b"".join(pieces)


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
