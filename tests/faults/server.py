"""A real server process that can be told to die at a chosen moment: `python -m tests.faults.server FOLDER PORT MOMENT`.

The product knows nothing of this: the moments are set from outside, around the application or by a patched function.
"""

import os
import signal
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from standbook.api.serving import leave, serve
from standbook.app import create_app
from standbook.config import Settings, sqlite_url
from standbook.ledger import devices

Wsgi = Callable[[dict[str, Any], Any], Iterable[bytes]]


def die(*_: Any, **__: Any) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def is_push(environ: dict[str, Any]) -> bool:
    return environ["PATH_INFO"].endswith("/sync/push")


def dying_before(app: Wsgi) -> Wsgi:
    """The request has arrived, nothing is done yet."""

    def wrapped(environ: dict[str, Any], start: Any) -> Iterable[bytes]:
        if is_push(environ):
            die()
        return app(environ, start)

    return wrapped


def dying_after(app: Wsgi) -> Wsgi:
    """Everything is committed, the reply is ready and never leaves."""

    def wrapped(environ: dict[str, Any], start: Any) -> Iterable[bytes]:
        reply = list(app(environ, start))
        if is_push(environ):
            die()
        return reply

    return wrapped


def slow(app: Wsgi) -> Wsgi:
    def wrapped(environ: dict[str, Any], start: Any) -> Iterable[bytes]:
        Path(environ["HTTP_X_STARTED"]).touch()
        time.sleep(1)
        return app(environ, start)

    return wrapped


def dying_inside(app: Wsgi) -> Wsgi:
    """The entries are written, the transaction is not committed."""
    devices.note_contact = die
    return app


MOMENTS: dict[str, Callable[[Wsgi], Wsgi]] = {
    "never": lambda app: app,
    "before": dying_before,
    "inside": dying_inside,
    "after": dying_after,
    "slow": slow,
}


def main(folder: str, port: str, moment: str) -> None:
    app = create_app(Settings(Path(folder), sqlite_url(Path(folder))))
    app.wsgi_app = MOMENTS[moment](app.wsgi_app)  # type: ignore[method-assign]
    serve(app, int(port), lambda: None)
    leave()


if __name__ == "__main__":
    main(*sys.argv[1:])
