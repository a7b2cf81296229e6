"""What axe-core finds on a screen, on white and on black, and the ink of readings against its ground."""

from typing import Any

from playwright.sync_api import Page

from standbook.config import CHECKOUT
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.tour import past_the_stand, prepared
from tests.browser.views import MEASURE

AXE = CHECKOUT / "webclient" / "node_modules" / "axe-core" / "axe.min.js"
THEMES = ("light", "dark")
RUN = "async () => (await axe.run(document, { resultTypes: ['violations'] })).violations"
#: Where a reading stands in large digits; `screens.md` wants 15:1 and 32 px.
READING = ".value"


def open_with_tools(pocket: Pocket, path: str) -> Page:
    pocket.scripts += [AXE.read_text(encoding="utf-8"), MEASURE]
    return pocket.open(path)


def findings(page: Page, screen: str, theme: str) -> list[str]:
    page.emulate_media(color_scheme=theme)
    page.evaluate("measured.settled()")
    found: list[dict[str, Any]] = page.evaluate(RUN)
    return [
        f"{screen}, {theme}: {rule['help']}: {node['html'][:160]} {node['failureSummary'].splitlines()[-1]}"
        for rule in found
        for node in rule["nodes"]
    ]


def test_a_typed_reading_is_large_and_black_on_white_or_white_on_black(shop: Shop, phone: Pocket) -> None:
    prepared(shop)
    page = open_with_tools(phone, "/")
    for screen in past_the_stand(page):
        if screen == "row, typed":
            break
    for theme in THEMES:
        page.emulate_media(color_scheme=theme)
        ink = page.evaluate(f"measured.ink('{READING}')")
        assert ink["contrast"] >= 15
        assert ink["size"] >= 32
