"""Every screen in every window: nothing sideways, nothing cut off, every key under the thumb and large enough; and by
axe-core, by day and by night. One walk past all of them serves both: it takes a minute."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Browsers
from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import SMALL_PHONE, Pocket
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand
from tests.browser.test_accessibility import THEMES, findings, open_with_tools
from tests.browser.tour import past_the_desk, past_the_stand, prepared
from tests.browser.views import MEASURE, PHONES, USUAL, WIDE, View, picture, through

Tour = Callable[[Page], Iterator[str]]
EVERYWHERE = ("wide", "cutOff", "outOfReach")
#: What a gloved thumb and an eye beside the work want; a desk has a mouse and a chair.
AT_THE_STAND = ("notInSight", "tooSmall", "tooClose")
#: The main action lies in the lowest 200 px of the usual phone.
THUMB = 200


def measured(page: Page, names: tuple[str, ...]) -> list[str]:
    found: list[str] = page.evaluate("names => names.flatMap((name) => measured[name]())", list(names))
    return found


def faults(page: Page, screen: str, view: View, at_the_stand: bool) -> list[str]:
    picture(page, screen, view)
    names = EVERYWHERE + (AT_THE_STAND if at_the_stand and view in PHONES else ())
    found = measured(page, names)
    if at_the_stand and view == USUAL and (page.evaluate("measured.mainAction()") or 0) > THUMB:
        found.append("the main action lies too high for a thumb")
    return [f"{screen}, {view}: {line}" for line in found]


@pytest.mark.parametrize(("tour", "path"), [(past_the_stand, "/"), (past_the_desk, "/desk")], ids=["stand", "desk"])
def test_every_screen_fits_every_window_and_thumb_and_axe_finds_nothing_by_day_or_night(
    request: pytest.FixtureRequest, shop: Shop, tour: Tour, path: str
) -> None:
    at_the_stand = path == "/"
    pocket: Pocket = request.getfixturevalue("phone" if at_the_stand else "desk")
    prepared(shop)
    page = open_with_tools(pocket, path)
    found: list[str] = []
    for screen in tour(page):
        for view in through(page, USUAL if at_the_stand else WIDE):
            found += faults(page, screen, view, at_the_stand)
        for theme in THEMES:
            found += findings(page, screen, theme)
    assert not found, "\n".join(found)


def test_a_small_phone_shows_the_whole_sheet_of_reasons_and_the_way_to_skip_beside_what_is_wrong(
    shop: Shop, browsers: Browsers
) -> None:
    fresh_v8(shop)
    pocket = browsers("small", SMALL_PHONE)
    pocket.scripts.append(MEASURE)
    stand = Stand(pocket.open()).take(JONAS).engine(JOB).first_journal()
    stand.next()
    expect(stand.trouble).to_contain_text("Nothing is typed yet")
    assert measured(stand.page, ("notInSight",)) == []
    for name in ("Skip, why", "Gauge", "Place before", "Place after"):
        expect(stand.button(name)).to_be_in_viewport(ratio=1)
    stand.button("Skip, why").tap()
    expect(stand.button("Not measured")).to_be_in_viewport(ratio=1)
