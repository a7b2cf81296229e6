"""A story by its seed: pages and server die, networks are bad, clocks jump, disks fill, backups come back.

Chance draws what happens; when it happens is the machine's own affair, since these are real processes. A seed that
fails is told with what happened and when.
"""

import shutil
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from tests.faults.real.healing import heal
from tests.faults.real.promises import Broken, Phone, Saved, mark_of
from tests.faults.real.world import Ground, World, world

DAY = 24 * 3600.0
NAMES = "ABC"
#: Bytes that a phone's storage may have when it is full: less than what it has already.
NO_ROOM = 1
FULL = ("StoreFailure: storage_full", "StoreFailure: not_stored")


class Shop(NamedTuple):
    """What the shop has at a moment: marks of entries, addresses of photos and texts."""

    marks: set[str]
    files: set[str]


def shop_of(here: World) -> Shop:
    rows = here.server.rows("SELECT sha256 FROM photos UNION SELECT sha256 FROM blobs")
    return Shop({mark_of(row.text) for row in here.server.kept()}, {sha256 for (sha256,) in rows})


class Excused:
    """What the world itself destroyed: the only copy of an entry, or of a photo or text that it names."""

    def __init__(self) -> None:
        self.entries: set[str] = set()
        self.files: set[str] = set()
        #: What a phone that lost its storage had saved: what is left of it is at the shop and on others' phones.
        self.orphans: dict[str, Saved] = {}

    def look(self, shop: Shop) -> None:
        """Of the orphans, what the shop does not have at this moment may be nowhere."""
        for mark, one in self.orphans.items():
            if mark not in shop.marks:
                self.entries.add(mark)
            if {one.photo, one.blob} - {None} - shop.files:
                self.files.add(mark)


