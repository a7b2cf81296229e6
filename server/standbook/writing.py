"""The way into a write transaction: one writer at a time, in the order of asking, with named errors.

SQLite has one writer. Left to its own busy-wait, an unlucky writer starves (p99 ten times the fair one); so threads
queue here first, then processes at a file lock, and only then SQLite is asked. PostgreSQL has a lock of its own for
that, which also holds between machines: code that looks before it writes (is this file here already? how many tries
were there?) may rely on nobody coming in between, on either database.
"""

import errno
import logging
import sqlite3
import sys
import threading
from collections import deque
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Engine, func, select
from sqlalchemy.exc import DBAPIError, OperationalError

from standbook.database import WRITES
from standbook.errors import Problem

log = logging.getLogger(__name__)

FULL = (sqlite3.SQLITE_FULL,)
BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
TROUBLE = (
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_CORRUPT,
    sqlite3.SQLITE_NOTADB,
)


class TicketLock:
    """A lock that is handed on in the order of asking."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._held = False
        self._queue: deque[threading.Lock] = deque()

    def __enter__(self) -> None:
        with self._guard:
            if not self._held:
                self._held = True
                return
            turn = threading.Lock()
            turn.acquire()
            self._queue.append(turn)
        turn.acquire()

    def __exit__(self, *_: object) -> None:
        with self._guard:
            if self._queue:
                self._queue.popleft().release()
            else:
                self._held = False


class Line:
    """A queue whose places are taken in the order of coming, before anybody waits in them."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._places: deque[Place] = deque()

    def join(self) -> "Place":
        place = Place(self)
        with self._guard:
            self._places.append(place)
            self._places[0].first.set()
        return place

    def leave(self, place: "Place") -> None:
        with self._guard, suppress(ValueError):
            self._places.remove(place)
            if self._places:
                self._places[0].first.set()


class Place:
    """One place in a line. Whoever has it leaves in any case: those behind wait for that."""

    def __init__(self, line: Line) -> None:
        self._line = line
        self.first = threading.Event()

    def wait(self) -> None:
        """Until nobody is before it."""
        self.first.wait()

    def leave(self) -> None:
        self._line.leave(self)


class FileLock:
    """A lock between processes; the system lets go of it when its holder dies."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: IO[bytes] | None = None

    def __enter__(self) -> None:
        self._file = self._path.open("ab")
        lock(self._file)

    def __exit__(self, *_: object) -> None:
        if self._file:
            unlock(self._file)
            self._file.close()


if sys.platform == "win32":
    import msvcrt

    def lock(file: IO[bytes]) -> None:
        """msvcrt gives up after ten seconds, so it is asked again."""
        while True:
            try:
                file.seek(0)
                return msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)
            except OSError:
                continue

    def unlock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def lock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX)

    def unlock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_UN)


#: PostgreSQL's advisory lock of whoever writes; any number that nobody else uses on this database.
QUEUE = 0x57A4DB00C


#: Rows after which SQLite's log is folded into the database: what some 25 batches of a phone write.
FOLD_AFTER = 5000


class Folding:
    """Folds SQLite's log into the database beside the writers. SQLite itself does it at the end of a commit, and then
    everybody in the queue waits for the disk; where this comes too late, it still does (`LOG_PAGES`)."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._rows = 0
        #: Held while it folds.
        self.under_way = threading.Lock()

    def wrote(self, rows: int) -> None:
        """So many rows were committed. Only whoever's turn it is calls this."""
        self._rows += rows
        if self._rows >= FOLD_AFTER and self.under_way.acquire(blocking=False):
            self._rows = 0
            threading.Thread(target=self._fold, name="folding", daemon=True).start()

    def _fold(self) -> None:
        try:
            with closing(self._engine.raw_connection()) as connection, closing(connection.cursor()) as cursor:
                cursor.execute("PRAGMA wal_checkpoint(PASSIVE)")
        except (DBAPIError, sqlite3.Error):
            # A full disk, or the database is being closed: nothing is lost, the log is only longer.
            log.warning("the log could not be folded", exc_info=True)
        finally:
            self.under_way.release()


