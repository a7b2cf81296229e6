"""What the figures touch of the stand beside what the browser tests' `Stand` does: places inside a page.

Words and selectors that change with the screens are here and there, nowhere else.
"""

from itertools import cycle

from playwright.sync_api import Page

from tests.browser.stand import JONAS, Stand, starts

#: An engine of the first screen: what is waited for when the app is to be of use.
ENGINE = 'main a[href^="/build/"]'
#: Where the echo and the verdict of what is typed stand.
VERDICT = "#verdict"
PAD_KEY = ".pad button"
NEXT = "button.next"
#: The brain's mark in the page's timeline: it has answered for the first time.
ANSWERED = "brain answered"
#: The page's database and its table of own entries.
DATABASE, OWN = "standbook", "own"

#: A demo engine with an unfinished row of readings, and readings there that nobody asks about: not one value all along.
JOB, STEP = "H-204", "journals"
MICROMETER = "Micrometer 50 to 75 mm"
GOOD_VALUES = cycle(("49.992", "49.990"))


def be_somebody(page: Page) -> None:
    Stand(page).take(JONAS)
    page.locator(ENGINE).first.wait_for()


def step_path(page: Page) -> str:
    """The path of the row of readings, from the first screen."""
    engine = page.get_by_role("link", name=starts(JOB)).get_attribute("href")
    return f"{engine}/step/{STEP}"


def answer_first_questions(page: Page) -> None:
    """Which gauge, and what to mind before the hand acts: asked once, remembered for the day."""
    pad = page.locator(PAD_KEY).first
    gauge = page.get_by_role("dialog").get_by_role("button", name=starts(MICROMETER))
    checked = page.get_by_role("button", name="Checked", exact=True)
    for question in (gauge, checked):
        question.or_(pad).first.wait_for()
        if question.is_visible():
            question.tap()
    pad.wait_for()
