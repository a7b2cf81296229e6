"""The server as a process that a test can stop, kill and start again: one port, one data folder."""

import os
import socket
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import IO, NamedTuple

from standbook.config import HOST
from tests.browser.warm import CAN_FORK, Forked

OPEN = "Standbook is open at"
END_SECONDS = 20.0
#: Below the ports that an operating system gives to whoever asks: while our server is down nobody else gets its port.
PORTS = range(20100, 30000)
#: The words after `python` that serve the shop.
COMMAND = ("-m", "standbook", "demo")


class Device(NamedTuple):
    app_version: str
    skew_ms: int | None
    next_no: int


class ServerLost(Exception):
    """The server ended instead of serving; its own words."""


def free_port() -> int:
    return free_ports(1)[0]


def free_ports(count: int) -> list[int]:
    """Ports that nobody listens on now; where to look first differs from process to process."""
    first = os.getpid() * 7 % len(PORTS)
    found: list[int] = []
    for port in (*PORTS[first:], *PORTS[:first]):
        if is_free(port):
            found.append(port)
        if len(found) == count:
            return found
    raise ServerLost("No free port was found.")


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            return False
    return True


class Server:
    """`python -m standbook demo` on its own data folder. `command`: other words that serve the same."""

    def __init__(self, data: Path, command: tuple[str, ...] = COMMAND) -> None:
        self.data = data
        self.command = command
        self.port = free_port()
        self.process: subprocess.Popen[str] | Forked | None = None
        self.said: IO[str] | None = None

    @property
    def address(self) -> str:
        return f"http://{HOST}:{self.port}"

    def start(self) -> "Server":
        """Returns when the server has said that it is open. Raises ServerLost with what it said instead."""
        self.said = (self.data.parent / f"server-{self.port}.txt").open("a", encoding="utf-8")
        self.process = self.started([*self.command, "--port", str(self.port)])
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith(OPEN):
                return self
        raise self.lost()

    def started(self, words: list[str]) -> "subprocess.Popen[str] | Forked":
        assert self.said is not None
        environment = {**os.environ, "STANDBOOK_DATA": str(self.data)}
        if CAN_FORK and words[0] == "-m":
            return Forked(words[1:], environment, Path(self.said.name))
        pipe = subprocess.PIPE
        return subprocess.Popen(
            [sys.executable, *words], env=environment, stdout=pipe, stderr=self.said, text=True, encoding="utf-8"
        )

    def lost(self) -> ServerLost:
        assert self.process is not None
        assert self.said is not None
        status, name = self.process.wait(END_SECONDS), self.said.name
        self.forget()
        return ServerLost(f"The server ended with {status}: {Path(name).read_text(encoding='utf-8')}")

    def stop(self) -> None:
        """As Ctrl+C or a shutdown of the machine does it."""
        if self.process is not None:
            self.process.terminate()
            self.end()

    def kill(self) -> None:
        """As a power cut does it."""
        assert self.process is not None
        self.process.kill()
        self.end()

    def end(self) -> None:
        assert self.process is not None
        try:
            self.process.wait(END_SECONDS)
        finally:
            if self.process.poll() is None:
                self.process.kill()
                self.process.wait()
            self.forget()

    def forget(self) -> None:
        assert self.process is not None
        assert self.process.stdout is not None
        assert self.said is not None
        self.process.stdout.close()
        self.said.close()
        self.process = self.said = None

    def devices(self) -> dict[str, Device]:
        """The server's own record of each device, straight from its database: no screen or route shows all of it."""
        with closing(sqlite3.connect(f"file:{self.data / 'standbook.db'}?mode=ro", uri=True)) as database:
            rows = database.execute("select id, app_version, skew_ms, next_no from devices").fetchall()
        return {row[0]: Device(*row[1:]) for row in rows}

    @property
    def up(self) -> bool:
        return self.process is not None
