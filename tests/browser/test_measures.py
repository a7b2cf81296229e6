"""The measures themselves: each finds its fault on a page that has it, and nothing on one that is well."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, Playwright

from tests.browser.pocket import PHONE, Pocket
from tests.browser.test_accessibility import AXE, RUN
from tests.browser.test_layout import measured
from tests.browser.views import MEASURE

VIEWPORT = "<meta name='viewport' content='width=device-width, initial-scale=1'>"
WELL = """<main><h2 class="place-words">Main 1, upright</h2>
    <div class="row"><button style="width: 60px; height: 60px; margin: 10px">One</button>
    <button style="width: 60px; height: 60px; margin: 10px">Two</button></div></main>"""
FAULTS = {
    "wide": "<p style='width: 900px'>A line that is too long for any phone</p>",
    "cutOff": "<p style='width: 60px; overflow: hidden; white-space: nowrap'>Words that nobody reads to their end</p>",
    "outOfReach": "<div style='position: fixed; inset: 0; background: white'></div>",
    "notInSight": "<div style='position: fixed; top: 0; width: 100%; height: 40px; background: white'></div>",
    "tooSmall": "<button style='width: 60px; height: 40px'>Low</button>",
    "tooClose": "<ul>" + 2 * "<li style='margin-top: 3px'><button style='width: 60px; height: 60px'>Key</button></li>",
}


@pytest.fixture(scope="module")
def blank(playwright: Playwright, program: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """An empty page with the measures in it."""
    pocket = Pocket(playwright, program, tmp_path_factory.mktemp("measures"), "", PHONE)
    pocket.scripts = [AXE.read_text(encoding="utf-8"), MEASURE]
    pocket.start()
    yield pocket.context.new_page()
    pocket.close()


def show(page: Page, body: str) -> None:
    page.goto("about:blank")
    page.set_content(f"<!doctype html><html lang='en'><title>Test</title>{VIEWPORT}<body>{body}")


@pytest.mark.parametrize("name", FAULTS)
def test_a_measure_finds_its_fault_and_no_other_page_is_blamed(blank: Page, name: str) -> None:
    show(blank, WELL)
    assert measured(blank, (name,)) == []
    show(blank, WELL + FAULTS[name])
    assert len(measured(blank, (name,))) > 0


def test_axe_is_at_work(blank: Page) -> None:
    show(blank, "<main><h1>Test</h1><button></button></main>")
    assert [rule["id"] for rule in blank.evaluate(RUN)] == ["button-name"]
