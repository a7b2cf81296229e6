"""From a key of the pad to the painted verdict, on a step with a row of readings, the brain being up.

A thumb taps numbers in and out again. It counts from the browser's own time of the lifted finger, which is what a
key acts on, to the frame in which echo and verdict of the new digits are painted. A key after which the number is
the same one (the point) or none changes nothing to wait for and is not counted. The value is the 98th percentile.
"""

import json
from collections.abc import Iterator, Sequence
from itertools import pairwise

from tests.benchmarks import stand
from tests.benchmarks.figure import Figure, percentile, spread
from tests.benchmarks.ground import Ground
from tests.benchmarks.thumb import Thumb

NAME = "key-to-verdict"
MOST = 50.0
KEYS = 120
PER_CENT = 98
#: Between two keys of a quick thumb; what the page still has to do for one key must not run into the next.
BETWEEN_MS = 200
#: The pad's key that deletes, as the browser tests write it.
BACK = "<"
#: No zero at an end: each digit changes the number, and with it the echo.
NUMBERS = ("49.991", "59.983", "48.764", "52.316", "49.995")
WATCH = f"""
    const [place, key] = {json.dumps([stand.VERDICT, stand.PAD_KEY])}
    const says = () => document.querySelector(place)?.textContent ?? ''
    addEventListener('pointerup', (event) => {{
      if (!event.target.closest(key)) return
      const before = says()
      const changed = () => says() !== '' && says() !== before
      probe.wait = probe.until(changed).then(probe.painted).then((now) => now - event.timeStamp)
    }}, true)
"""


def measure(ground: Ground) -> Figure:
    step = ground.installed().step
    with ground.phone(WATCH) as page:
        page.goto(step)
        stand.answer_first_questions(page)
        # The first verdict says that the brain is up.
        thumb = Thumb(page)
        list(type_in_and_out(thumb, NUMBERS[0]))
        times = waits(thumb)
    detail = [spread("key to verdict", times, "ms")]
    return Figure(NAME, percentile(times, PER_CENT), "ms", None, MOST, detail)


def waits(thumb: Thumb) -> Sequence[float]:
    """Milliseconds of so many keys that changed the number."""
    times: list[float] = []
    while len(times) < KEYS:
        for number in NUMBERS:
            times.extend(type_in_and_out(thumb, number))
    return times[:KEYS]


def type_in_and_out(thumb: Thumb, number: str) -> Iterator[float]:
    """Milliseconds of each key that counts."""
    for key, counts in presses(number):
        thumb.press(key)
        thumb.page.wait_for_timeout(BETWEEN_MS)
        if counts:
            yield float(thumb.page.evaluate("probe.wait"))


def presses(number: str) -> Iterator[tuple[str, bool]]:
    """The keys that type a number and take it back, and whether another number stands there after each."""
    texts = [number[:length] for length in range(len(number) + 1)]
    for before, after in pairwise(texts):
        yield after[-1], is_new(before, after)
    for before, after in pairwise(reversed(texts)):
        yield BACK, is_new(before, after)


def is_new(before: str, after: str) -> bool:
    return after != "" and (before == "" or float(after) != float(before))
