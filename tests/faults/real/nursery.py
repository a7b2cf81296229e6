"""A parent that has imported everything and forks servers: one that was killed is back in a moment.

`python -m tests.faults.real.nursery FOLDER PORT`. A wish a line comes in, its answer goes out as a line. A server that
is killed is killed by the system (SIGKILL); nothing of it survives but what it has written.
"""

import json
import os
import signal
import sys
import traceback
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import event

from standbook import clock
from standbook.api.services import KEY
from standbook.api.serving import leave, serve
from standbook.app import create_app, without_routes
from standbook.caretaker import Caretaker, restore
from standbook.config import Settings, sqlite_url
from standbook.database import db
from standbook.keeping.open_shop import shared

NO_LIMIT = 2**30
Wish = dict[str, Any]


class Nursery:
    def __init__(self, folder: Path, port: int) -> None:
        self.settings = Settings(folder, sqlite_url(folder), web=folder / "web")
        self.port = port
        self.full = folder.parent / "full"
        self.serving: int | None = None

    def start(self, wish: Wish) -> Wish:
        """Answers with the process's number before it is open: it may be killed while it starts."""
        self.serving = fork(lambda: self.serve(wish["skew"]))
        return {"pid": self.serving}

    def serve(self, skew: float) -> None:
        clock.now = lambda: datetime.now(UTC) + timedelta(seconds=skew)
        with shared(self.settings.open_lock):
            app = create_app(self.settings)
            with app.app_context():
                event.listen(db.engine, "checkout", self.limit)
            serve(app, self.port, lambda: None)
            leave()

    def limit(self, connection: Any, *_: Any) -> None:
        """A disk without room: the database cannot grow while the file is there that says so."""
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages if self.full.exists() else NO_LIMIT}")

    def is_running(self, _wish: Wish) -> Wish:
        """Looks without taking note: a dead one still waits for its burial."""
        known = self.serving is not None
        dead = known and os.waitid(os.P_PID, self.serving or 0, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None
        return {"running": known and not dead}

    def bury(self, _wish: Wish) -> Wish:
        """The server is dead, or is being killed now; nothing holds its port any more."""
        if self.serving is None:
            return {}
        os.kill(self.serving, signal.SIGKILL)
        _, status = os.waitpid(self.serving, 0)
        self.serving = None
        return {"signal": os.WTERMSIG(status) if os.WIFSIGNALED(status) else None}

    def backup(self, wish: Wish) -> Wish:
        return told(lambda: self.caretaker().backup(Path(wish["path"])))

    def restore(self, wish: Wish) -> Wish:
        return told(lambda: restore(self.settings, Path(wish["path"])))

    def check(self, _wish: Wish) -> Wish:
        return told(lambda: self.caretaker().check().findings)

    def caretaker(self) -> Caretaker:
        return Caretaker(without_routes(self.settings).extensions[KEY])


def fork(work: Callable[[], object]) -> int:
    """The life of a child; it never comes back into its parent's work."""
    child = os.fork()
    if child:
        return child
    try:
        work()
    except BaseException:  # noqa: BLE001 - whatever ends a child is told, and ends here
        traceback.print_exc()
    finally:
        os._exit(1)


def told(work: Callable[[], object]) -> Wish:
    """What `work` gives in a child of its own, so that the parent never opens a database."""
    reading, writing = os.pipe()

    def say() -> None:
        os.close(reading)
        with os.fdopen(writing, "w", encoding="utf-8") as out:
            json.dump({"gives": work()}, out, default=str)

    child = fork(say)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as answer:
        text = answer.read()
    os.waitpid(child, 0)
    return dict(json.loads(text)) if text else {"trouble": "it ended without an answer; its words are in the log"}


def main(folder: str, port: str) -> None:
    nursery = Nursery(Path(folder), int(port))
    for line in sys.stdin:
        wish = json.loads(line)
        print(json.dumps(getattr(nursery, wish["do"])(wish)), flush=True)  # noqa: T201 - this is how it answers
    nursery.bury({})


if __name__ == "__main__":
    main(*sys.argv[1:])
