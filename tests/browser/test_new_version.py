"""A new version of the app while somebody is at work with the last one."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.client_build import LATER, build_later, copy_of_today, put_in_place_of
from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import PHONE, Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand

NEWS = "A new version of the app is here."
#: Lives as long as the page is not loaded again. What is waited for is written as a function: the page's policy
#: refuses to evaluate text, and a waiting test would do so again and again.
MARK = "window.heldByThumb = true"
HELD = "window.heldByThumb === true"
Update = Callable[[], None]


@pytest.fixture
def updating(data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Server, Update]]:
    """A server of today's client, and how to put the later one in its place."""
    today = copy_of_today(tmp_path / "web")
    later = build_later(tmp_path / "later")
    monkeypatch.setenv("STANDBOOK_OTHER_CLIENT", str(today))
    server = Server(data, ("-m", "tests.browser.other_client", "demo")).start()
    yield server, lambda: put_in_place_of(today, later)
    server.stop()


@pytest.fixture
def old_phone(
    updating: tuple[Server, Update], playwright: Playwright, program: str, tmp_path: Path
) -> Iterator[Pocket]:
    pocket = Pocket(playwright, program, tmp_path / "phone", updating[0].address, PHONE)
    yield pocket
    pocket.close()
    assert pocket.unexpected() == []


def test_a_tab_of_the_last_version_is_told_keeps_its_digits_and_is_never_reloaded_under_a_thumb(
    updating: tuple[Server, Update], old_phone: Pocket
) -> None:
    server, update = updating
    fresh_v8(Shop(server.address))
    half_typed = at_half_a_number(old_phone)
    update()
    other = Stand(old_phone.open())  # its loading makes the browser look for a new worker
    take_the_new_version(other.page)
    expect_undisturbed(half_typed)

    half_typed.look().press("97").next()
    expect(half_typed.kept).to_contain_text("2.5497")
    expect(half_typed.page.get_by_text(NEWS)).to_be_visible()
    assert half_typed.page.evaluate(HELD)
    take_the_new_version(half_typed.page)
    at_the_shop(half_typed, server)


def at_half_a_number(phone: Pocket) -> Stand:
    """A page that its worker serves, on the first size of a step, with half of it typed."""
    page = phone.open()
    Stand(page).take(JONAS)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.close()
    stand = Stand(phone.open()).engine(JOB).first_journal()
    stand.page.evaluate(MARK)
    return stand.press("2.54").drafted("2.54")


def take_the_new_version(page: Page) -> None:
    """The news is there, and the page is loaded again only because a thumb said so."""
    expect(page.get_by_text(NEWS)).to_be_visible()
    page.evaluate(MARK)
    page.get_by_role("button", name="Use it now").tap()
    page.wait_for_function("() => window.heldByThumb === undefined")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.get_by_text(NEWS)).to_be_hidden()


def expect_undisturbed(stand: Stand) -> None:
    """The new worker serves this page as well, which stays as it was."""
    stand.page.wait_for_function("() => navigator.serviceWorker.controller.state === 'activated'")
    assert stand.page.evaluate(HELD)
    expect(stand.box).to_have_value("2.54")
    expect(stand.page.get_by_role("button", name="Use it now")).to_be_hidden()


def at_the_shop(stand: Stand, server: Server) -> None:
    """The last version's reading and the new one's arrive; it is the new version that talks to the shop."""
    stand.read("Main journal 1, front, across the throw", "2.5498").all_safe(3)
    *_, first, last = Shop(server.address).entries()
    assert [entry["body"]["value"]["text"] for entry in (first, last)] == ["2.5497", "2.5498"]
    assert server.devices()[last["device"]].app_version == LATER
