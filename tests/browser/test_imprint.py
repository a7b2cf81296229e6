"""The brain's second start: from the imprint of its memory that the phone has made aside after the first."""

import pytest
from playwright.sync_api import Page

from tests.browser.pocket import Pocket
from tests.browser.stand import JONAS, Stand

ANSWERED = "() => performance.getEntriesByName('brain answered').length > 0"
KEPT = "async () => Boolean(await (await caches.open('standbook-imprint')).match('/imprint'))"
READ_PACK = "performance.getEntriesByType('resource').some(({ name }) => name.endsWith('.pack'))"
#: The imprint's bytes in part, under the length that they say they have.
CUT = """async () => {
    const cache = await caches.open('standbook-imprint')
    const kept = await cache.match('/imprint')
    const bytes = (await kept.arrayBuffer()).slice(0, 100000)
    await cache.put('/imprint', new Response(bytes, { headers: kept.headers }))
}"""


@pytest.fixture
def first_profile() -> None:
    """These phones make their own."""


def used_once(phone: Pocket) -> Page:
    """The app is installed, its brain has been up, its imprint is kept."""
    page = phone.open()
    Stand(page).take(JONAS)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function(ANSWERED)
    assert page.evaluate(READ_PACK)
    page.wait_for_function(KEPT)
    return page


def answered_again(page: Page) -> None:
    """The page anew at a row of readings, whose view is the brain's."""
    engine = page.locator("a.engine").first.get_attribute("href")
    page.goto(page.evaluate("location.origin") + f"{engine}/step/journals")
    page.wait_for_function(ANSWERED)


def test_the_second_start_takes_the_imprint_and_reads_no_pack(phone: Pocket) -> None:
    page = used_once(phone)
    answered_again(page)
    assert not page.evaluate(READ_PACK)


def test_an_imprint_that_is_not_whole_is_left_alone(phone: Pocket) -> None:
    page = used_once(phone)
    page.evaluate(CUT)
    answered_again(page)
    assert page.evaluate(READ_PACK)
