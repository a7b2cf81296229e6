"""How many entries a second the server takes, in batches of 200 over its API, on disk before it answers.

The anchor is SQLite itself: the same texts, 200 in a transaction, WAL and synchronous=FULL, in the same folder. What
lies between is the wire, the checks, the chain, the columns beside the text and the board's summaries.
"""

import json
import sqlite3
import statistics
import time
from collections.abc import Callable
from contextlib import closing
from itertools import islice

from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import TIMES, Ground
from tests.benchmarks.long_book import demo_build, readings_on
from tests.browser.shop import Entry, Shop

NAME = "pushes"
BATCH = 200
BARE = "pragma journal_mode = wal; pragma synchronous = full; create table entries (id text primary key, text text)"


def measure(ground: Ground) -> Figure:
    with ground.serving() as server, closing(sqlite3.connect(server.data / "bare.db", isolation_level=None)) as bare:
        bare.executescript(BARE)
        pushed, inserted = pairs_of(Shop(server.address), bare)
    ratios = [one / other for one, other in zip(pushed, inserted, strict=True)]
    return Figure(
        NAME,
        BATCH / statistics.median(pushed) * 1000,
        "entries/s",
        Ratio(ratios, "bare SQLite inserts"),
        None,
        [spread("a batch over the API", pushed, "ms"), spread("a batch of bare inserts", inserted, "ms")],
    )


def pairs_of(shop: Shop, bare: sqlite3.Connection) -> tuple[list[float], list[float]]:
    """Milliseconds of each batch, over the API and bare."""
    readings = readings_on(shop, demo_build(shop.entries(), stand.JOB))
    batches = [list(islice(readings, BATCH)) for _ in range(TIMES)]
    pairs = [(timed(lambda: shop.push(batch)), timed(lambda: insert(bare, batch))) for batch in batches]  # noqa: B023
    return [one for one, _ in pairs], [other for _, other in pairs]


def timed(work: Callable[[], None]) -> float:
    before = time.perf_counter()
    work()
    return (time.perf_counter() - before) * 1000


def insert(bare: sqlite3.Connection, batch: list[Entry]) -> None:
    bare.execute("begin immediate")
    bare.executemany("insert into entries values (?, ?)", [(entry["id"], json.dumps(entry)) for entry in batch])
    bare.execute("commit")
