"""The real server without a socket: its WSGI application is called, and dies where the world wants it to."""

import errno
import io
import os
import shutil
import sqlite3
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import unquote, urlsplit

from sqlalchemy import event

from standbook.api.services import KEY, Services
from standbook.app import create_app, without_routes
from standbook.caretaker import Caretaker
from standbook.config import Settings, sqlite_url
from standbook.database import WRITES, db
from tests.faults.machine.files import WATCH
from tests.network.kit import whereabouts

NO_LIMIT = 2**30


class Killed(BaseException):
    """The process dies here. No handler of the server's may take it for an error of its own."""


class Reply(NamedTuple):
    status: int
    headers: dict[str, str]
    body: bytes


class Doom(NamedTuple):
    """Where it shall die: `on` "commit" or "file", at the one after `after` others, `how` "before", "in" or "after"."""

    on: str
    after: int
    how: str
    what: str | None = None


MACHINERY = ("standbook.writing", "standbook.database")


def caller() -> str:
    """The product's function that writes: module and name of the nearest frame that is no machinery."""
    frame = sys._getframe(1)  # noqa: SLF001 - the public way to the frames reads their source, which takes long
    while frame := frame.f_back:  # type: ignore[assignment]
        name = frame.f_globals.get("__name__", "")
        if name.startswith("standbook.") and name not in MACHINERY:
            return f"{name.removeprefix('standbook.')}.{frame.f_code.co_name}"
    return "?"


