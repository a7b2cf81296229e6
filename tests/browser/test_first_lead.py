"""A shop's beginning: the link on the server's console makes the shop and its first lead, who stands at the desk."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.browser.pocket import DESK, Pocket
from tests.browser.server import Server
from tests.browser.stand import Stand
from tests.browser.test_accessibility import AXE, THEMES, findings
from tests.browser.views import MEASURE, WIDE, picture, through

PASSWORD = "a long enough password"


class Empty(Server):
    """`standbook serve` on an empty folder, with the link that it prints."""

    link = ""

    def start(self) -> "Empty":
        super().start()
        assert self.process is not None
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.startswith("  First"):
                self.link = line.split()[1]
            if line.startswith("Ctrl+C"):
                break
        return self


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Empty]:
    running = Empty(tmp_path / "data", ("-m", "standbook", "serve", "--only-here"))
    running.start()
    yield running
    running.stop()


@pytest.fixture
def browser(playwright: Playwright, program: str, empty: Empty, tmp_path: Path) -> Iterator[Pocket]:
    pocket = Pocket(playwright, program, tmp_path / "desk", empty.address, DESK)
    # There is no shop to ask, and no code is right twice.
    pocket.expected += ["503", "401"]
    pocket.scripts += [AXE.read_text(encoding="utf-8"), MEASURE]
    yield pocket
    pocket.close()
    assert pocket.unexpected() == []


def type_in(page: Page, password: str = PASSWORD, again: str = PASSWORD) -> None:
    page.get_by_role("textbox", name="Password", exact=True).fill(password)
    page.get_by_role("textbox", name="The same password again").fill(again)
    page.get_by_role("button", name="Open the shop's book").click()


def test_the_link_makes_the_shop_and_ends_on_the_desk(browser: Pocket, empty: Empty) -> None:
    path = empty.link.removeprefix(empty.address)
    page = browser.open(path)
    page.get_by_role("textbox", name="The shop's name").fill("Our Shop")
    page.get_by_role("textbox", name="Your name").fill("Ann O.")
    Stand(page).drafted("Ann O.")
    page.reload()
    expect(page.get_by_role("textbox", name="The shop's name")).to_have_value("Our Shop")
    type_in(page, again="another password")
    expect(page.get_by_role("alert")).to_contain_text("The two passwords are not the same")
    browser.expected.append("422")
    type_in(page, "password123", "password123")
    expect(page.get_by_role("alert")).to_contain_text("anybody tries first")
    type_in(page)
    expect(page.get_by_role("banner").get_by_text("Ann O.")).to_be_visible()
    expect(page.get_by_text("No build is in the book yet.")).to_be_visible()
    assert page.url == f"{empty.address}/desk"

    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("combobox", name="Name").select_option("Ann O.")
    page.get_by_role("textbox", name="Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("banner").get_by_text("Ann O.")).to_be_visible()

    # The link is used up, for this browser and for any other.
    again = browser.open(path)
    for name, text in (("The shop's name", "Another"), ("Your name", "Bo B.")):
        again.get_by_role("textbox", name=name).fill(text)
    type_in(again)
    expect(again.get_by_role("alert")).to_contain_text("wrong, used or expired")


def test_the_screen_fits_every_window_and_axe_finds_nothing(browser: Pocket, empty: Empty) -> None:
    page = browser.open(empty.link.removeprefix(empty.address))
    expect(page.get_by_role("button", name="Open the shop's book")).to_be_visible()
    found = [line for theme in THEMES for line in findings(page, "first lead", theme)]
    for view in through(page, WIDE):
        picture(page, "first lead", view)
        found += [
            f"{view}: {line}"
            for name in ("wide", "cutOff", "outOfReach")
            for line in page.evaluate(f"measured.{name}()")
        ]
    assert not found, "\n".join(found)
    page.goto(f"{empty.address}/first")
    expect(page.get_by_text("This address has been cut short.")).to_be_visible()


def test_a_browser_that_knows_nobody_signs_in_by_the_whole_name(browser: Pocket, empty: Empty) -> None:
    page = browser.open("/desk")
    expect(page.get_by_role("textbox", name="Name")).to_be_visible()
    page.get_by_role("textbox", name="Name").fill("Ann O.")
    page.get_by_role("textbox", name="Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("There is no shop in this book yet")
