"""The lead at the desk: signed in, keyboard first."""

from playwright.sync_api import Locator, Page, expect

from seed_demo.shop import LEAD
from standbook.api.who import COOKIE
from tests.browser.stand import starts

#: More items than any story lets wait.
MANY = 60


class Desk:
    """One page of the desk."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def sign_in(self) -> "Desk":
        """By keyboard alone: the list of leads has one name, the password follows it."""
        _, _, password = LEAD
        self.page.get_by_role("combobox", name="Name").focus()
        self.page.keyboard.press("Tab")
        self.page.keyboard.type(password)
        self.page.keyboard.press("Enter")
        return self.signed_in()

    def back(self) -> "Desk":
        """Again at the desk after its browser died: still signed in where Chromium had put the cookie on disk."""
        kept = any(cookie["name"] == COOKIE for cookie in self.page.context.cookies())
        return self.signed_in() if kept else self.sign_in()

    def signed_in(self) -> "Desk":
        expect(self.page.get_by_role("banner").get_by_text(LEAD[0])).to_be_visible()
        return self

    def tab(self, words: str) -> "Desk":
        self.page.get_by_role("navigation", name="Desk").get_by_role("link", name=starts(words)).click()
        return self

    @property
    def strip(self) -> Locator:
        return self.page.get_by_role("button", name=starts("At the shop:"))

    # --- review --------------------------------------------------------------------------------------------------

    @property
    def current(self) -> Locator:
        """The chosen item of the list of what waits."""
        return self.page.locator(".review-list [aria-current=true]")

    def waiting(self, words: str) -> Locator:
        items = self.page.get_by_role("list", name="Waiting, worst first").get_by_role("button")
        return items.filter(has_text=words)

    def choose(self, job: str, words: str) -> "Desk":
        """Walks down the list with `j` to the item of this job that says `words`."""
        wanted = self.waiting(words).filter(has_text=job)
        expect(wanted).to_have_count(1)
        for _ in range(MANY):
            if wanted.get_attribute("aria-current") == "true":
                break
            before = self.current.inner_text()
            self.page.keyboard.press("j")
            expect(self.current).not_to_have_text(before, use_inner_text=True)
        expect(self.page.get_by_role("article")).to_have_attribute("aria-label", self.spoken(wanted))
        return self

    def spoken(self, item: Locator) -> str:
        return item.locator(".wait-words").inner_text()

    def decide(self, key: str, reason: str) -> "Desk":
        """The verb's key, the reason, Enter."""
        self.page.keyboard.press(key)
        expect(self.page.get_by_role("textbox", name="because")).to_be_focused()
        self.page.keyboard.type(reason)
        self.page.keyboard.press("Enter")
        expect(self.page.get_by_role("textbox", name="because")).to_be_hidden()
        return self