class Server:
    """One shop's server in a folder. `steps`: decisions of the world that it met since they were last taken."""

    def __init__(self, folder: Path, network: bool = False) -> None:
        self.folder = folder
        self.network = network
        self.up = False
        self.dead = False
        self.dooms: list[Doom] = []
        self.full = False
        self.steps = 0
        self.deaths = 0
        self.naming = False
        self.writes: list[str] = []
        self._writing = False
        self._torn = 0.5

    @property
    def _settings(self) -> Settings:
        return Settings(self.folder, sqlite_url(self.folder), web=self.folder / "web", network=self.network)

    @property
    def services(self) -> Services:
        found: Services = self.app.extensions[KEY]
        return found

    # Coming and going

    def start(self) -> None:
        self.dead = False
        self.app = create_app(self._settings, whereabouts() if self.network else None)
        # Whose PIN is wanted where is no part of these stories.
        self.services.ledger.pins_wanted = False
        with self.app.app_context():
            engine = db.engine
        event.listen(engine, "connect", self._limit)
        event.listen(engine, "commit", self._note_commit)
        self._commit = engine.dialect.do_commit
        engine.dialect.do_commit = self._do_commit  # type: ignore[method-assign]
        engine.dispose()
        WATCH.set(self._file_changes)
        self.up = True

    def stop(self) -> None:
        """Down without a trace of its memory; what it had committed is on the disk."""
        self.up = False
        WATCH.set(None)
        with self.app.app_context():
            db.engine.dispose()

    def _limit(self, connection: Any, _record: Any) -> None:
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages if self.full else NO_LIMIT}")

    def set_full(self, full: bool) -> None:
        """A disk without room: the database cannot grow, no file can be written."""
        self.full = full
        with self.app.app_context():
            db.engine.dispose()

    # Dying

    def _die(self, doom: Doom) -> None:
        self.dead = True
        self.dooms.remove(doom)
        self.deaths += 1
        raise Killed

    def _meets(self, on: str, what: str | None) -> Doom | None:
        doom = next((doom for doom in self.dooms if doom.on == on and (doom.what or what) == what), None)
        if doom and doom.after > 0:
            self._turn(doom, doom._replace(after=doom.after - 1))
            return None
        return doom

    def _turn(self, doom: Doom, into: Doom) -> None:
        self.dooms[self.dooms.index(doom)] = into

    def _note_commit(self, connection: Any) -> None:
        self._writing = bool(connection.get_execution_options().get(WRITES))

    def _die_if_overdue(self) -> None:
        """Dead already, or to die right after the last change of a file."""
        if self.dead:
            raise Killed
        if doom := self._meets("anything", None):
            self._die(doom)

    def _do_commit(self, connection: Any) -> None:
        self._die_if_overdue()
        writing, self._writing = self._writing, False
        if not writing:
            return self._commit(connection)
        self.steps += 1
        what = self._named("commit")
        doom = self._meets("commit", what)
        if doom and doom.how == "before":
            self._die(doom)
        size = self._wal_size() if doom else 0
        self._commit(connection)
        if doom and doom.how == "in":
            self._tear(size)
        if doom:
            self._die(doom)
        return None

    def _named(self, kind: str) -> str | None:
        if not self.naming:
            return None
        self.writes.append(caller() if kind == "commit" else f"{caller()}: {kind}")
        return self.writes[-1]

    def _file_changes(self, change: str, path: str) -> None:
        if not path.startswith(f"{self.folder}/") or path.startswith(str(self.folder / "standbook.db")):
            return
        if path in (str(self.folder / "write.lock"), str(self.folder / "uploads.lock")):
            return
        self._die_if_overdue()
        if self.full and change == "opened":
            raise OSError(errno.ENOSPC, "No space left on device", path)
        self.steps += 1
        doom = self._meets("file", self._named(change))
        if doom and doom.how == "after":
            self._turn(doom, Doom("anything", 0, "before"))
        elif doom:
            self._die(doom)

    @property
    def _wal(self) -> Path:
        return self.folder / "standbook.db-wal"

    def _wal_size(self) -> int:
        return self._wal.stat().st_size if self._wal.exists() else 0

    def _tear(self, before: int) -> None:
        """The power goes in the middle of the commit: a part of what it wrote is on the disk. Nobody was answered."""
        wal = self._wal.read_bytes()
        if len(wal) <= before:
            return
        book = (self.folder / "standbook.db").read_bytes()
        self._left_behind = (book, wal[: before + int((len(wal) - before) * self._torn)])

    _left_behind: tuple[bytes, bytes] | None = None

    def _take_left_behind(self) -> None:
        if self._left_behind is None:
            return
        book, wal = self._left_behind
        self._left_behind = None
        self._replace_book(book)
        self._wal.write_bytes(wal)

    def _replace_book(self, book: bytes) -> None:
        for name in ("standbook.db-wal", "standbook.db-shm"):
            (self.folder / name).unlink(missing_ok=True)
        (self.folder / "standbook.db").write_bytes(book)

    # Talking

    def ask(self, method: str, url: str, headers: dict[str, str], body: bytes, size: int | None = None) -> Reply:
        """One request. `size`: what was announced, when not all of the body came. Raises Killed."""
        try:
            reply = self._asked(environ(method, url, headers, body, size))
            self._die_if_overdue()
            return reply
        except Killed:
            self.stop()
            self._take_left_behind()
            raise

    def _asked(self, around: dict[str, Any]) -> Reply:
        told: list[Any] = []
        chunks = self.app.wsgi_app(around, lambda status, headers, *_: told.append((status, headers)))
        try:
            body = b"".join(chunks)
        finally:
            getattr(chunks, "close", lambda: None)()
        status, headers = told[-1]
        return Reply(int(status[:3]), {name.lower(): value for name, value in headers}, body)

    # Copies

    @contextmanager
    def _command_line(self) -> Iterator[Caretaker]:
        """What `standbook backup` and `standbook restore` work with: a process of its own on the same folder."""
        app = without_routes(self._settings)
        try:
            yield Caretaker(app.extensions[KEY])
        finally:
            with app.app_context():
                db.engine.dispose()

    def backup(self, to: Path) -> None:
        """A copy of the book and its files as they are now, made while the server runs."""
        with self._command_line() as caretaker:
            caretaker.backup(to)

    def dying(self, work: Callable[[Caretaker], object], after: int) -> bool:
        """Has a process of its own do what the command line does; it ends at the change of a file after `after` others.

        True when it came to its end before.
        """
        child = os.fork()
        if child == 0:
            self._work_and_end(work, after)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert code in (0, 9), "it ended by an error of its own"
        return code == 0

    def _work_and_end(self, work: Callable[[Caretaker], object], after: int) -> None:
        """Ends this process without another word, as a kill does."""
        left = [after]

        def end(_change: str, path: str) -> None:
            if path.startswith(f"{self.folder.parent}/"):
                left[0] -= 1
            if left[0] < 0:
                os._exit(9)

        code = 1
        try:
            with self._command_line() as caretaker:
                WATCH.set(end)
                work(caretaker)
                WATCH.set(None)
            code = 0
        finally:
            if code:
                traceback.print_exc()
            os._exit(code)

    def restore(self, origin: Path, anew: bool) -> None:
        """The copy takes the book's place, and the book is another one (LG9). `anew`: on a machine without anything."""
        if self.up:
            self.stop()
        if anew:
            shutil.rmtree(self.folder)
        with self._command_line() as caretaker:
            caretaker.restore(origin)

    def change(self, *statements: tuple[str, tuple[Any, ...]]) -> None:
        """Straight into the database: what somebody at a desk does that no story is about."""
        with closed(sqlite3.connect(self.folder / "standbook.db")) as book, book:
            for statement, values in statements:
                book.execute(statement, values)

    def rows(self, statement: str) -> list[Any]:
        """Straight from the database, past everything that the ledger says of itself."""
        with closed(sqlite3.connect(self.folder / "standbook.db")) as book:
            return book.execute(statement).fetchall()


@contextmanager
def closed(connection: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
    try:
        yield connection
    finally:
        connection.close()


def environ(method: str, url: str, headers: dict[str, str], body: bytes, size: int | None) -> dict[str, Any]:
    """A request as a WSGI server hands it on (PEP 3333)."""
    at = urlsplit(url)
    around: dict[str, Any] = {
        "REQUEST_METHOD": method,
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote(at.path),
        "QUERY_STRING": at.query,
        "SERVER_NAME": "127.0.0.1",
        "SERVER_PORT": "80",
        "SERVER_PROTOCOL": "HTTP/1.1",
        "HTTP_HOST": "127.0.0.1",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": "http",
        "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": False,
        "wsgi.multiprocess": False,
        "wsgi.run_once": False,
        "CONTENT_LENGTH": str(len(body) if size is None else size),
    }
    for name, value in headers.items():
        key = name.upper().replace("-", "_")
        around[key if key == "CONTENT_TYPE" else f"HTTP_{key}"] = value
    return around
