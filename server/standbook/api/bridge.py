"""Between granian's interface (RSGI) and Flask's (WSGI, PEP 3333)."""

import json
import logging
import sys
from collections.abc import Callable
from io import BytesIO
from typing import Any, NamedTuple

from flask import Flask

from standbook.errors import Problem, shape

log = logging.getLogger(__name__)
PLAIN = ("content-type", "content-length")
#: Where the application finds the place in the writers' line that a request took when it came.
PLACE = "standbook.place"


class Reply(NamedTuple):
    status: int
    headers: list[tuple[str, str]]
    body: bytes


def environ_of(scope: Any, body: bytes) -> dict[str, Any]:
    """The request as WSGI has it. The path comes unquoted; WSGI wants its bytes one character each."""
    host, _, port = scope.server.rpartition(":")
    environ: dict[str, Any] = {
        "REQUEST_METHOD": scope.method,
        "SCRIPT_NAME": "",
        "PATH_INFO": scope.path.encode().decode("latin-1"),
        "QUERY_STRING": scope.query_string,
        "SERVER_NAME": host,
        "SERVER_PORT": port,
        "SERVER_PROTOCOL": "HTTP/1.1",
        "REMOTE_ADDR": scope.client.rpartition(":")[0],
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope.scheme,
        "wsgi.input": BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
    }
    environ.update(headers_of(scope.headers.items()))
    if environ.pop("HTTP_TRANSFER_ENCODING", None) or body:
        # The pieces are put together by now; the application sees a body with its length.
        environ["CONTENT_LENGTH"] = str(len(body))
    return environ


def headers_of(items: list[tuple[str, str]]) -> dict[str, str]:
    """A header that comes twice is one list; cookies are joined by their own sign."""
    found: dict[str, str] = {}
    # x_forwarded_for would be taken for x-forwarded-for, which a proxy in front of us has checked.
    for name, value in [item for item in items if "_" not in item[0]]:
        key = name.upper().replace("-", "_")
        key = key if name in PLAIN else f"HTTP_{key}"
        joint = "; " if name == "cookie" else ","
        found[key] = f"{found[key]}{joint}{value}" if key in found else value
    return found


def answer(app: Flask, environ: dict[str, Any]) -> Reply:
    """Runs the application; in a thread of its own. Never raises: a fault gets the usual shape."""
    told: list[tuple[str, list[tuple[str, str]]]] = []

    def start(status: str, headers: list[tuple[str, str]], _fault: Any = None) -> Callable[[bytes], object]:
        told.append((status, headers))
        return refuse_to_write

    try:
        pieces = app.wsgi_app(environ, start)
        try:
            body = b"".join(pieces)
        finally:
            getattr(pieces, "close", lambda: None)()
        status, headers = told[-1]
        return Reply(int(status[:3]), headers, body)
    except Exception:
        log.exception("fault outside the application's own handlers")
        return problem_reply(Problem("internal"))


def refuse_to_write(_data: bytes) -> None:
    raise TypeError("answers come as an iterable")


def problem_reply(problem: Problem) -> Reply:
    body = json.dumps(shape(problem.code, problem.message, problem.details)).encode()
    headers = {"content-type": "application/json", "cache-control": "no-store", "x-content-type-options": "nosniff"}
    return Reply(problem.status, list(headers.items()), body)
