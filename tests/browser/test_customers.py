"""A customer at the desk: added to an engine, erased, and the book whole."""

import os
import subprocess
import sys

from playwright.sync_api import Page, expect

from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.tour import CUSTOMER, V8_JOB, fill_in_a_customer

NAME = CUSTOMER["Name"]
#: Everything that the page's own database holds, as text.
KEPT = """async () => {
    const found = []
    for (const { name } of await indexedDB.databases()) {
        const db = await new Promise((done) => { indexedDB.open(name).onsuccess = (e) => done(e.target.result) })
        for (const store of db.objectStoreNames) {
            const all = db.transaction(store).objectStore(store).getAll()
            found.push(JSON.stringify(await new Promise((done) => { all.onsuccess = () => done(all.result) })))
        }
        db.close()
    }
    return found.join('\\n')
}"""


def wait_until_kept(page: Page, words: str) -> None:
    """A key press is on the disk some milliseconds later."""
    for _ in range(100):
        if words in page.evaluate(KEPT):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{words} was not kept")


def check(server: Server) -> str:
    environment = {**os.environ, "STANDBOOK_DATA": str(server.data)}
    words = [sys.executable, "-m", "standbook", "check"]
    return subprocess.run(words, env=environment, check=True, capture_output=True, text=True).stdout


def build_page(page: Page) -> None:
    Desk(page).tab("Board").page.get_by_role("link", name=V8_JOB).click()
    expect(page.get_by_role("heading", level=1, name=V8_JOB)).to_be_visible()


def test_a_customer_is_added_to_an_engine_erased_and_the_book_is_whole(
    desk: Pocket, shop: Shop, server: Server
) -> None:
    before = shop.entries()
    page = Desk(desk.open("/desk")).sign_in().page
    build_page(page)
    customer = page.get_by_role("region", name="Customer")
    customer.get_by_text("Say whose engine it is").click()
    customer.get_by_role("button", name="Add a customer").click()
    page.get_by_role("textbox", name="Phone").fill("555")
    wait_until_kept(page, "555")
    page.reload()
    customer.get_by_text("Say whose engine it is").click()
    customer.get_by_role("button", name="Add a customer").click()
    expect(page.get_by_role("textbox", name="Phone")).to_have_value("555")
    fill_in_a_customer(page)
    expect(customer.get_by_role("heading", name=f"Customer: {NAME}")).to_be_visible()
    expect(customer.get_by_text(CUSTOMER["Phone"])).to_be_visible()
    page.reload()
    expect(customer.get_by_role("heading", name=f"Customer: {NAME}")).to_be_visible()
    assert NAME not in page.evaluate(KEPT)

    customer.get_by_role("button", name="Erase this customer").click()
    expect(page.get_by_text("Nobody can bring them back")).to_be_visible()
    customer.get_by_role("button", name="Leave it").click()
    customer.get_by_role("button", name="Erase this customer").click()
    customer.get_by_role("button", name="Go on to erase").click()
    desk.expected.append("422")
    customer.get_by_role("textbox", name="because").fill("Mr Quillfeather asked for it")
    customer.get_by_role("button", name="Erase for good").click()
    expect(customer.get_by_role("alert")).to_contain_text("leave name, phone and email out of it")
    customer.get_by_role("textbox", name="because").fill("asked for it in writing")
    customer.get_by_role("button", name="Erase for good").click()
    expect(customer.get_by_role("status")).to_contain_text("Erased. The book is as it was.")
    expect(customer.get_by_role("heading", name="Customer: Erased")).to_be_visible()

    Desk(page).tab("Who came in")
    expect(page.get_by_role("row").filter(has_text="asked for it in writing")).to_contain_text("customer's data erased")
    assert shop.entries() == before
    assert check(server).startswith("The book holds together")


def test_what_is_half_typed_of_an_erased_customer_goes_with_it(desk: Pocket) -> None:
    page = Desk(desk.open("/desk")).sign_in().page
    page.get_by_role("main").get_by_role("link", name="Customers").click()
    page.get_by_role("button", name="Add a customer").click()
    fill_in_a_customer(page)
    card = page.get_by_role("list", name="Customers").get_by_role("listitem")
    card.get_by_role("button", name="Change").click()
    page.get_by_role("textbox", name="Note").fill("half a word of Quillf")
    page.reload()
    card.get_by_role("button", name="Change").click()
    expect(page.get_by_role("textbox", name="Note")).to_have_value("half a word of Quillf")
    assert "half a word" in page.evaluate(KEPT)
    page.reload()
    card.get_by_role("button", name="Erase this customer").click()
    card.get_by_role("button", name="Go on to erase").click()
    card.get_by_role("textbox", name="because").fill("asked for it in writing")
    card.get_by_role("button", name="Erase for good").click()
    expect(card.get_by_role("status")).to_be_visible()
    assert "half a word" not in page.evaluate(KEPT)


def test_signing_out_everywhere_ends_the_other_browser_too(desk: Pocket, shop: Shop) -> None:
    shop.sign_in()
    assert shop.ask("/session")["person"]
    page = Desk(desk.open("/desk")).sign_in().tab("Who came in").page
    expect(page.get_by_role("region", name="Where you are signed in").get_by_role("listitem")).to_have_count(2)
    page.get_by_role("button", name="Sign out everywhere").click()
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    assert shop.ask("/session") == {"person": None}


def test_whose_sign_in_has_ended_by_itself_is_asked_for_it_at_the_next_screen(desk: Pocket, shop: Shop) -> None:
    page = Desk(desk.open("/desk")).sign_in().page
    desk.expected.append("401")
    shop.sign_in()
    shop.ask("/session?everywhere=1", "DELETE")
    Desk(page).tab("Who came in")
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
