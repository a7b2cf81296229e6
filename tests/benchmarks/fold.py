"""How long the brain takes over a long book: in the browser's MicroPython, here in Node, beside CPython.

`fold-cold`: a book of 2,000 entries is opened and the engine's state worked out. `fold-one-more`: one reading is
added to it and the state worked out again. Node is not slowed down: a phone of a fourth the speed takes four times
as long.
"""

import json
import statistics
import time
from collections.abc import Callable
from itertools import islice
from typing import Any

from standbook.trade.calls import call as on_cpython
from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import TIMES, Ground
from tests.benchmarks.long_book import demo_build, fed, readings_on
from tests.browser.shop import Shop
from tests.micropython import Brain

COLD, ONE_MORE = "fold-cold", "fold-one-more"
ENTRIES = 2000
Call = Callable[[str, str], str]


class Book:
    """Entries of one build as the brain takes them, and one more for each repetition."""

    def __init__(self, ground: Ground) -> None:
        with ground.serving() as server:
            shop = Shop(server.address)
            demo = demo_build(shop.entries(), stand.JOB)
        rest = readings_on(shop, demo)
        self.build = demo[0]["build"]
        entries = [*demo, *islice(rest, ENTRIES - len(demo) + TIMES)]
        self.whole = fed(entries)[:ENTRIES]
        self.more = fed(entries)[ENTRIES:]

    def open(self, call: Call) -> float:
        return timed(call, "open", {"build": self.build, "entries": self.whole}, self.build)

    def add(self, call: Call, number: int) -> float:
        return timed(call, "add", {"build": self.build, "entries": [self.more[number]]}, self.build)


def timed(call: Call, name: str, question: dict[str, Any], build: str) -> float:
    """Milliseconds of one call and of the state after it, the question being text already."""
    text, then = json.dumps(question), json.dumps({"build": build})
    before = time.perf_counter()
    answers = (call(name, text), call("state", then))
    took = (time.perf_counter() - before) * 1000
    assert not any('"error"' in answer[:9] for answer in answers), answers
    return took


def measure_cold(ground: Ground) -> Figure:
    book = Book(ground)
    with Brain() as brain:
        pairs = [(book.open(brain.call), book.open(on_cpython)) for _ in range(TIMES)]
    return figure(COLD, pairs)


def measure_one_more(ground: Ground) -> Figure:
    book = Book(ground)
    with Brain() as brain:
        book.open(brain.call)
        book.open(on_cpython)
        pairs = [(book.add(brain.call, number), book.add(on_cpython, number)) for number in range(TIMES)]
    return figure(ONE_MORE, pairs)


def figure(name: str, pairs: list[tuple[float, float]]) -> Figure:
    phone, server = [one for one, _ in pairs], [other for _, other in pairs]
    ratios = [one / other for one, other in pairs]
    detail = [spread("MicroPython", phone, "ms"), spread("CPython", server, "ms")]
    return Figure(name, statistics.median(phone), "ms", Ratio(ratios, "CPython"), None, detail)
