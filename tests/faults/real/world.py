"""Phones, network and server as processes, and a hand that ends them."""

import random
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.faults.process import free_port
from tests.faults.real.chromium import Chromium
from tests.faults.real.fates import Weather
from tests.faults.real.network import Line, Network
from tests.faults.real.promises import Broken, Phone
from tests.faults.real.server import Server

#: A page that has not come up by then never will.
PATIENCE = 20.0
#: Addresses of this machine; each is an origin of its own.
FIRST_ADDRESS = 11


class Ground:
    """What stories have in common and what takes long to make: the page's script, a shop, a way to Chromium."""

    def __init__(self, playwright: Playwright, program: str, script: Path, shop: Path) -> None:
        self.playwright = playwright
        self.program = program
        self.script = script
        self.shop = shop


class World:
    def __init__(self, ground: Ground, folder: Path, seed: int, names: str, bad: float = 0.0) -> None:
        self.seed = seed
        self.luck = random.Random(seed)
        self.steps: Counter[str] = Counter()
        self.server = Server(folder / "data", free_port())
        self.network = Network(self.server.port, ground.script, self.server.kill)
        self.network.start()
        self.chromium = Chromium(ground.playwright, ground.program, folder / "profile")
        self.phones = {name: self.add(name, at, bad) for at, name in enumerate(names)}
        self.tales: list[str] = []
        self.begin = time.monotonic()

    def add(self, name: str, at: int, bad: float) -> Phone:
        weather = Weather(self.luck.randrange(2**32), bad)
        line = Line(name, f"127.0.0.{FIRST_ADDRESS + at}", weather)
        self.network.add(line)
        return Phone(line)

    def tell(self, words: str) -> None:
        self.tales.append(f"{time.monotonic() - self.begin:7.2f} s  {words}")

    def count(self) -> Counter[str]:
        """Decisions of the world so far, by their sort."""
        acts = sum(phone.acts for phone in self.phones.values())
        return self.steps + self.network.steps + Counter({"acts of people": acts})

    # Pages

    def open(self, phone: Phone, pace: int = 10) -> Page:
        """A new life of its page, in which somebody records, types and talks at once."""
        phone.lives += 1
        words = {"life": phone.life, "seed": self.luck.randrange(2**31), "live": 1, "pace": pace}
        words |= {"from": phone.next_no, "digit": max([0, *phone.typed.values(), *phone.entered.values()])}
        query = "&".join(f"{name}={value}" for name, value in words.items())
        return self.chromium.open(phone.name, f"{self.origin(phone)}/?{query}")

    def origin(self, phone: Phone) -> str:
        return f"http://{phone.line.address}:{self.network.port}"

    def wait(self, ms: float) -> None:
        """Time goes by; what the browser has to say is heard meanwhile."""
        pages = list(self.chromium.pages.values())
        if pages and not pages[0].is_closed():
            pages[0].wait_for_timeout(ms)
        else:
            time.sleep(ms / 1000)

    def until_alive(self, phones: list[Phone]) -> None:
        until = time.monotonic() + PATIENCE
        while not all(phone.is_alive() for phone in phones):
            if time.monotonic() > until:
                raise Broken(f"no page came up on {[phone.name for phone in phones if not phone.is_alive()]}")
            time.sleep(0.003)

    def listen(self) -> None:
        if self.network.troubles or self.chromium.complaints:
            raise Broken(f"faults nobody handled: {self.network.troubles} {self.chromium.complaints}")
        for phone in self.phones.values():
            phone.listen()

    # Deaths

    def restart(self) -> None:
        self.server.bury()
        self.server.start()

    def close(self) -> None:
        self.chromium.close()
        self.server.close()
        self.network.close()


@contextmanager
def world(ground: Ground, folder: Path, seed: int, names: str, bad: float = 0.0) -> Iterator[World]:
    """A world in a folder. What breaks in it is told with its seed and its tale."""
    made = World(ground, folder, seed, names, bad)
    try:
        yield made
    except Exception as error:
        tale = "\n".join(made.tales[-60:])
        raise Broken(f"seed {seed}: {error}\n{tale}\nThe server said: {made.server.said()}") from error
    finally:
        made.close()
