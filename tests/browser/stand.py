"""The mechanic's hands at the stand: what a thumb does, in the words that the screen shows."""

import re
from collections.abc import Iterable

from playwright.sync_api import Locator, Page, expect

PAD = {".": "Point", "<": "Delete last digit"}
#: Both work steps of the phone's story, and the two they follow.
HOUSINGS, JOURNALS = "Main housing bores", "Crank journals"
CLEARANCE, LASH = "Main bearing clearance", "Valve lash, solid lifters"


def starts(words: str) -> re.Pattern[str]:
    return re.compile("^" + re.escape(words))


def ends(words: str) -> re.Pattern[str]:
    return re.compile(re.escape(words) + "$")


class Stand:
    """One page of the stand under one hand."""

    def __init__(self, page: Page) -> None:
        self.page = page

    # --- finding the way ---------------------------------------------------------------------------------------

    def take(self, person: str) -> "Stand":
        """Says who is at the stand; the engines come."""
        self.page.get_by_role("button", name=starts(person)).tap()
        expect(self.heading("Engines")).to_be_visible()
        return self

    def engine(self, job: str) -> "Stand":
        self.page.get_by_role("link", name=starts(job)).tap()
        expect(self.page.get_by_role("heading", level=1, name=starts(job))).to_be_visible()
        return self

    def step(self, title: str) -> "Stand":
        self.page.get_by_role("link", name=starts(title)).tap()
        expect(self.heading(title)).to_be_visible()
        return self

    def table(self) -> "Stand":
        self.page.get_by_role("link", name=re.compile("^(See the )?[Tt]able")).tap()
        expect(self.page.get_by_role("region", name="Signature")).to_be_visible()
        return self

    def heading(self, words: str) -> Locator:
        return self.page.get_by_role("heading", name=words, exact=True)

    def button(self, words: str) -> Locator:
        return self.page.get_by_role("button", name=words, exact=True)

    # --- one place ---------------------------------------------------------------------------------------------

    def at(self, place: str) -> "Stand":
        """Waits until this place is under the hand."""
        expect(self.page.get_by_role("heading", level=2, name=place, exact=True)).to_be_visible()
        return self

    def answer(self, words: str) -> "Stand":
        """Taps a choice, Yes or No."""
        self.button(words).tap()
        return self

    def checked(self, caution: str) -> "Stand":
        """Taps the caution away that stands where the hand is about to act."""
        gate = self.page.get_by_role("region", name="Before you start")
        expect(gate).to_contain_text(caution)
        gate.get_by_role("button", name="Checked").tap()
        expect(gate).to_be_hidden()
        return self

    def gauge(self, name: str) -> "Stand":
        """Answers which gauge is in the hand; the question comes by itself before the first size."""
        sheet = self.sheet("Which gauge is in your hand?")
        sheet.get_by_role("button", name=starts(name)).tap()
        expect(sheet).to_be_hidden()
        return self

    @property
    def box(self) -> Locator:
        return self.page.get_by_role("textbox", name=starts("Value of"))

    def press(self, keys: str) -> "Stand":
        """Taps keys of the pad one by one; "<" deletes."""
        for key in keys:
            self.button(PAD.get(key, key)).tap()
        return self

    def next(self) -> "Stand":
        self.button("Next").tap()
        return self

    def read(self, place: str, digits: str) -> "Stand":
        """One reading at `place` that nobody asks about: typed, Next, kept."""
        self.at(place).press(digits).next()
        expect(self.kept).to_contain_text(digits)
        return self

    @property
    def kept(self) -> Locator:
        return self.page.get_by_role("status").filter(has_text="Kept")

    # --- questions ---------------------------------------------------------------------------------------------

    def sheet(self, title: str) -> Locator:
        return self.page.get_by_role("dialog", name=title, exact=True)

    # --- the strip ---------------------------------------------------------------------------------------------

    @property
    def strip(self) -> Locator:
        return self.page.get_by_role("button", name=starts("At the shop:"))

    def try_shop(self) -> "Stand":
        """Opens the strip, tries the shop at once, closes it."""
        self.strip.tap()
        sheet = self.sheet("Your work and the shop")
        sheet.get_by_role("button", name=re.compile("^Try the shop")).tap()
        sheet.get_by_role("button", name="Close").tap()
        return self


def words_of(texts: Iterable[str]) -> str:
    return ", ".join(texts)
