"""From navigation to engines that can be tapped: new browser process, server process stopped.

The anchor is a bare page of its own origin in the same profile, precached by its own service worker and opened
the same way; its one link stands for the engines. Each of a pair is a browser process of its own.
"""

import json
import statistics

from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, Ratio, spread
from tests.benchmarks.ground import TIMES, Ground

NAME = "cold-offline-start"
MOST = 1.6
#: Painted with its engines: links that the page follows itself need no more to be tapped.
WATCH = f"""
    const engine = {json.dumps(stand.ENGINE)}
    probe.usable = probe.until(() => document.querySelector(engine)).then(probe.painted)
"""


def measure(ground: Ground) -> Figure:
    at = ground.installed()
    times: dict[str, list[float]] = {at.app: [], at.bare: []}
    for time in range(TIMES):
        # Who goes first changes, so that neither always finds the machine as the other left it.
        for address in (at.app, at.bare) if time % 2 else (at.bare, at.app):
            times[address].append(start(ground, address))
    app, anchor = times[at.app], times[at.bare]
    pairs = [mine / its for mine, its in zip(app, anchor, strict=True)]
    return Figure(
        NAME,
        statistics.median(app),
        "ms",
        Ratio(pairs, "a bare precached page"),
        MOST,
        [spread("app", app, "ms"), spread("bare page", anchor, "ms"), spread("ratio", pairs, "times")],
    )


def start(ground: Ground, address: str) -> float:
    """Milliseconds from navigation to the first painted frame with an engine in it."""
    with ground.phone(WATCH) as page:
        page.goto(address, wait_until="commit")
        return float(page.evaluate("probe.usable"))
