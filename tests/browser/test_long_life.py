"""A phone after years, with 100,000 entries of fifty engines and 500 pictures, opens, records and syncs."""

import random
import time
from collections.abc import Iterator
from itertools import cycle, islice
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Entry, Shop
from tests.browser.stand import JONAS, Stand, starts
from tests.browser.tour import V8_JOB

ENTRIES, ENGINES, PHOTOS = 100_000, 50, 500
BATCH = 500
FIRST, SECOND = "Main journal 1, front, in line with the throw", "Main journal 1, front, across the throw"
#: Seconds. The first two are a phone's first talk with a shop of years; the others are what a hand waits for.
PULLED, FOLDED, OPENED, KEPT, TAKEN, SENT = 180.0, 120.0, 5.0, 2.0, 240.0, 300.0
#: How many entries of the pulled book lie on the phone's disk.
ON_DISK = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open('standbook')
    opening.onerror = () => reject(opening.error)
    opening.onsuccess = () => {
        const database = opening.result
        const reading = database.transaction('device').objectStore('device').get('cursor')
        reading.onsuccess = () => {
            database.close()
            resolve(reading.result?.after ?? 0)
        }
    }
})"""


def readings(shop: Shop, demo: list[Entry], builds: list[str]) -> Iterator[Entry]:
    """The demo's readings, engine after engine, round after round."""
    for number, (build, reading) in enumerate(zip(cycle(builds), cycle(demo), strict=False)):
        why = "first" if number < len(builds) else "repeat"
        where = {"step": reading["step"], "place": reading["place"], "why": why}
        body = {**reading["body"], "corrects": None}
        yield shop.entry(build, reading["person"], "reading", body, **where)


def fill(shop: Shop) -> int:
    """Years of work in the shop's book; gives the number of its entries."""
    build = next(entry["build"] for entry in shop.entries() if entry["body"].get("job") == V8_JOB)
    demo = [entry for entry in shop.of_build(build) if entry["kind"] == "reading"]
    builds = [fresh_v8(shop, f"Y-{number}") for number in range(ENGINES - 1)]
    left = ENTRIES - len(shop.entries())
    work = islice(readings(shop, demo, builds), left)
    while batch := list(islice(work, BATCH)):
        shop.push(batch)
    fresh_v8(shop)
    return len(shop.entries())


def pictures(folder: Path) -> list[Path]:
    """As many pictures as the phone takes, each another one, 40 KB or so."""
    folder.mkdir()
    dice = random.Random(5)
    files = [folder / f"{number}.jpg" for number in range(PHOTOS)]
    for file in files:
        Image.frombytes("RGB", (240, 180), dice.randbytes(240 * 180 * 3)).save(file, "JPEG", quality=80)
    return files


class Watch:
    """Seconds since it was made, or since it was last read."""

    def __init__(self) -> None:
        self.began = time.monotonic()

    def lap(self) -> float:
        now = time.monotonic()
        took, self.began = now - self.began, now
        return took


def pulled(page: Page, count: int) -> None:
    page.wait_for_function(f"({ON_DISK})().then((after) => after >= {count})", timeout=PULLED * 1000)


@pytest.mark.long
def test_a_phone_with_100000_entries_and_500_pictures_opens_records_and_syncs(
    server: Server, phone: Pocket, shop: Shop, tmp_path: Path
) -> None:
    count = fill(shop)
    assert count >= ENTRIES
    watch, took = Watch(), {}
    stand = Stand(phone.open()).take(JONAS)
    stand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    pulled(stand.page, count)
    took["pulled"] = watch.lap()
    expect(stand.page.get_by_role("link", name=starts(JOB))).to_be_visible(timeout=FOLDED * 1000)
    took["folded"] = watch.lap()
    stand.engine(JOB)
    phone.kill()
    server.stop()

    watch.lap()
    stand = Stand(phone.open())
    expect(stand.page.get_by_role("link", name=starts(JOB))).to_be_visible()
    took["opened"] = watch.lap()
    stand.engine(JOB).first_journal()
    stand.read(FIRST, "2.5498").at(SECOND).press("2.5497")
    watch.lap()
    stand.next()
    expect(stand.kept).to_contain_text("2.5497")
    took["kept"] = watch.lap()

    stand.back().back_to(JOB)
    files = pictures(tmp_path / "pictures")
    watch.lap()
    stand.page.get_by_label("Choose pictures").set_input_files(files)
    expect(stand.strip).to_contain_text(f"{PHOTOS} pictures unsent", timeout=TAKEN * 1000)
    took["taken"] = watch.lap()
    expect(stand.page.get_by_role("button", name=f"Show 24 more of {PHOTOS - 24}")).to_be_visible()
    server.start()
    watch.lap()
    stand.try_shop()
    expect(stand.strip).to_contain_text(f"All {PHOTOS + 3} safe", timeout=SENT * 1000)
    took["sent"] = watch.lap()
    within = {"pulled": PULLED, "folded": FOLDED, "opened": OPENED, "kept": KEPT, "taken": TAKEN, "sent": SENT}
    assert {name: took[name] for name in within if took[name] > within[name]} == {}
