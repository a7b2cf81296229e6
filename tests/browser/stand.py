"""The mechanic's hands at the stand: what a thumb does, in the words that the screen shows."""

import re
from types import ModuleType

from playwright.sync_api import Locator, Page, expect

from seed_demo.shop import PINS
from standbook.trade.steps import journals, main_bearing_clearance, solid_lash

PAD = {".": "Point", "<": "Delete last digit"}
JONAS, ROSA = "Jonas K.", "Rosa T."
THERMOMETER, STRETCH_GAUGE = "Surface thermometer, TH-01", "Stretch gauge, SG-01"
BORE_GAUGE, MICROMETER = "Bore gauge 2 to 6 in, BG-01", "Micrometer 2 to 3 in, OM-23"
FEELERS = "Feelers 0.004 to 0.035 in, FG-04"
HOUSINGS, JOURNALS = "Main housing bores", "Crank journals"
CLEARANCE, LASH = "Main bearing clearance", "Valve lash, solid lifters"
PART = "Temperature of the part"


def tapped(step: ModuleType) -> str:
    """The caution of a step that wants a tap before the hand acts."""
    line: str = next(caution.line for caution in step.CAUTIONS if caution.level == "tap")
    return line


CAPS, HANDS, HOIST = tapped(main_bearing_clearance), tapped(solid_lash), tapped(journals)
VALVES = 16
#: True when some draft in the phone's storage holds these digits. Read beside the app, over its own connection.
DRAFTED = """(digits) => new Promise((resolve, reject) => {
    const opening = indexedDB.open('standbook')
    opening.onerror = () => reject(opening.error)
    opening.onsuccess = () => {
        const database = opening.result
        const reading = database.transaction('drafts').objectStore('drafts').getAll()
        reading.onsuccess = () => {
            database.close()
            resolve(reading.result.some(({ text }) => JSON.parse(text).text === digits))
        }
    }
})"""


def starts(words: str) -> re.Pattern[str]:
    return re.compile("^" + re.escape(words))


def ends(words: str) -> re.Pattern[str]:
    return re.compile(re.escape(words) + "$")


