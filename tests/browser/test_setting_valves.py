"""Setting valves without the shop: hydraulic preload to its wait, and solid lash with a valve that could not be set."""

import re

import pytest
from playwright.sync_api import expect

from seed_demo import four
from standbook.trade.steps import hydraulic_preload, lash_again
from tests.browser.away import without_the_shop
from tests.browser.engines import JOB, fresh_v8, set_cold
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop, assert_whole
from tests.browser.stand import FEELERS, HANDS, LASH, VALVES, Stand

PRELOAD_JOB, PRELOAD = "T-304", hydraulic_preload.TITLE
#: The four's own order with its cam: 42, 126, 222 … degrees past cylinder 1's firing point, worked by hand.
ORDER = ("EXHAUST 3", "INTAKE 1", "EXHAUST 4", "INTAKE 3", "EXHAUST 2", "INTAKE 4", "EXHAUST 1", "INTAKE 2")
FULL = "Full lifters: wait for them before each turn of the crank?"
STUD = "rocker stud pulled"
STILL = re.compile(r"^Wait (19:\d\d|20:00)$")


def heading(stand: Stand, words: str) -> None:
    expect(stand.page.get_by_role("heading", level=2, name=words, exact=True)).to_be_visible()


def test_full_hydraulic_lifters_are_preloaded_waited_for_and_turned_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    build = shop.open_build(PRELOAD_JOB, "In-line four", four.ENGINE, four.CARD)
    stand = without_the_shop(server, phone, PRELOAD_JOB).step(PRELOAD)
    stand.at("The lifters now").checked(HANDS).answer("Full of oil")
    stand.at("Setting order").checked(FULL).answer("One valve at a time, in one turn-through")
    stand.at("Where the rocker is adjusted").answer("Nut on the rocker stud")
    stand.at("Thread of the adjuster").answer("24 threads per inch")
    stand.at("Zero lash is felt when").answer("Pushrod just stops moving up and down")

    for done, valve in enumerate(ORDER):
        heading(stand, f"Set {valve}")
        expect(stand.page.get_by_text(f"{done} of 8 done")).to_be_visible()
        expect(stand.page.locator(".guide-number")).to_have_text("5/8 turn")
        if valve == "INTAKE 4":
            counted_in_eighths(stand)
        elif done == 1:
            the_first_one_has_not_bled_down(stand, f"Set {valve}")
        else:
            stand.button("Set").tap()

    stand.at("Waited until the lifters have bled down")
    expect(stand.page.get_by_role("timer")).to_have_text(STILL)
    expect(stand.page.get_by_role("region", name="Wait")).to_contain_text("Time by the lifter card.")
    stand.answer("Yes")
    early(stand, "Bled down after 0 of 20 minutes", "Wait")
    stand.at("Waited until the lifters have bled down").answer("Yes")
    early(stand, "Bled down after 0 of 20 minutes", "Found so, keep it")
    stand.at("Turned slowly by hand twice through 720°, no resistance").answer("Yes")
    stand.at("Zero lash felt again on two valves, as set").answer("Yes")
    stand.at("Locks of the adjusters").answer("No locking screw: nuts or screws hold by themselves")
    heading(stand, "All places are filled")
    expect(stand.page.get_by_role("main")).to_contain_text("Bled down after 0 of 20 minutes")

    written = 5 + len(ORDER) + 4
    expect(stand.strip).to_contain_text(f"{written} unsent")
    server.start()
    stand.try_shop()
    stand.all_safe(written)
    assert_whole(shop.entries())
    read = {entry["place"]: entry["body"]["value"] for entry in shop.of_build(build) if entry["kind"] == "reading"}
    assert len(read) == written
    assert (read["3E.turns"], read["4I.turns"]) == (
        {"text": "0.625", "unit": "turn"},
        {"text": "5", "unit": "eighth"},
    )


def the_first_one_has_not_bled_down(stand: Stand, card: str) -> None:
    """The card counts down; who sets the next valve all the same is asked once, and may wait or say that it is so."""
    expect(stand.page.get_by_role("region", name="Wait")).to_contain_text("20 min after EXHAUST 3.")
    stand.button("Set").tap()
    early(stand, "Only 0 of 20 minutes since cylinder 3 exhaust was set", "Wait")
    heading(stand, card)
    stand.button("Set").tap()
    early(stand, "that lifter is full of oil and may still hold its valve open", "Found so, keep it")


