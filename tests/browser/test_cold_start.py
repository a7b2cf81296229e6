"""The first screen of a cold start: the engines come with the page, before any script of the app has run."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.stand import JONAS, ROSA, Stand

#: What the page held when the browser had read it; scripts of the app draw later than that.
WATCH = """
    document.addEventListener('readystatechange', () => {
      if (document.readyState !== 'interactive') return
      const root = document.getElementById('app')
      window.cameWithThePage = root.textContent
      window.linksThatCame = [...root.querySelectorAll('a.engine')].map((link) => link.pathname)
    })
"""
#: A view is put aside for the next cold start half a second after its last change.
QUIET_MS = 1500


@pytest.fixture
def first_profile() -> None:
    """These phones begin with nothing."""


def used_once(phone: Pocket, somebody: str) -> list[str]:
    """The app is installed and has shown its engines; gives their links at rest. The browser is closed again."""
    page = phone.open()
    Stand(page).take(somebody)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    engines(page)
    page.wait_for_timeout(QUIET_MS)
    links = engines(page)
    phone.close()
    return links


def engines(page: Page) -> list[str]:
    page.locator("a.engine").first.wait_for()
    return [str(link.get_attribute("href")) for link in page.locator("a.engine").all()]


def test_the_engines_come_with_the_page_and_are_the_same_when_the_app_runs(server: Server, phone: Pocket) -> None:
    links = used_once(phone, JONAS)
    server.stop()
    phone.scripts.append(WATCH)
    page = phone.open()
    assert engines(page) == links
    assert page.evaluate("window.linksThatCame") == links
    server.start()


#: A page of the shop on which no app runs, which would put its own picture aside.
NO_APP = "/icons/icon-192.png"
#: Puts the engines that come with the page the other way round, as if one had been touched since.
TURNED_ROUND = """
    async () => {
      const cache = await caches.open('standbook-as-left')
      const left = await (await cache.match('/as-left')).json()
      const apart = document.createElement('div')
      apart.innerHTML = left.html
      const list = apart.querySelector('ul.cards')
      list.replaceChildren(...[...list.children].reverse())
      await cache.put('/as-left', new Response(JSON.stringify({ ...left, html: apart.innerHTML })))
    }
"""


def test_the_app_draws_each_engine_where_the_page_has_it_lest_a_tap_land_on_another(
    server: Server, phone: Pocket
) -> None:
    links = used_once(phone, JONAS)
    phone.expected.append("Applying inline style")  # by the browser itself, to a picture that is a page
    phone.open(NO_APP).evaluate(TURNED_ROUND)
    phone.close()
    server.stop()
    page = phone.open()
    expect(page.locator(".strip")).not_to_contain_text("Opening the book")
    assert engines(page) == links[::-1]
    server.start()


def test_what_comes_with_the_page_says_nothing_of_what_is_safe(server: Server, phone: Pocket) -> None:
    used_once(phone, JONAS)
    server.stop()
    phone.scripts.append(WATCH)
    page = phone.open()
    expect(page.locator(".strip")).to_contain_text("shop")
    came = page.evaluate("window.cameWithThePage")
    assert "Opening the book" in came
    assert "safe" not in came
    server.start()


def test_the_phone_in_other_hands_shows_the_other_name_at_the_next_start(phone: Pocket) -> None:
    used_once(phone, JONAS)
    page = phone.open()
    page.get_by_role("button", name="At the stand").tap()
    page.get_by_role("dialog").get_by_role("button", name=ROSA).tap()
    page.wait_for_timeout(QUIET_MS)
    phone.close()
    phone.scripts.append(WATCH)
    page = phone.open()
    engines(page)
    assert ROSA in page.evaluate("window.cameWithThePage")
