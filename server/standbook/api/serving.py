"""The HTTP server: granian inside this process, several threads for the work, this machine only.

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
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any, NoReturn

from flask import Flask
from granian.constants import HTTPModes, Interfaces
from granian.server.embed import Server

from standbook.api.bridge import Reply, answer, environ_of, too_slow
from standbook.config import HOST, MAX_BODY

THREADS = 8
# A phone may be slow, but not silent: so many seconds may pass between two pieces of a body.
SILENCE = 20.0
# After the signal to stop, bodies that are still coming get so many seconds; they are sent again later (LG3).
GRACE = 2.0
KNOCK = 0.01


class PortTaken(Exception):
    """Another program listens on the port."""


def refuse_taken(port: int, host: str = HOST) -> None:
    """granian shares a port with whoever asks (SO_REUSEPORT); two servers on one would split the shop's phones."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
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


def serve(app: Flask, port: int, when_open: Callable[[], None], threads: int = THREADS) -> None:
    """Serves until Ctrl+C or a termination signal; requests under way are answered first. Raises PortTaken."""
    refuse_taken(port)
    door = Door(app, threads)
    with suppress(KeyboardInterrupt):
        asyncio.run(stay_open(door, port, when_open))
    door.close()


def leave() -> NoReturn:
    """Ends the process after `serve`. Everything is answered and on the disk by then.

    Without the interpreter's own tidying up: granian's thread may still be letting go of its last Python objects, and
    doing that in an interpreter that is being taken down aborts the process (seen in one stop of four).
    """
    logging.shutdown()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


async def stay_open(door: Door, port: int, when_open: Callable[[], None]) -> None:
    server: Any = Server(
        door,
        address=HOST,
        port=port,
        interface=Interfaces.RSGI,
        http=HTTPModes.http1,
        websockets=False,
        log_enabled=False,
    )
    loop = asyncio.get_running_loop()

    def stop() -> None:
        server.stop()
        loop.call_later(GRACE, door.give_up_waiting)

    for number in (signal.SIGINT, signal.SIGTERM):
        # signal.signal and not the loop's own way, which Windows does not have.
        signal.signal(number, lambda *_: loop.call_soon_threadsafe(stop))
    announcing = asyncio.ensure_future(announce(port, when_open))
    await server.serve()
    announcing.cancel()


async def announce(port: int, when_open: Callable[[], None]) -> None:
    """Says that it is open once somebody can come in; granian's own hook is called a moment before."""
    while True:
        try:
            _, writer = await asyncio.open_connection(HOST, port)
        except OSError:
            await asyncio.sleep(KNOCK)
            continue
        writer.close()
        return when_open()
