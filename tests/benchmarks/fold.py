"""How long the brain takes over a long book, in the browser's MicroPython on a slowed-down phone.

`fold-cold`: a book of 2,000 entries is opened and the engine's state worked out. `fold-one-more`: one reading is added
to it and the state worked out again. The interpreter, the pack and the code that brings both together are the app's
own, out of its own cache; the entries go in as the app feeds them.
"""

import json
import statistics
from itertools import islice
from typing import Any

from playwright.sync_api import Page

from standbook.config import CHECKOUT
from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, spread
from tests.benchmarks.ground import TIMES, Ground
from tests.benchmarks.long_book import demo_build, fed, readings_on
from tests.browser.server import Server
from tests.browser.shop import Shop

COLD, ONE_MORE = "fold-cold", "fold-one-more"
ENTRIES = 2000
MOST_COLD, MOST_ONE_MORE = 1000.0, 20.0
HOST = (CHECKOUT / "webclient" / "src" / "brain" / "host.js").read_text("utf-8").replace("export ", "")
#: The page has its brain by then, from its imprint; a second one beside it is put on the same files, pack and all.
MEASURE = f"""async ({{ build, whole, more, times }}) => {{
    {HOST}
    const named = (part) => performance.getEntriesByType('resource').find(({{ name }}) => name.includes(part)).name
    const {{ loadMicroPython }} = await import('/' + named('assets/micropython-').split('/').slice(3).join('/'))
    const kept = async (part) => {{
      const caches_ = await Promise.all((await caches.keys()).map((name) => caches.open(name)))
      const requests = (await Promise.all(caches_.map((cache) => cache.keys()))).flat()
      return requests.find(({{ url }}) => url.includes(part)).url
    }}
    const pack = new Uint8Array(await (await fetch(await kept('assets/trade-'))).arrayBuffer())
    const call = await startHost(loadMicroPython, named('.wasm'), pack)
    const timed = (name, entries) => {{
      const before = performance.now()
      const fed = JSON.parse(call(name, feedText(build, entries)))
      const state = JSON.parse(call('state', JSON.stringify({{ build }})))
      const took = performance.now() - before
      if (fed.error || state.error || !state.stages) throw new Error(JSON.stringify([fed, state.error]))
      return took
    }}
    timed('open', whole)
    const cold = Array.from({{ length: times }}, () => timed('open', whole))
    const one = more.map((entry) => timed('add', [entry]))
    return {{ cold, one }}
}}"""


def measure_cold(ground: Ground) -> Figure:
    return figure(COLD, measured(ground)["cold"], MOST_COLD)


def measure_one_more(ground: Ground) -> Figure:
    return figure(ONE_MORE, measured(ground)["one"], MOST_ONE_MORE)


def measured(ground: Ground) -> dict[str, list[float]]:
    book = long_book(ground)
    with ground.phone() as page:
        brought_up(page, ground.installed().step)
        found: dict[str, list[float]] = page.evaluate(MEASURE, book)
        return found


def long_book(ground: Ground) -> dict[str, Any]:
    # A shop of its own: another figure may have filled the engine's book.
    server = Server(ground.new_folder() / "shop").start()
    try:
        shop = Shop(server.address)
        demo = demo_build(shop.entries(), stand.JOB)
    finally:
        server.stop()
    rest = readings_on(shop, demo)
    entries = fed([*demo, *islice(rest, ENTRIES - len(demo) + TIMES)])
    return {"build": demo[0]["build"], "whole": entries[:ENTRIES], "more": entries[ENTRIES:], "times": TIMES}


def brought_up(page: Page, step: str) -> None:
    page.goto(step, wait_until="commit")
    page.wait_for_function(f"() => performance.getEntriesByName({json.dumps(stand.ANSWERED)}).length > 0")


def figure(name: str, times: list[float], most: float) -> Figure:
    return Figure(name, statistics.median(times), "ms", None, most, [spread(name, times, "ms")])
