"""From a tap on Next to the reading on the phone's disk, the server process being stopped.

It counts from the browser's own time of the lifted finger to the `complete` event of the strict transaction that
writes the entry. The anchor begins and ends alike: a tap on a bare button in the same page, whose handler does
nothing but one strict put of the same row into a database of its own. Each pair lies side by side in time; before
each tap the page gets to rest, as it does while a hand measures.
"""

import json
import statistics
from collections.abc import Callable, Sequence
from pathlib import Path

from playwright.sync_api import Page

from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import QUIET_MS, Ground
from tests.browser.stand import Stand

NAME = "tap-to-durable"
MOST = 1.5
#: As many as the demo's row has empty places, but one.
TIMES = 11
SCRIPT = Path(__file__).with_name("durable.js").read_text("utf-8")
PLACES = {"database": stand.DATABASE, "own": stand.OWN, "next": stand.NEXT}


def measure(ground: Ground) -> Figure:
    step = ground.installed().step
    with ground.phone(SCRIPT + f"\nprobe.watchWrites({json.dumps(PLACES)})") as page:
        page.goto(step)
        stand.answer_first_questions(page)
        taps, puts, alone = pairs_of(page)
    pairs = [tap / put for tap, put in zip(taps, puts, strict=True)]
    detail = [spread("tap", taps, "ms"), spread("bare tap and put", puts, "ms"), spread("its put alone", alone, "ms")]
    return Figure(
        NAME,
        statistics.median(taps),
        "ms",
        Ratio(pairs, "a bare tap and strict put"),
        MOST,
        [*detail, spread("ratio", pairs, "times")],
    )


def pairs_of(page: Page) -> tuple[Sequence[float], Sequence[float], Sequence[float]]:
    """Milliseconds of taps on Next, of bare taps, and of what the put alone took in these.

    The first of both makes files and warms code, and is not counted.
    """
    record(page)
    page.evaluate("probe.layBare()")
    put(page)
    taps: list[float] = []
    puts: list[float] = []
    for time in range(TIMES):
        turns: list[tuple[list[float], Callable[[Page], float]]] = [(taps, record), (puts, put)]
        for times, turn in turns if time % 2 else reversed(turns):
            times.append(turn(page))
    return taps, puts, page.evaluate("probe.alone")[-TIMES:]


def record(page: Page) -> float:
    """Types a good value at the place that stands open and taps Next."""
    hand = Stand(page).press(next(stand.GOOD_VALUES))
    page.wait_for_timeout(QUIET_MS)
    page.evaluate("probe.listen()")
    hand.next()
    return float(page.evaluate("probe.durable"))


def put(page: Page) -> float:
    page.wait_for_timeout(QUIET_MS)
    page.evaluate("probe.listen()")
    page.locator("#bare").tap()
    return float(page.evaluate("probe.durable"))
