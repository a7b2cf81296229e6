"""The screens of joining in every window, by axe-core, on white and on black."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.joining.kit import ANDROID, IN_ANOTHER_APP, INSTALLED, IPHONE, UNTRUSTED, calls_itself
from tests.browser.joining.tour import past_the_desk, past_the_door, past_the_way_in
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.test_accessibility import AXE, THEMES, findings
from tests.browser.test_layout import faults
from tests.browser.views import MEASURE, USUAL, WIDE, through

Tour = Callable[[Server, Page, Pocket], Iterator[tuple[Page, str]]]


@pytest.fixture
def lead(desk: Pocket, lead: Page) -> Page:
    for tool in tools():
        desk.context.add_init_script(tool)
    lead.reload()
    return lead


def tools() -> list[str]:
    return [AXE.read_text(encoding="utf-8"), MEASURE]


def all_of(page: Page, screen: str, at_the_stand: bool) -> list[str]:
    fits = [
        line
        for view in through(page, USUAL if at_the_stand else WIDE)
        for line in faults(page, screen, view, at_the_stand)
    ]
    return fits + [line for theme in THEMES for line in findings(page, screen, theme)]


@pytest.mark.parametrize(
    ("tour", "at_the_stand"),
    [(past_the_door, True), (past_the_way_in, True), (past_the_desk, False)],
    ids=["door", "way in", "desk"],
)
def test_every_screen_of_joining_fits_every_window_and_axe_finds_nothing(
    server: Server, lead: Page, android: Pocket, tour: Tour, at_the_stand: bool
) -> None:
    android.scripts += tools()
    found = [line for page, screen in tour(server, lead, android) for line in all_of(page, screen, at_the_stand)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("user_agent", "script", "words"),
    [
        (ANDROID, UNTRUSTED, "does not trust the shop"),
        (IPHONE, "", "First put the app on the home screen"),
        (IPHONE, INSTALLED, "The code that the desk shows"),
        (IN_ANOTHER_APP, "", "open inside another app"),
    ],
    ids=["untrusted", "iphone", "iphone, installed", "in another app"],
)
def test_what_keeps_a_phone_from_joining_fits_every_window_too(
    phone: Pocket, user_agent: str, script: str, words: str
) -> None:
    calls_itself(phone, user_agent)
    phone.scripts += [script, *tools()]
    page = phone.open("/join")
    expect(page.get_by_text(words).first).to_be_visible()
    found = all_of(page, words, at_the_stand=True)
    assert not found, "\n".join(found)