class Writer:
    """Opens write transactions on one database. One object per process and database."""

    def __init__(self, engine: Engine, lock_file: Path) -> None:
        self._engine = engine.execution_options(**{WRITES: True})
        self._alone = engine.dialect.name == "sqlite"
        self._threads = TicketLock()
        self.line = Line()
        self._lock_file = lock_file
        self._this_thread = threading.local()
        self._folding = Folding(engine)

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection inside a write transaction: committed at the end, rolled back on any error.

        Raises Problem disk_full, busy or disk_trouble; nothing is stored then.
        """
        with named_errors(), self.turn():
            with self._engine.begin() as connection:
                if not self._alone:
                    connection.execute(select(func.pg_advisory_xact_lock(QUEUE)))
                before = rows_of(connection)
                yield connection
                written = rows_of(connection) - before
            self._folding.wrote(written)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Nobody else writes, and no transaction is open: for what SQLite does only outside of one. Errors as above."""
        with named_errors(), self.turn(), self._folding.under_way:
            yield

    @contextmanager
    def in_line(self, place: Place | None = None) -> Iterator[None]:
        """First in line behind whoever writes now, for what can be done before the own turn; the next one comes up as
        soon as this one's turn has come. `place`: where one was taken already."""
        if not self._alone:
            yield
            return
        own = place or self.line.join()
        self._this_thread.place = own
        try:
            own.wait()
            yield
        finally:
            self._this_thread.place = None
            own.leave()

    @contextmanager
    def turn(self) -> Iterator[None]:
        """This writer's turn in the queue of threads and processes, taken before it begins to write, and kept where it
        has it already. Errors as above."""
        if getattr(self._this_thread, "has_turn", False):
            yield
            return
        with named_errors(), self._turn():
            self._come_up()
            self._this_thread.has_turn = True
            try:
                yield
            finally:
                self._this_thread.has_turn = False

    def _come_up(self) -> None:
        place: Place | None = getattr(self._this_thread, "place", None)
        if place is not None:
            place.leave()

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """Waits until it is this writer's turn, among threads first and then among processes."""
        if not self._alone:
            yield
            return
        with self._threads, FileLock(self._lock_file):
            yield


def rows_of(connection: Connection) -> int:
    """How many rows a connection to SQLite has written since it was opened; 0 of another database."""
    return int(getattr(connection.connection.driver_connection, "total_changes", 0))


@contextmanager
def named_errors() -> Iterator[None]:
    """Turns what the disk or the database says into the catalogue's words."""
    try:
        yield
    except DBAPIError as error:
        raise problem_of(error) or error from error
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        raise Problem("disk_full" if full else "disk_trouble", reason=str(error)) from error


def problem_of(error: DBAPIError) -> Problem | None:
    """The named error behind a driver's error, None where it is a fault of ours."""
    state = getattr(error.orig, "sqlstate", None)
    if isinstance(state, str):
        return postgresql_problem(state, error)
    if hasattr(error.orig, "sqlstate") and isinstance(error, OperationalError):
        # No answer at all has no state.
        return Problem("disk_trouble", reason=str(error.orig))
    code = primary_code(error.orig)
    if code in FULL:
        return Problem("disk_full")
    if code in BUSY:
        return Problem("busy")
    if code in TROUBLE:
        return Problem("disk_trouble", reason=str(error.orig))
    return None


def postgresql_problem(state: str, error: DBAPIError) -> Problem | None:
    """By SQLSTATE classes: 53100 the disk; 40 and 55 other writers; 08, 57 and 58 the server and its machine."""
    if state == "53100":
        return Problem("disk_full")
    if state[:2] in ("40", "55"):
        return Problem("busy")
    if state[:2] in ("08", "53", "57", "58"):
        return Problem("disk_trouble", reason=str(error.orig))
    return None


def primary_code(error: Any) -> int | None:
    """SQLite's primary result code: the low byte of what may be an extended code."""
    code = getattr(error, "sqlite_errorcode", None)
    return code & 0xFF if isinstance(code, int) else None
