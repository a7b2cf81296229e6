"""The end of a story: network, disks and processes are well again, everybody talks; then every promise is looked at."""

import time
from collections.abc import Iterable
from typing import Any

from playwright.sync_api import Page

from tests.faults.real.promises import Broken, Phone, once_each
from tests.faults.real.world import World

ROUNDS = 12
BOOK = "phone.book()"
STATE = """async () => ({ strip: phone.strip(), counts: await phone.counts(), complete: await phone.complete() })"""


def heal(here: World, excused: frozenset[str] = frozenset(), excused_files: frozenset[str] = frozenset()) -> None:
    """Raises Broken where a promise is not kept. `excused`: what the world itself has destroyed."""
    well_again(here)
    pages = {phone.name: page_of(here, phone) for phone in here.phones.values()}
    here.until_alive(list(here.phones.values()))
    for page in pages.values():
        page.evaluate("phone.rest()")
    here.network.quiet()
    here.listen()
    talk_until_quiet(pages)
    here.listen()
    saved = [one for phone in here.phones.values() for one in phone.saved.values()]
    once_each(saved, here.server.kept(), set(excused))
    files_are_there(here, excused | excused_files)
    everybody_has_the_same_book(here, pages)
    findings = here.server.wish("check")["gives"]
    if findings:
        raise Broken(f"the book does not hold together: {findings}")


def well_again(here: World) -> None:
    for phone in here.phones.values():
        phone.line.weather.bad = 0.0
    here.server.set_full(False)
    here.network.quiet()
    if not here.server.is_running():
        here.server.bury()
        here.server.start()
    here.server.wait()


def page_of(here: World, phone: Phone) -> Page:
    return here.chromium.pages.get(phone.name) or here.open(phone)


def states(pages: Iterable[Page]) -> list[dict[str, Any]]:
    return [page.evaluate(STATE) for page in pages]


def is_done(state: dict[str, Any]) -> bool:
    """Nothing is on its way, and what is not green is held back by name."""
    strip, counts = state["strip"], state["counts"]
    waiting = strip["unsent"] + strip["photos"] + strip["carried"] + counts["blobs"]
    return not waiting and strip["online"] and state["complete"] and (strip["allSafe"] or strip["held"] > 0)


def talk_until_quiet(pages: dict[str, Page]) -> None:
    """Everybody in turn, until nothing is new for anybody."""
    for _ in range(ROUNDS):
        for page in pages.values():
            page.evaluate("phone.talk()")
        if all(is_done(state) for state in states(pages.values())):
            break
    # One round more: whoever talked first has not seen what the last one brought.
    for page in pages.values():
        page.evaluate("phone.talk()")
    left = {name: state for name, state in zip(pages, states(pages.values()), strict=True) if not is_done(state)}
    if left:
        raise Broken(f"these do not come to rest: {left}")


def files_are_there(here: World, excused: frozenset[str]) -> None:
    """LG13: photos and texts that saved entries name are at the shop."""
    photos = {sha256 for (sha256,) in here.server.rows("SELECT sha256 FROM photos")}
    blobs = {sha256 for (sha256,) in here.server.rows("SELECT sha256 FROM blobs")}
    for phone in here.phones.values():
        for one in phone.saved.values():
            if one.mark in excused:
                continue
            if one.photo and one.photo not in photos:
                raise Broken(f"the photo of {one.mark} is not at the shop")
            if one.blob and one.blob not in blobs:
                raise Broken(f"the text of {one.mark} is not at the shop")


def everybody_has_the_same_book(here: World, pages: dict[str, Page]) -> None:
    book = [list(row) for row in here.server.rows("SELECT seq, text FROM entries ORDER BY seq")]
    beside = {row.text for row in here.server.kept(since=2**53) if row.where != "book"}
    for name, page in pages.items():
        mine = page.evaluate(BOOK)
        if sorted(mine["pulled"]) != book:
            raise Broken(f"phone {name} has another book than the shop: {len(mine['pulled'])} and {len(book)} entries")
        for text, sent, code in mine["beside"]:
            if sent not in ("held", "dealt") or not code or text not in beside:
                raise Broken(
                    f"phone {name} shows an entry as {sent} ({code}), and the shop does not keep it aside: {text}"
                )


def wait_for(what: Any, seconds: float = 20.0) -> None:
    until = time.monotonic() + seconds
    while not what():
        if time.monotonic() > until:
            raise Broken("what was waited for did not come")
        time.sleep(0.005)