class Story:
    def __init__(self, here: World, folder: Path) -> None:
        self.here = here
        self.folder = folder
        self.luck = here.luck
        self.excused = Excused()
        self.backups: list[Path] = []
        self.full: set[str] = set()
        self.was_full: set[str] = set()

    def play(self, steps: int) -> Counter[str]:
        here = self.here
        here.server.start()
        here.server.wait()
        for phone in here.phones.values():
            self.open(phone)
        while here.count().total() < steps:
            here.wait(self.luck.uniform(20, 150))
            self.server_was_killed_by_a_request()
            self.happen()
            here.listen()
            self.nobody_refused_without_reason()
        self.make_room()
        heal(here, frozenset(self.excused.entries), frozenset(self.excused.files))
        return here.count()

    def happen(self) -> None:
        names, parts = zip(*HAPPENINGS, strict=True)
        self.luck.choices(names, parts)[0](self, self.here.phones[self.luck.choice(NAMES)])

    def did(self, sort: str, words: str) -> None:
        self.here.steps[sort] += 1
        self.here.tell(words)

    def nobody_refused_without_reason(self) -> None:
        for phone in self.here.phones.values():
            odd = {why for why in phone.refused if why not in FULL or phone.name not in self.was_full}
            if odd:
                raise Broken(f"{phone.name} was refused: {odd}")

    # Pages

    def open(self, phone: Phone) -> None:
        self.here.open(phone, pace=self.luck.choice([4, 10, 40]))
        self.here.until_alive([phone])
        self.here.listen()

    def page_dies(self, phone: Phone) -> None:
        self.did("kills", f"the page of {phone.name} is killed")
        self.here.chromium.kill_page(phone.name)
        self.open(phone)

    def page_closes(self, phone: Phone) -> None:
        self.did("acts of people", f"{phone.name} closes the app and opens it again")
        self.here.chromium.close_page(phone.name)
        self.open(phone)

    def browser_dies(self, _phone: Phone) -> None:
        self.did("kills", "the browser is killed")
        self.end_browser()
        for phone in self.here.phones.values():
            self.open(phone)

    def end_browser(self) -> None:
        self.here.chromium.kill("browser")
        self.here.chromium.close()
        self.here.chromium.browser_deaths += 1
        self.full.clear()

    # The server

    def server_dies(self, _phone: Phone) -> None:
        self.did("kills", "the server is killed")
        self.here.server.kill()
        self.server_comes_back()

    def server_comes_back(self) -> None:
        self.here.server.bury()
        self.here.wait(self.luck.choice([0, 0, 50, 200]))
        self.here.server.start()
        self.here.server.wait()

    def both_die(self, phone: Phone) -> None:
        self.did("kills", f"the server and the page of {phone.name} are killed together")
        self.here.server.kill()
        self.here.chromium.kill_page(phone.name)
        self.server_comes_back()
        self.open(phone)

    def server_was_killed_by_a_request(self) -> None:
        """A request's fate may have ended it: it is buried and started by whoever looks next."""
        if not self.here.server.is_running():
            self.did("kills", "the server has died of a request")
            self.server_comes_back()

    def server_clock(self, _phone: Phone) -> None:
        self.here.server.skew += self.luck.choice([-2, -1, 1, 2, 8]) * DAY
        self.did("clocks and disks", f"the server's clock is {self.here.server.skew / DAY:+.0f} days off")
        self.here.server.kill()
        self.server_comes_back()

    def server_disk(self, _phone: Phone) -> None:
        self.here.server.set_full(not self.here.server.full)
        self.did("clocks and disks", f"the server's disk is {'full' if self.here.server.full else 'free again'}")

    # Backups

    def backup(self, _phone: Phone) -> None:
        path = self.folder / f"backup{len(self.backups)}.standbook.tar"
        self.here.server.wish("backup", path=str(path))
        self.backups.append(path)
        self.did("clocks and disks", f"a backup is made (number {len(self.backups)})")

    def restore(self, _phone: Phone) -> None:
        if not self.backups:
            return
        number = self.luck.randrange(len(self.backups))
        self.did("clocks and disks", f"backup {number + 1} is restored")
        self.here.server.set_full(False)
        self.here.server.kill()
        self.here.server.bury()
        self.here.server.wish("restore", path=str(self.backups[number]))
        self.excused.look(shop_of(self.here))
        self.here.server.start()
        self.here.server.wait()

    # Phones

    def weather(self, phone: Phone) -> None:
        phone.line.weather.bad = self.luck.choice([0, 0.05, 0.2, 0.5, 1])
        self.did("clocks and disks", f"the network of {phone.name} is {phone.line.weather.bad:.0%} bad")

    def phone_disk(self, phone: Phone) -> None:
        """Chromium counts on room that it has seen for half a minute: a disk fills while the browser is not there."""
        if self.full:
            self.did("clocks and disks", "all phones have room again")
            self.make_room()
            return
        self.did("clocks and disks", f"the browser is killed, and the storage of {phone.name} is full")
        self.end_browser()
        self.here.chromium.set_quota(self.here.origin(phone), NO_ROOM)
        self.full.add(phone.name)
        self.was_full.add(phone.name)
        for one in self.here.phones.values():
            self.open(one)

    def make_room(self) -> None:
        for name in self.full:
            self.here.chromium.set_quota(self.here.origin(self.here.phones[name]), None)
        self.full.clear()

    def clear(self, phone: Phone) -> None:
        """The browser clears the book's storage: what the shop does not have of it is lost, and said to be."""
        # Without room it could not even become another device, and says so.
        self.make_room()
        self.did("clocks and disks", f"the storage of {phone.name} is cleared")
        self.here.chromium.close_page(phone.name)
        self.here.listen()
        self.here.chromium.clear(self.here.origin(phone))
        shop = shop_of(self.here)
        before, made = phone.device, phone.made()
        phone.cleared()
        self.open(phone)
        # Its last words may have been on their way until now.
        self.excused.orphans |= {mark: one for mark, one in phone.saved.items() if one.device != phone.device}
        self.excused.look(shop)
        told = phone.before or {}
        if before and made and (told.get("device") != before or told.get("made", 0) < made):
            raise Broken(f"{phone.name} was {before} with {made} entries and says that it was {told}")


Happening = Callable[[Story, Phone], None]

HAPPENINGS: list[tuple[Happening, float]] = [
    (Story.page_dies, 20),
    (Story.server_dies, 14),
    (Story.both_die, 20),
    (Story.page_closes, 4),
    (Story.browser_dies, 1),
    (Story.weather, 22),
    (Story.server_clock, 2),
    (Story.server_disk, 3),
    (Story.phone_disk, 3),
    (Story.backup, 3),
    (Story.restore, 2),
    (Story.clear, 2),
]


def play(ground: Ground, folder: Path, seed: int, steps: int) -> Counter[str]:
    """One story to its end, healed and looked at. Raises Broken with what happened."""
    shutil.copytree(ground.shop, folder / "data")
    with world(ground, folder, seed, NAMES, bad=0.1) as here:
        return Story(here, folder).play(steps)
