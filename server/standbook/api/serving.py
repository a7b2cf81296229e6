"""The HTTP server: granian, one process, several threads, this machine only."""

import socket
from collections.abc import Callable

from flask import Flask
from granian.constants import Interfaces
from granian.server.mt import MTServer

from standbook.config import HOST

THREADS = 8


class PortTaken(Exception):
    """Another program listens on the port."""


class OneProcess(MTServer):
    """granian's threaded server on a usual Python.

    It refuses one, since several workers under one interpreter lock gain nothing. One worker with several blocking
    threads is what SQLite wants: one process to start, to kill and to find in the task list.
    """

    def _check_gil(self) -> None:
        """Accepts the lock."""


def refuse_taken(port: int, host: str = HOST) -> None:
    """granian shares a port with whoever asks (SO_REUSEPORT); two servers on one would split the shop's phones."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, getattr(socket, "SO_EXCLUSIVEADDRUSE", socket.SO_REUSEADDR), 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise PortTaken(str(port)) from error


def serve(app: Flask, port: int, when_open: Callable[[], None], threads: int = THREADS) -> None:
    """Serves until Ctrl+C or a termination signal; requests under way are answered first. Raises PortTaken."""
    refuse_taken(port)
    server = OneProcess(
        "standbook",
        address=HOST,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=threads,
        websockets=False,
        log_enabled=False,
    )
    server.on_startup(when_open)
    server.serve(target_loader=lambda: app, wrap_loader=False)
