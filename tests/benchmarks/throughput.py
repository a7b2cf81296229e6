"""How many entries a second go to the shop and come back, through the API, on disk before they are answered.

One client, the server as its own process, SQLite with synchronous=FULL, loopback. The anchor is a PouchDB on leveldb
that replicates with its own HTTP server, batches of 500; its documents carry the same JSON. Both clients run on Node.
Theirs keeps what it pulls in leveldb; ours checks the chain and writes each page to a file that it waits for. Both
serve for the whole run, and the first repetition of each warms it and is not counted.
"""

import statistics
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks import stand
from tests.benchmarks.anchored import Program, couch, script
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import TIMES, Ground
from tests.benchmarks.long_book import demo_build, readings_on, text_of
from tests.browser.shop import Shop

PUSH, PULL = "push", "pull"
ENTRIES = 10_000
LEAST_PUSH, LEAST_PULL = 6.0, 12.0
HERE = Path(__file__).parent


class Clients(NamedTuple):
    ours: Program
    anchor: Program


class Run(NamedTuple):
    """Milliseconds of each repetition."""

    ours: list[float]
    anchor: list[float]


def measure_push(ground: Ground) -> Figure:
    with clients(ground) as both:
        run = repeated(lambda _: both.ours.ask("push")["all"], lambda number: both.anchor.ask("push", number))
    return figure(PUSH, run, LEAST_PUSH)


def measure_pull(ground: Ground) -> Figure:
    with clients(ground) as both:
        after, epoch = both.ours.ask("book")
        both.ours.ask("push")
        both.anchor.ask("push", 0)
        run = repeated(
            lambda _: both.ours.ask("pull", after, epoch, ENTRIES), lambda number: both.anchor.ask("pull", 0, number)
        )
    return figure(PULL, run, LEAST_PULL)


@contextmanager
def clients(ground: Ground) -> Iterator[Clients]:
    folder = ground.new_folder()
    file = entries_file(ground, ENTRIES)
    with (
        ground.serving() as server,
        couch(folder / "couch") as address,
        script(HERE / "api_client.mjs", server.address, folder, file) as ours,
        script(HERE / "anchors" / "replicate.mjs", address, folder, file) as anchor,
    ):
        yield Clients(ours, anchor)


def entries_file(ground: Ground, count: int) -> Path:
    """So many readings of the demo's places, a line each."""
    file = ground.folder / f"entries-{count}"
    if not file.exists():
        with ground.serving() as server:
            shop = Shop(server.address)
            readings = readings_on(shop, demo_build(shop.entries(), stand.JOB))
            file.write_text("".join(f"{text_of(one)}\n" for one in islice(readings, count)), "utf-8")
    return file


def repeated(ours: Callable[[int], float], anchor: Callable[[int], float], times: int = TIMES) -> Run:
    """Side by side in time; who goes first changes, and the first pair is not counted."""
    run = Run([], [])
    for number in range(times + 1):
        turns = [(run.ours, ours), (run.anchor, anchor)]
        for taken, turn in turns if number % 2 else reversed(turns):
            taken.append(turn(number + 1))
    return Run(run.ours[1:], run.anchor[1:])


def figure(name: str, run: Run, least: float) -> Figure:
    rates = [ENTRIES / took * 1000 for took in run.ours]
    pairs = [its / mine for mine, its in zip(run.ours, run.anchor, strict=True)]
    anchors = [ENTRIES / took * 1000 for took in run.anchor]
    return Figure(
        name,
        statistics.median(rates),
        "entries/s",
        Ratio(pairs, "a PouchDB replication"),
        least=least,
        detail=[
            spread("ours", rates, "entries/s"),
            spread("PouchDB", anchors, "entries/s"),
            spread("ratio", pairs, "times"),
        ],
    )
