"""How many bytes go over the wire for an entry, both ways together, heads and all: a relay between both sides counts.

The clients and the anchor are those of `throughput`, 10,000 entries each way. A batch takes one round trip: as many
requests as batches is asserted.
"""

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

from standbook.config import HOST
from tests.benchmarks.anchored import couch, script
from tests.benchmarks.figure import Figure, Ratio
from tests.benchmarks.ground import Ground
from tests.benchmarks.throughput import ENTRIES, HERE, Clients, entries_file

PUSH, PULL = "push-bytes", "pull-bytes"
MOST_PUSH, MOST_PULL = 1 / 8, 1 / 5
BATCH, PAGE = 200, 1000
PIECE = 65536


class Wire:
    """Stands between a client and a server on `port` and counts what passes. `requests`: heads of requests."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.bytes = self.requests = 0
        self.counting = threading.Lock()
        self.listening = socket.create_server((HOST, 0))
        threading.Thread(target=self.accept, daemon=True).start()

    @property
    def address(self) -> str:
        return f"http://{HOST}:{self.listening.getsockname()[1]}"

    def accept(self) -> None:
        while True:
            try:
                client, _ = self.listening.accept()
            except OSError:
                return
            server = socket.create_connection((HOST, self.port))
            for one, other, asks in ((client, server, True), (server, client, False)):
                threading.Thread(target=self.hand_on, args=(one, other, asks), daemon=True).start()

    def hand_on(self, one: socket.socket, other: socket.socket, asks: bool) -> None:
        while piece := received(one):
            with self.counting:
                self.bytes += len(piece)
                self.requests += asks and (piece.count(b"POST /api/") + piece.count(b"GET /api/"))
            other.sendall(piece)
        other.close()

    def of(self, work: Callable[[], object]) -> tuple[int, int]:
        """Bytes and requests of a piece of work."""
        before = (self.bytes, self.requests)
        work()
        return self.bytes - before[0], self.requests - before[1]


def received(one: socket.socket) -> bytes:
    try:
        return one.recv(PIECE)
    except OSError:
        return b""


@contextmanager
def counted(ground: Ground) -> Iterator[tuple[Clients, Wire, Wire]]:
    folder = ground.new_folder()
    file = entries_file(ground, ENTRIES)
    with ground.serving() as server, couch(folder / "couch") as address:
        wires = [Wire(server.port), Wire(urlsplit(address).port or 0)]
        with (
            script(HERE / "api_client.mjs", wires[0].address, folder, file) as ours,
            script(HERE / "anchors" / "replicate.mjs", wires[1].address, folder, file) as anchor,
        ):
            yield Clients(ours, anchor), wires[0], wires[1]
        for wire in wires:
            wire.listening.close()


def measure_push(ground: Ground) -> Figure:
    with counted(ground) as (both, ours, theirs):
        mine, requests = ours.of(lambda: both.ours.ask("push"))
        its, _ = theirs.of(lambda: both.anchor.ask("push", 0))
    assert requests == ENTRIES // BATCH
    return figure(PUSH, mine, its, MOST_PUSH)


def measure_pull(ground: Ground) -> Figure:
    with counted(ground) as (both, ours, theirs):
        after, epoch = both.ours.ask("book")
        both.ours.ask("push")
        both.anchor.ask("push", 0)
        mine, requests = ours.of(lambda: both.ours.ask("pull", after, epoch, ENTRIES))
        its, _ = theirs.of(lambda: both.anchor.ask("pull", 0, 1))
    assert requests == ENTRIES // PAGE
    return figure(PULL, mine, its, MOST_PULL)


def figure(name: str, mine: int, its: int, most: float) -> Figure:
    detail = [f"  ours {mine} bytes, PouchDB {its} bytes, of {ENTRIES} entries"]
    return Figure(name, mine / ENTRIES, "bytes/entry", Ratio([mine / its], "a PouchDB replication"), most, detail)
