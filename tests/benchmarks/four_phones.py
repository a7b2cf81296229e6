"""How long a batch waits while four phones send at once: the slowest of a hundred over the middle one, and over the
slowest of a hundred of the same server without its queue of writers.

Each phone sends 10,000 entries in batches of 200, one after the other; a figure is of all batches of one such run.
"""

import statistics
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from tests.benchmarks.anchored import Program, script
from tests.benchmarks.figure import Figure, Ratio, percentile, spread
from tests.benchmarks.ground import Ground
from tests.benchmarks.throughput import ENTRIES, HERE, entries_file
from tests.browser.server import COMMAND, Server

TO_NAIVE, TO_MIDDLE = "four-phones-to-naive", "four-phones-to-middle"
PHONES = 4
TIMES = 7
SLOWEST = 99
#: Batches of a phone that are on their way at one time.
ONE_AFTER_THE_OTHER = 1
MOST_TO_NAIVE, MOST_TO_MIDDLE = 1 / 7, 3.0
NAIVE = (str(HERE / "naive_server.py"), "demo")


def measure_to_naive(ground: Ground) -> Figure:
    """Both servers take turns; the first turn of each is not counted."""
    queue: list[float] = []
    naive: list[float] = []
    with phones(ground, ground.new_folder(), COMMAND) as ours, phones(ground, ground.new_folder(), NAIVE) as theirs:
        for number in range(TIMES + 1):
            turns = [(queue, ours), (naive, theirs)]
            for taken, sending in turns if number % 2 else reversed(turns):
                taken.append(percentile(batches(sending), SLOWEST))
    pairs = [mine / its for mine, its in zip(queue[1:], naive[1:], strict=True)]
    detail = [spread("with the queue", queue[1:], "ms"), spread("without", naive[1:], "ms"), spread("ratio", pairs, "")]
    anchor = "the same without a queue of writers"
    return Figure(TO_NAIVE, statistics.median(queue[1:]), "ms", Ratio(pairs, anchor), MOST_TO_NAIVE, detail)


def measure_to_middle(ground: Ground) -> Figure:
    slowest: list[float] = []
    middle: list[float] = []
    with phones(ground, ground.new_folder(), COMMAND) as sending:
        for _ in range(TIMES + 1):
            times = batches(sending)
            slowest.append(percentile(times, SLOWEST))
            middle.append(statistics.median(times))
    pairs = [slow / usual for slow, usual in zip(slowest[1:], middle[1:], strict=True)]
    detail = [spread("slowest of a hundred", slowest[1:], "ms"), spread("middle", middle[1:], "ms")]
    anchor = "the middle one"
    return Figure(TO_MIDDLE, statistics.median(slowest[1:]), "ms", Ratio(pairs, anchor), MOST_TO_MIDDLE, detail)


@contextmanager
def phones(ground: Ground, folder: Path, command: tuple[str, ...]) -> Iterator[list[Program]]:
    """A server with the demo shop on a folder of its own, and four clients of it."""
    file = entries_file(ground, ENTRIES)
    server = Server(folder / "shop", command)
    with ExitStack() as stack:
        server.start()
        stack.callback(server.stop)
        clients = []
        for number in range(PHONES):
            own = folder / str(number)
            own.mkdir()
            clients.append(stack.enter_context(script(HERE / "api_client.mjs", server.address, own, file)))
        yield clients


def batches(sending: list[Program]) -> list[float]:
    """Milliseconds of every batch, of all four at once."""
    for phone in sending:
        phone.tell("push", ONE_AFTER_THE_OTHER)
    return [took for phone in sending for took in phone.answer()["each"]]
