"""The shop's server in real processes: forked by a nursery, killed by the system, looked at past its own code."""

import contextlib
import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any, NamedTuple

from bootstrap.paths import ROOT
from standbook.config import HOST

#: A server that is not open by then has a fault.
PATIENCE = 30.0
OPEN_AGAIN = 0.005


class Kept(NamedTuple):
    """An entry as the database has it. `where`: book, held or conflict; `used`: it has used up its device's number."""

    where: str
    device: str
    device_no: int
    text: str
    used: bool


class Server:
    def __init__(self, folder: Path, port: int) -> None:
        self.folder = folder
        self.port = port
        self.deaths = 0
        self.skew = 0.0
        self.pid: int | None = None
        self.dying: int | None = None
        command = [sys.executable, "-m", "tests.faults.real.nursery", str(folder), str(port)]
        self.log = (folder.parent / "server.log").open("w+", encoding="utf-8")
        pipe = subprocess.PIPE
        self.nursery = subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=self.log, text=True)

    def wish(self, do: str, **more: Any) -> dict[str, Any]:
        assert self.nursery.stdin is not None
        assert self.nursery.stdout is not None
        self.nursery.stdin.write(json.dumps({"do": do, **more}) + "\n")
        self.nursery.stdin.flush()
        line = self.nursery.stdout.readline()
        assert line, f"the nursery ended: {self.said()}"
        answer: dict[str, Any] = json.loads(line)
        assert "trouble" not in answer, f"{do}: {answer['trouble']}\n{self.said()}"
        return answer

    def said(self) -> str:
        self.log.seek(0)
        return self.log.read()[-3000:]

    def start(self) -> None:
        """Returns at once; `wait` for it to be open."""
        assert self.pid is None
        self.pid = int(self.wish("start", skew=self.skew)["pid"])

    def wait(self) -> None:
        """Until it is open; one that a request has ended meanwhile is started again."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if not self.is_running():
                self.bury()
                self.start()
            with contextlib.suppress(OSError), socket.create_connection((HOST, self.port), 1):
                return
            time.sleep(OPEN_AGAIN)
        raise AssertionError(f"the server did not open: {self.said()}")

    def kill(self) -> None:
        """As a power cut does it; from any thread. `bury` afterwards."""
        if self.pid is not None:
            self.dying = self.pid
            os.kill(self.pid, signal.SIGKILL)

    def is_running(self) -> bool:
        """Whether the process is there and not dead. One that was killed still takes connections until the system has
        come round to ending it."""
        return self.pid not in (None, self.dying) and bool(self.wish("is_running")["running"])

    def bury(self) -> None:
        if self.pid is not None:
            self.wish("bury")
            self.pid = None
            self.deaths += 1

    def set_full(self, full: bool) -> None:
        mark = self.folder.parent / "full"
        mark.touch() if full else mark.unlink(missing_ok=True)

    @property
    def full(self) -> bool:
        return (self.folder.parent / "full").exists()

    def close(self) -> None:
        assert self.nursery.stdin is not None
        assert self.nursery.stdout is not None
        self.kill()
        self.nursery.stdin.close()
        self.nursery.wait(PATIENCE)
        self.nursery.stdout.close()
        self.log.close()

    # What is on the disk

    def rows(self, query: str, *values: Any) -> list[Any]:
        """Straight from the database file, whoever has it open."""
        address = f"file:{self.folder / 'standbook.db'}?mode=ro"
        with contextlib.closing(sqlite3.connect(address, uri=True, timeout=PATIENCE)) as database:
            return database.execute(query, values).fetchall()

    def kept(self, since: int = 0) -> list[Kept]:
        """Everything in the book after a seq, and everything beside it."""
        book = self.rows("SELECT device, device_no, text FROM entries WHERE seq > ? ORDER BY seq", since)
        held = self.rows("SELECT device, device_no, raw FROM held_back")
        conflicts = self.rows("SELECT device, device_no, raw, used_number FROM conflicts")
        return [
            *(Kept("book", device, number, text, True) for device, number, text in book),
            *(Kept("held", device, number, raw.decode(), True) for device, number, raw in held),
            *(Kept("conflict", device, number, raw.decode(), bool(used)) for device, number, raw, used in conflicts),
        ]

    def counts(self) -> dict[str, tuple[int, int]]:
        """Of each device: the number that it sends next, and how many of its numbers have an entry."""
        used = """
            SELECT device, count(*) FROM (
                SELECT device, device_no FROM entries UNION ALL SELECT device, device_no FROM held_back
                UNION ALL SELECT device, device_no FROM conflicts WHERE used_number
            ) GROUP BY device
        """
        entries = dict(self.rows(used))
        return {
            device: (number, entries.get(device, 0)) for device, number in self.rows("SELECT id, next_no FROM devices")
        }
