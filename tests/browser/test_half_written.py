"""Words that are half typed when a browser ends: they are a draft, like half a number."""

from playwright.sync_api import expect

from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.stand import Stand
from tests.browser.tour import V8_JOB

HALF, WHOLE = "The grinder left it ", "The grinder left it so"


def chosen(desk: Desk) -> Desk:
    return desk.tab("Waits for you").choose(V8_JOB, "Main 3, oil clearance")


def test_a_half_written_reason_at_the_desk_outlives_its_browser(shop: Shop, desk: Pocket) -> None:
    page = chosen(Desk(desk.open("/desk")).sign_in()).page
    page.keyboard.press("a")
    page.keyboard.type(HALF)
    Stand(page).drafted(HALF)
    desk.kill()

    lead = chosen(Desk(desk.open("/desk")).back())
    expect(lead.page.get_by_text(f"Half written: “{HALF}”")).to_be_visible()
    lead.page.keyboard.press("a")
    reason = lead.page.get_by_role("textbox", name="because")
    expect(reason).to_have_value(HALF)
    lead.page.keyboard.press("End")
    lead.page.keyboard.type(WHOLE.removeprefix(HALF))
    lead.page.keyboard.press("Enter")
    expect(reason).to_be_hidden()
    expect(lead.strip).to_contain_text("All 1 safe")
    decisions = [entry["body"]["reason"] for entry in shop.entries() if entry["kind"] == "decision"]
    assert decisions[-1] == WHOLE
