"""How quickly a slowed-down phone sends what it recorded, and brings the shop's book onto its disk.

The app's own store and sync run in Chromium without screens: own entries from their rows to marked answers, batches of
200; the book in pages of 1,000 into the phone's store, strictly durable, proven and counted. The anchor is PouchDB in
the same browser with the quicker of its two adapters, replicating with its own HTTP server, batches of 500, the same
JSON. Both servers are processes on this machine, which nothing slows down. The first repetition of each is not counted.
"""

import os
import statistics
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import Page

from bootstrap.node import get_node
from tests.benchmarks.anchored import couch
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import SLOW_DOWN, TIMES, Ground
from tests.benchmarks.throughput import entries_file

PUSH, PULL = "phone-push", "phone-pull"
ENTRIES = 2_000
LEAST_PUSH, LEAST_PULL = 6.0, 15.0
ADAPTERS = ("idb", "indexeddb")
#: Databases tidy up behind what was written: nobody's work is measured with that of the one before.
REST_MS = 1000
HERE = Path(__file__).parent
#: A document of the shop's origin that is not the app.
BARE_PAGE = "/api/v1/openapi.json"


class Sides(NamedTuple):
    ours: Page
    theirs: dict[str, Page]
    texts: list[str]


Times = dict[str, list[float]]


def measure_push(ground: Ground) -> Figure:
    times: Times = {name: [] for name in ("ours", *ADAPTERS)}
    with sides(ground) as both:
        for adapter, page in both.theirs.items():
            page.evaluate("([texts, adapter]) => theirs.fill(texts, adapter)", [both.texts, adapter])
        for number in range(TIMES + 1):
            # A phone with these entries and no others, as the anchor's database has them.
            both.ours.evaluate("(texts) => ours.forget().then(() => ours.fill(texts))", both.texts)
            times["ours"].append(slowly(both.ours, "ours.push()") / ENTRIES)
            for adapter, page in both.theirs.items():
                took = slowly(page, "(given) => theirs.push(...given)", [f"{adapter}-{number}", ENTRIES])
                times[adapter].append(took / ENTRIES)
    return figure(PUSH, times, LEAST_PUSH)


def measure_pull(ground: Ground) -> Figure:
    times: Times = {name: [] for name in ("ours", *ADAPTERS)}
    with sides(ground) as both:
        offer(both)
        for _ in range(TIMES + 1):
            both.ours.evaluate("ours.forget()")
            times["ours"].append(slowly(both.ours, "ours.pull()"))
            for adapter, page in both.theirs.items():
                took = slowly(page, "(given) => theirs.pull(...given)", ["shop", ENTRIES, adapter])
                times[adapter].append(took / ENTRIES)
    return figure(PULL, times, LEAST_PULL)


def slowly(page: Page, work: str, given: object = None) -> float:
    """Milliseconds, as the page itself takes the time. Only the page that works is slowed down: the slowing keeps a
    core busy, also for one that rests."""
    page.wait_for_timeout(REST_MS)
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOW_DOWN})
    took = float(page.evaluate(work, given))
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    session.detach()
    return took


def offer(both: Sides) -> None:
    """The same entries at both servers."""
    both.ours.evaluate("(texts) => ours.fill(texts).then(() => ours.push())", both.texts)
    page = both.theirs[ADAPTERS[0]]
    page.evaluate("([texts, adapter]) => theirs.fill(texts, adapter)", [both.texts, ADAPTERS[0]])
    page.evaluate("([name, count]) => theirs.push(name, count)", ["shop", ENTRIES])


@contextmanager
def sides(ground: Ground) -> Iterator[Sides]:
    """A page of ours and one for each adapter, in browser processes of their own, with their servers."""
    folder = ground.new_folder()
    with entries_file(ground, ENTRIES).open(encoding="utf-8") as file:
        texts = [line.rstrip("\n") for line in islice(file, ENTRIES)]
    with (
        ground.serving() as server,
        couch(folder / "couch") as address,
        ground.browser(folder / "ours", 1) as ours,
        ground.browser(folder / ADAPTERS[0], 1) as idb,
        ground.browser(folder / ADAPTERS[1], 1) as indexeddb,
    ):
        put_ours(ours, server.address)
        theirs = dict(zip(ADAPTERS, (idb, indexeddb), strict=True))
        for page in theirs.values():
            put_theirs(page, address)
        yield Sides(ours, theirs, texts)


def put_ours(page: Page, address: str) -> None:
    page.goto(address + BARE_PAGE)
    page.evaluate(f"{bundle()}\nglobalThis.client = client")
    page.evaluate(script())


def put_theirs(page: Page, address: str) -> None:
    page.goto(f"{address}/page")
    page.evaluate(script())


def script() -> str:
    return f"() => {{{(HERE / 'phone_sync.js').read_text('utf-8')}}}"


def bundle() -> str:
    node = os.environ.get("STANDBOOK_NODE") or get_node().node
    return subprocess.run([node, HERE / "client_bundle.mjs"], check=True, capture_output=True, text=True).stdout


def figure(name: str, times: Times, least: float) -> Figure:
    """Entries a second, over those of the adapter that was quicker in this run."""
    rates = {side: [1000 / took for took in taken[1:]] for side, taken in times.items()}
    quicker = max(ADAPTERS, key=lambda adapter: statistics.median(rates[adapter]))
    pairs = [mine / its for mine, its in zip(rates["ours"], rates[quicker], strict=True)]
    detail = [spread(side, taken, "entries/s") for side, taken in rates.items()]
    ratio = Ratio(pairs, f"PouchDB with {quicker}")
    return Figure(
        name,
        statistics.median(rates["ours"]),
        "entries/s",
        ratio,
        least=least,
        detail=[*detail, spread("ratio", pairs, "times")],
    )
