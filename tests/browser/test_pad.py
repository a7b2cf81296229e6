"""A tap on the pad is its key and nothing else: the mouse that browsers play after it would hit what came meanwhile."""

from playwright.sync_api import Page, expect

from tests.browser.away import loaded
from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.stand import Stand

GOOD, DIGIT_MISSING = "2.5499", "2.549"
#: Pointer Events (W3C), section 11: the mouse events that may be fired for a touch for the sake of older pages.
LISTEN = """() => {
    window.heard = []
    for (const type of ['mousedown', 'mouseup', 'click', 'pointerup'])
        addEventListener(type, () => window.heard.push(type), true)
}"""


def heard(page: Page) -> list[str]:
    """What came since the last look."""
    found: list[str] = page.evaluate("() => window.heard.splice(0)")
    return found


def test_a_tap_plays_no_mouse_on_what_opens_under_the_finger(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    loaded(phone, JOB)
    stand = Stand(phone.open()).engine(JOB).first_journal()
    page = stand.page
    page.evaluate(LISTEN)

    stand.press(DIGIT_MISSING).next()
    expect(page.get_by_role("dialog").get_by_role("button", name="No, found so")).to_be_visible()
    assert heard(page) == ["pointerup"] * (len(DIGIT_MISSING) + 1)
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_be_hidden()
    expect(stand.box).to_have_value(DIGIT_MISSING)

    # One that has no finger, a keyboard or a screen reader, presses by the click alone.
    page.keyboard.type(GOOD[-1])
    stand.button("Next").focus()
    page.keyboard.press("Space")
    expect(stand.kept).to_contain_text(GOOD)
    assert "click" in heard(page)


#: The box follows the digits over it this much later (`webclient/src/stand/ValueBox.tsx`); here it never does.
FOLLOWS_NEVER = """() => {
    const wait = window.setTimeout
    window.setTimeout = (act, ms, ...more) => (ms === 60 ? 0 : wait(act, ms, ...more))
}"""


def test_a_gauge_writes_on_after_the_pad_before_the_box_has_followed(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    loaded(phone, JOB)
    stand = Stand(phone.open()).engine(JOB).first_journal()
    stand.page.evaluate(FOLLOWS_NEVER)
    stand.press("2.5")
    expect(stand.page.locator(".digits")).to_have_text("2.5")
    expect(stand.box).to_have_value("")
    stand.page.keyboard.type("4")
    expect(stand.box).to_have_value("2.54")
    stand.page.keyboard.press("Backspace")
    expect(stand.page.locator(".digits")).to_have_text("2.5")
    stand.press("499").next()
    expect(stand.kept).to_contain_text(GOOD)
    expect(stand.page.locator(".digits")).to_have_text("")
