"""Stands between phone and server and counts what the phone downloads, address by address."""

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPResponse
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from standbook.config import HOST

#: Belong to one leg of the way and are written anew by whoever sends.
HOP = {"connection", "transfer-encoding", "keep-alive", "date", "server", "content-length"}


class Relay(ThreadingHTTPServer):
    """`bytes`: what was handed on, heads and bodies as packed as they came, by path."""

    daemon_threads = True

    def __init__(self, port: int) -> None:
        super().__init__((HOST, 0), HandOn)
        self.port = port
        self.bytes: Counter[str] = Counter()
        self.counting = threading.Lock()

    @property
    def address(self) -> str:
        return f"http://{HOST}:{self.server_port}"

    def count(self, path: str, number: int) -> None:
        with self.counting:
            self.bytes[path] += number


class HandOn(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: Relay

    def do_GET(self) -> None:
        self.hand_on()

    def do_POST(self) -> None:
        self.hand_on()

    def hand_on(self) -> None:
        asked = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        connection = HTTPConnection(HOST, self.server.port)
        connection.request(self.command, self.path, asked, dict(self.headers))
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        self.server.count(self.path, head_size(answer) + len(body))
        self.answer(answer, body)

    def answer(self, answer: HTTPResponse, body: bytes) -> None:
        self.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in HOP:
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:
        """Says nothing: what is printed is the figures."""


def head_size(answer: HTTPResponse) -> int:
    lines = [f"HTTP/1.1 {answer.status} {answer.reason}", *(f"{name}: {value}" for name, value in answer.getheaders())]
    return sum(len(line) + 2 for line in [*lines, ""])


@contextmanager
def relay(port: int) -> Iterator[Relay]:
    """Hands on to the server at `port` of this machine."""
    server = Relay(port)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
