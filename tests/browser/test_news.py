"""Screens that come up only when something went wrong: kept back, cleared, copied, a camera that took the page."""

from playwright.sync_api import Page, expect

from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand
from tests.browser.test_accessibility import AXE, THEMES, findings
from tests.browser.test_book_that_loses_nothing import CLEAR, at_the_engine, call_jonas
from tests.browser.test_layout import faults
from tests.browser.views import MEASURE, USUAL, through

FIRST, SECOND = "Main journal 1, front, in line with the throw", "Main journal 1, front, across the throw"


def looked_at(page: Page, screen: str) -> list[str]:
    """What measures and axe have against this screen, in every window, by day and by night."""
    found = [line for view in through(page, USUAL) for line in faults(page, screen, view, at_the_stand=True)]
    return found + [line for theme in THEMES for line in findings(page, screen, theme)]


def with_tools(pocket: Pocket) -> Pocket:
    pocket.scripts += [AXE.read_text(encoding="utf-8"), MEASURE]
    return pocket


def test_what_is_kept_back_and_how_to_deal_with_it_fits_every_window(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(with_tools(phone), shop).first_journal()
    stand.read(FIRST, "2.5498").all_safe(2)
    call_jonas(server, "somebody-else")
    stand.read(SECOND, "2.5497")
    expect(stand.strip).to_contain_text("1 held back")
    stand.strip.tap()
    sheet = stand.sheet("Your work and the shop")
    sheet.get_by_text("Deal with it").tap()
    sheet.get_by_label("Left out, because").fill("by Rosa")
    assert looked_at(stand.page, "held sheet") == []


def test_the_sheet_of_a_phone_without_its_shop_fits_every_window(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(with_tools(phone), shop).first_journal().all_safe(1)
    server.stop()
    stand.read(FIRST, "2.5498")
    stand.strip.tap()
    with stand.page.expect_download():
        stand.button("Write what is unsent to a file").tap()
    expect(stand.page.get_by_text("1 entry written to")).to_be_visible()
    assert looked_at(stand.page, "sheet without the shop") == []


def test_what_was_lost_with_a_cleared_storage_fits_every_window(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(with_tools(phone), shop).first_journal().all_safe(1)
    server.stop()
    stand.read(FIRST, "2.5498").read(SECOND, "2.5497")
    phone.close()
    server.start()
    phone.expected.append("404 (Not Found)")
    phone.open("/icons/icon.svg").evaluate(CLEAR)
    stand = Stand(phone.show()).take(JONAS)
    expect(stand.page.get_by_text("had not reached the shop")).to_be_visible()
    assert looked_at(stand.page, "lost") == []


def test_where_a_picture_belongs_fits_every_window(phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(with_tools(phone), shop).first_journal()
    stand.press("2.54").drafted("2.54").table()
    with stand.page.expect_file_chooser():
        stand.button("Camera").tap()
    stand.page.wait_for_timeout(300)
    phone.kill()
    stand = Stand(phone.open())
    expect(stand.page.get_by_text("The camera closed this page")).to_be_visible()
    assert looked_at(stand.page, "camera") == []
    stand.page.get_by_role("link", name="Go where it belongs").tap()
    expect(stand.button("From the gallery")).to_be_visible()
    assert looked_at(stand.page, "camera, where it belongs") == []
