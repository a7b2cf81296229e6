"""Server and page killed together, again and again: after each death everything that was promised is there."""

import shutil
import time
from pathlib import Path
from typing import NamedTuple

from tests.faults.real.healing import heal
from tests.faults.real.promises import no_half_batch
from tests.faults.real.world import Ground, World, world

#: Every so often the whole browser dies and not the pages alone: it takes a second to be back.
BROWSER_EVERY = 40
#: Longest life, in milliseconds after the page is up.
LONGEST = 120


class Report(NamedTuple):
    kills: int
    browsers: int
    entries: int
    pushes: int


def die_together(here: World, number: int) -> None:
    """One short life of all phones and of the server, and its end."""
    phones = list(here.phones.values())
    for phone in phones:
        here.open(phone)
    here.until_alive(phones)
    here.listen()
    wait_for_the_moment(here)
    here.server.kill()
    here.chromium.kill("browser" if number % BROWSER_EVERY == 0 else "renderer")
    here.server.bury()
    if number % BROWSER_EVERY == 0:
        here.chromium.close()
        here.chromium.browser_deaths += 1
    else:
        here.chromium.forget()
    here.listen()
    no_half_batch(phones, here.server.counts())
    here.server.start()


def wait_for_the_moment(here: World) -> None:
    """Any moment of a life, or one in the middle of a push: a transaction takes a few milliseconds."""
    if here.luck.random() < 0.5:
        here.wait(here.luck.uniform(0, LONGEST))
        return
    here.network.pushing.clear()
    here.network.pushing.wait(LONGEST / 1000)
    time.sleep(here.luck.uniform(0, 0.008))


def run(ground: Ground, folder: Path, seed: int, kills: int) -> Report:
    """So many deaths; at the end all phones and the shop agree. Raises Broken."""
    shutil.copytree(ground.shop, folder / "data")
    with world(ground, folder, seed, "AB", bad=0.15) as here:
        for phone in here.phones.values():
            phone.line.weather.deadly = False
        here.server.start()
        for number in range(1, kills + 1):
            die_together(here, number)
        heal(here)
        pushes = sum(len(phone.line.pushes) for phone in here.phones.values())
        entries = sum(len(phone.saved) for phone in here.phones.values())
        return Report(kills, here.chromium.browser_deaths, entries, pushes)
