"""Starting a real server process in a test and talking to it over HTTP."""

import http.client
import json
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bootstrap.paths import ROOT


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def server(folder: Path, moment: str = "never") -> Iterator["Server"]:
    """A server on this data folder; killed at the end if it still runs."""
    port = free_port()
    command = [sys.executable, "-m", "tests.faults.server", str(folder), str(port), moment]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    try:
        yield Server(process, port)
    finally:
        process.kill()
        process.wait()
        assert process.stdout
        process.stdout.close()


class Server:
    def __init__(self, process: "subprocess.Popen[bytes]", port: int) -> None:
        self.process = process
        self.port = port
        self.wait_until_open()

    def wait_until_open(self) -> None:
        until = time.monotonic() + 30
        while time.monotonic() < until and self.process.poll() is None:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                time.sleep(0.02)
        raise AssertionError(f"the server did not open: {self.process.communicate()[0]!r}")

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, Any]:
        """Status and JSON. Raises OSError or HTTPException where the reply is cut."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        try:
            text = None if body is None else json.dumps(body)
            usual = {"X-Standbook": "1", "Content-Type": "application/json"}
            connection.request(method, path, text, {**usual, **headers})
            reply = connection.getresponse()
            return reply.status, json.loads(reply.read())
        finally:
            connection.close()