def early(stand: Stand, words: str, answer: str) -> None:
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text(words)
    expect(asked.get_by_role("timer")).to_have_text(STILL)
    asked.get_by_role("button", name=answer, exact=True).tap()
    expect(asked).to_be_hidden()


def counted_in_eighths(stand: Stand) -> None:
    """Five eighths typed as five turns: the phone asks, and takes them as eighths once the thumb says so."""
    stand.button("Set to another value").tap()
    stand.at("Cylinder 4 intake, turns").press("5").next()
    asked = stand.sheet("Is that what the gauge said?")
    expect(asked).to_contain_text("Counted in eighths?")
    asked.get_by_role("button", name="5 eighths").tap()
    expect(stand.page.locator("#verdict")).to_contain_text("in")
    stand.next()


@pytest.mark.parametrize(
    "killed",
    [pytest.param(False, id="in one go", marks=pytest.mark.long), pytest.param(True, id="page killed half way")],
)
def test_a_solid_set_keeps_on_its_list_the_valve_that_could_not_be_set(
    server: Server, shop: Shop, phone: Pocket, killed: bool
) -> None:
    fresh_v8(shop)
    stand = without_the_shop(server, phone, JOB).first_valve()
    set_valves(stand, 0, 3)
    could_not = stand.page.locator(".guide-set").inner_text().removeprefix("Set ")
    stand.button("Couldn't").tap()
    sheet = stand.sheet("Couldn't, because …")
    sheet.get_by_role("textbox", name="Another reason").fill(STUD)
    sheet.get_by_role("button", name="Not measured").tap()
    set_valves(stand, 3, 7)
    if killed:
        phone.kill()
        stand = Stand(phone.open()).engine(JOB).step(LASH)
        expect(stand.page.get_by_text(f"7 of {VALVES} done")).to_be_visible()
    the_list_says_why(stand, could_not)
    set_valves(stand, 7, VALVES - 1)
    heading(stand, "Gone through, 1 not set")
    expect(stand.page.locator(".after")).to_have_text(f"Not complete. Could not be set: {could_not}, {STUD}.")
    stand.page.get_by_role("link", name="See the table and sign").tap()
    expect(stand.page.get_by_role("main")).to_contain_text("in work")
    expect(stand.signature).to_contain_text("1 places are still empty")


def set_valves(stand: Stand, first: int, last: int) -> None:
    for done in range(first, last):
        expect(stand.page.get_by_text(f"{done} of {VALVES} done")).to_be_visible()
        stand.button("Set").tap()
    if last < VALVES - 1:
        expect(stand.page.get_by_text(f"{last} of {VALVES} done")).to_be_visible()


def the_list_says_why(stand: Stand, valve: str) -> None:
    stand.page.get_by_text("The order, valve by valve").tap()
    row = stand.page.get_by_role("button", name=re.compile(f"{valve}.*Couldn't: {STUD}"))
    expect(row).to_be_visible()
    stand.page.get_by_text("The order, valve by valve").tap()


def test_lash_found_again_says_at_once_what_a_grown_one_means(server: Server, shop: Shop, phone: Pocket) -> None:
    set_cold(shop, fresh_v8(shop))
    stand = without_the_shop(server, phone, JOB).step(lash_again.TITLE)
    stand.at("Heat cycle 1, engine cold or hot").checked(HANDS).answer("Cold").gauge(FEELERS)
    stand.read("Cylinder 1 intake, found", "0.016")
    stand.at("Cylinder 1 exhaust, found").press("0.024")
    expect(stand.page.locator("#verdict")).to_contain_text("out")
    stand.next()
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text("Grown: wear of lobe, lifter, pushrod end or rocker, or a nut that backs off.")
    expect(asked).to_contain_text("Reject limit -0.005 to 0.005 in")
    stand.found_so("felt twice")
    stand.at("Cylinder 2 intake, found").table()
    expect(stand.page.get_by_role("main")).to_contain_text("On a flat cam its lobe is going: stop")
