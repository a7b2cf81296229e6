"""From navigation to the brain's first answer: new browser process, server process stopped.

A step is opened cold, which is where a mechanic waits for the brain. Its first answer says that the interpreter
runs, the trade package is in it and the engine's book is read and open.
"""

import json
import statistics

from playwright.sync_api import Page

from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, spread
from tests.benchmarks.ground import TIMES, Ground

NAME = "brain-up"
MOST = 1200.0
WATCH = f"""
    probe.answered = new Promise((resolve) => {{
      const marks = (list) => list.getEntriesByName({json.dumps(stand.ANSWERED)}).map((mark) => mark.startTime)
      new PerformanceObserver((list) => marks(list).forEach(resolve)).observe({{ type: 'mark', buffered: true }})
    }})
"""


def measure(ground: Ground) -> Figure:
    step = ground.installed().step
    times = []
    for _ in range(TIMES):
        with ground.phone(WATCH) as page:
            times.append(start(page, step))
    return Figure(NAME, statistics.median(times), "ms", None, MOST, [spread("first answer", times, "ms")])


def start(page: Page, address: str) -> float:
    """Milliseconds from navigation to the mark of the brain's first answer."""
    page.goto(address, wait_until="commit")
    return float(page.evaluate("probe.answered"))
