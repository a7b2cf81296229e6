"""A joint under the mechanic's hands: the questions before it, the passes, the second person."""

from collections.abc import Iterator

from playwright.sync_api import Locator, Page, expect

from standbook.trade.steps import head_bolts
from tests.browser.stand import JONAS, ROSA, Stand, starts

HEAD_BOLTS = "Head bolts"
WRENCH = "Torque wrench 20 to 100 ft-lb, TW-03"
#: Questions that a key answers, and the answer.
KEYS = (
    ("Tightened by", "Torque"),
    ("The fasteners", "Used again, the card allows it"),
    ("Head gasket", "Layers of steel"),
)
CAUTIONS = [caution.line for caution in head_bolts.CAUTIONS if caution.level == "tap"]
CARD, OIL = "Head card, page 2", "engine oil, 30 weight"
#: The crow-foot of the trade reference's worked example: 65 ft-lb are 58.5 on the wrench.
TORQUE, ON_THE_WRENCH = "65", "58.5"
ADAPTER = (
    ("Wrench, drive centre to hand centre", "18"),
    ("Adapter, drive centre to fastener centre", "2"),
    ("Angle between adapter and wrench", "0"),
)


class JointStand(Stand):
    """The stand while a joint is tightened."""

    def set_up(self) -> "JointStand":
        """All that is asked before the wrench: plain torque, by the card, with a crow-foot straight out."""
        for question, words in KEYS:
            self.at(question).answer(words)
        self.at("Torque of the card, the snug torque where an angle follows").press(TORQUE).next()
        self.write("Where the setting comes from: card and page, or the lead", CARD)
        self.write("Lubricant as the card names it", OIL)
        self.at("Lubricant on threads and under the heads").answer("The one that the card names")
        self.at("Adapter on the wrench").answer("Crow-foot or other offset")
        for question, digits in ADAPTER:
            self.at(question).press(digits).next()
        self.at("Torque wrench")
        return self

    def take_wrench(self) -> "JointStand":
        self.page.get_by_role("button", name=starts(WRENCH)).tap()
        return self

    def write(self, question: str, words: str) -> None:
        self.at(question).page.get_by_role("textbox", name=question).fill(words)
        self.next()

    def standing_at(self, title: str) -> "JointStand":
        """Waits until this act is in sight."""
        expect(self.heading(title)).to_be_visible()
        return self

    def ready(self, *cautions: str) -> "JointStand":
        """Taps the cautions away that stand before the first pull, one after the other."""
        gate = self.page.get_by_role("region", name="Before you start")
        for caution in cautions:
            expect(gate).to_contain_text(caution)
            gate.get_by_role("button", name="Checked").tap()
        expect(gate).to_be_hidden()
        return self

    @property
    def setting(self) -> Locator:
        return self.page.locator(".joint-number")

    @property
    def plan(self) -> Locator:
        return self.page.get_by_role("img", name=starts("Left head, front to the left"))

    def close_pass(self, number: int) -> "JointStand":
        self.standing_at(f"Pass {number} of 3").button(f"Pass {number} done, all 10").tap()
        return self

    def felt(self, fastener: str, what: str) -> "JointStand":
        self.button("Something felt wrong").tap()
        sheet = self.sheet("Something felt wrong")
        sheet.get_by_role("button", name=fastener, exact=True).tap()
        sheet.get_by_role("button", name=what, exact=True).tap()
        return self


def past_a_joint(page: Page) -> Iterator[str]:
    """Names each screen of a joint while it stands there, from the engine's page to a head that was checked."""
    stand = JointStand(page)
    stand.step(HEAD_BOLTS)
    stand.at("Tightened by")
    yield "joint, first question"
    stand.set_up()
    yield "joint, wrench"
    stand.take_wrench().standing_at("Pass 1 of 3")
    yield "joint, caution"
    stand.ready(*CAUTIONS)
    yield "joint, pass"
    stand.close_pass(1).standing_at("Pass 2 of 3").button("Bolt 3 tight").tap()
    stand.button("Something felt wrong").tap()
    sheet = stand.sheet("Something felt wrong")
    expect(sheet).to_be_visible()
    yield "joint, which fastener"
    sheet.get_by_role("button", name="8", exact=True).tap()
    yield "joint, what it did"
    sheet.get_by_role("button", name="It kept turning", exact=True).tap()
    stand.standing_at("Bolt 8 kept turning")
    yield "joint, a bolt that kept turning"
    stand.button("Replaced by a new one").tap()
    stand.close_pass(2).close_pass(3).standing_at("The second person")
    yield "joint, another hand"
    stand.button("Hand the phone over").tap()
    stand.sheet("Who is at the stand?").get_by_role("button", name=ROSA).tap()
    stand.give_pin(ROSA, "Take the phone")
    yield "joint, second person"
    stand.button("Every one clicked and none moved").tap()
    stand.standing_at("Pass 1 of 3").page.get_by_role("button", name="Left head").tap()
    expect(page.get_by_text(f"Tightened by {JONAS}", exact=True)).to_be_visible()
    page.get_by_text("How it is tightened", exact=True).tap()
    yield "joint, checked"
