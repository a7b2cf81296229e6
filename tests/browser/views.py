"""The windows in which every screen is looked at, and the pictures for people to look at."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import Page

MEASURE = Path(__file__).with_name("measure.js").read_text(encoding="utf-8")
#: A folder for pictures of every screen in every view; none are taken where it is not set.
PICTURES = os.environ.get("STANDBOOK_SCREENSHOTS") or None


class View(NamedTuple):
    """A window's size in CSS pixels and the size of its text in per cent."""

    width: int
    height: int
    text: int = 100

    def __str__(self) -> str:
        return f"{self.width}x{self.height}" + (f" text {self.text}" if self.text != 100 else "")


SMALL = View(360, 640)
USUAL = View(390, 844)
WIDE = View(1440, 900)
LARGE_TEXT = View(390, 844, 200)
WIDE_LARGE_TEXT = View(1440, 900, 200)
VIEWS = (USUAL, SMALL, LARGE_TEXT, WIDE, WIDE_LARGE_TEXT)
PHONES = (USUAL, SMALL, LARGE_TEXT)


def through(page: Page, first: View) -> Iterator[View]:
    """Each view in turn, settled; at the end the page stands in `first` again."""
    for view in (*VIEWS, first):
        page.set_viewport_size({"width": view.width, "height": view.height})
        page.evaluate("size => { document.documentElement.style.fontSize = size }", f"{view.text}%")
        page.evaluate("measured.settled()")
        yield view


def picture(page: Page, screen: str, view: View) -> None:
    """By day and by night, when pictures are wanted."""
    if PICTURES is None:
        return
    name = f"{screen} {view}".replace(" ", "-").replace(",", "").replace("'", "")
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme=theme)
        page.evaluate("measured.settled()")
        page.screenshot(path=str(Path(PICTURES) / f"{name}-{theme}.png"))
    page.emulate_media(color_scheme="light")