class Stand:
    """One page of the stand under one hand."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def look(self) -> "Stand":
        """Brings this tab to the front; a browser draws only the one in front."""
        self.page.bring_to_front()
        return self

    # --- finding the way ---------------------------------------------------------------------------------------

    def take(self, person: str) -> "Stand":
        """Says who is at the stand, with the PIN of a person of the demo; the engines come."""
        self.button_of(person).tap()
        self.give_pin(person, "Take the phone")
        expect(self.heading("Engines")).to_be_visible()
        return self

    def button_of(self, person: str) -> Locator:
        return self.page.get_by_role("button", name=starts(person))

    def hand_to(self, person: str) -> "Stand":
        """Hands the phone over: the name at the top, then the next person, who types the PIN."""
        self.page.get_by_role("button", name=starts("At the stand:")).tap()
        self.sheet("Who is at the stand?").get_by_role("button", name=starts(person)).tap()
        self.give_pin(person, "Take the phone")
        expect(self.page.get_by_role("button", name=f"At the stand: {person}")).to_be_visible()
        return self

    def pin_sheet(self, person: str) -> Locator:
        return self.sheet(f"PIN of {person}")

    def type_pin(self, person: str, pin: str, act: str) -> Locator:
        """Types a PIN on the pad of the person's sheet and taps what it is for; gives the sheet."""
        sheet = self.pin_sheet(person)
        for digit in pin:
            sheet.get_by_role("button", name=digit, exact=True).tap()
        sheet.get_by_role("button", name=act, exact=True).tap()
        return sheet

    def give_pin(self, person: str, act: str) -> "Stand":
        """The right PIN, where the person has one; the sheet closes."""
        if person in PINS:
            expect(self.type_pin(person, PINS[person], act)).to_be_hidden()
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
        self.page.get_by_role("link", name="Table", exact=True).tap()
        expect(self.page.get_by_role("region", name="Signature")).to_be_visible()
        return self

    def back(self) -> "Stand":
        self.page.get_by_role("link", name="Back").tap()
        return self

    def back_to(self, title: str) -> "Stand":
        expect(self.page.get_by_role("heading", level=1, name=starts(title))).to_be_visible()
        return self

    def heading(self, words: str) -> Locator:
        return self.page.get_by_role("heading", name=words, exact=True)

    def button(self, words: str) -> Locator:
        return self.page.get_by_role("button", name=words, exact=True)

    # --- the start of a step -----------------------------------------------------------------------------------

    def first_journal(self) -> "Stand":
        """From the engine's page to the first size of the crank, micrometer in hand."""
        self.step(JOURNALS).temperature(HOIST)
        return self.gauge(MICROMETER).at("Main journal 1, front, in line with the throw")

    def temperature(self, caution: str) -> "Stand":
        """What a row of sizes begins with: the thermometer in hand, the caution tapped, the part's temperature."""
        return self.at(PART).gauge(THERMOMETER).checked(caution).press("69").next()

    def first_valve(self) -> "Stand":
        """From the engine's page to the first valve to set, cold, in one turn-through."""
        self.step(LASH).at("Engine cold or hot").checked(HANDS).answer("Cold")
        self.at("Setting order").answer("One valve at a time, in one turn-through").gauge(FEELERS)
        expect(self.page.get_by_text(f"0 of {VALVES} done")).to_be_visible()
        return self

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

    def done(self) -> "Stand":
        """Waits until the last Next is through, kept or not."""
        expect(self.button("Next")).to_have_attribute("aria-disabled", "false")
        return self

    def read(self, place: str, digits: str) -> "Stand":
        """One reading at `place` that nobody asks about: typed, Next, kept."""
        self.at(place).press(digits).next()
        expect(self.kept).to_contain_text(digits)
        return self

    def types(self, digits: str) -> "Stand":
        """What a gauge does that is a keyboard to the phone: digits, Enter; nobody asks about them, they are kept."""
        self.page.keyboard.type(digits + "\n")
        expect(self.kept).to_contain_text(digits)
        return self

    @property
    def kept(self) -> Locator:
        return self.page.get_by_role("status").filter(has_text="Kept")

    def drafted(self, digits: str) -> "Stand":
        """Waits until the half-typed digits are on the phone's disk."""
        self.page.wait_for_function(DRAFTED, arg=digits)
        return self

    @property
    def trouble(self) -> Locator:
        return self.page.get_by_role("alert")

    # --- questions ---------------------------------------------------------------------------------------------

    def sheet(self, title: str) -> Locator:
        return self.page.get_by_role("dialog", name=title, exact=True)

    def found_so(self, note: str) -> "Stand":
        """Keeps what is out, with a note for the lead."""
        asked = self.sheet("Before it is kept")
        asked.get_by_role("button", name="Found so, with a note").tap()
        asked.get_by_role("textbox", name="Note for the lead").fill(note)
        asked.get_by_role("button", name="Keep with note").tap()
        expect(asked).to_be_hidden()
        return self

    # --- signing -----------------------------------------------------------------------------------------------

    def sign(self, note: str, person: str) -> "Stand":
        """From a step with all places filled: the table, a note, the signature with the PIN of who is at the stand."""
        self.page.get_by_role("link", name="See the table and sign").tap()
        self.signature.get_by_role("textbox").fill(note)
        return self.sign_with_pin(person)

    @property
    def signature(self) -> Locator:
        return self.page.get_by_role("region", name="Signature")

    def sign_with_pin(self, person: str) -> "Stand":
        self.signature.get_by_role("button", name="Sign this step", exact=True).tap()
        self.give_pin(person, "Sign this step")
        expect(self.signature).to_contain_text(f"Signed by {person}")
        return self

    def sign_as(self, person: str) -> "Stand":
        """Somebody else signs on this phone, with the own PIN."""
        self.button("Sign as somebody else").tap()
        self.sheet("Who signs?").get_by_role("button", name=starts(person)).tap()
        expect(self.signature).to_contain_text(f"Signed with the name of {person}")
        return self.sign_with_pin(person)

    # --- the strip ---------------------------------------------------------------------------------------------

    @property
    def strip(self) -> Locator:
        return self.page.get_by_role("button", name=starts("At the shop:"))

    def all_safe(self, count: int) -> "Stand":
        """Waits until the strip says that the shop has this phone's entries, and that they are so many."""
        expect(self.strip).to_contain_text(f"All {count} safe")
        return self

    def try_shop(self) -> "Stand":
        """Opens the strip, tries the shop at once, closes it."""
        self.strip.tap()
        sheet = self.sheet("Your work and the shop")
        sheet.get_by_role("button", name=re.compile("^Try the shop")).tap()
        sheet.get_by_role("button", name="Close").tap()
        return self
