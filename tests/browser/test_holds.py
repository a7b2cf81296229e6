"""Hold points: two people sign on one phone without the shop; a lead signs at the desk from afar."""

from playwright.sync_api import Locator, expect

from seed_demo.shop import LEAD
from tests.browser.engines import HOLD_JOB, ready_for_its_first_hold
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, ROSA, Stand, starts

MARTA = LEAD[0]
HOLD, ID = "Hold 1, parts accepted", "parts_accepted"
#: Lines that no step of the book holds, or not as a whole.
LINES = 14


def at_the_hold(phone: Pocket) -> Stand:
    """Jonas has the phone and looks at the Hold; the app works without the shop from here on."""
    stand = Stand(phone.open()).take(JONAS).engine(HOLD_JOB)
    stand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    stand.page.get_by_role("link", name=starts(HOLD)).tap()
    expect(stand.page.get_by_role("heading", level=1, name=HOLD)).to_be_visible()
    return stand


def signatures(stand: Stand) -> Locator:
    return stand.page.get_by_role("region", name="Signatures")


def answer_each(stand: Stand) -> None:
    keys = stand.page.get_by_role("region", name="Lines").get_by_role("button", name="Done", exact=True)
    expect(keys).to_have_count(LINES)
    for key in keys.all():
        key.tap()


def sign(stand: Stand, words: str, person: str) -> None:
    stand.button(f"Sign as {words}").tap()
    stand.sheet(f"Who signs as {words}?").get_by_role("button", name=starts(person)).tap()
    stand.give_pin(person, f"Sign as {words}")
    expect(signatures(stand)).to_contain_text(f"Signed as {words} by {person}")


def test_two_people_sign_on_one_phone_without_the_shop(server: Server, shop: Shop, phone: Pocket) -> None:
    build = ready_for_its_first_hold(shop)
    stand = at_the_hold(phone)
    server.stop()
    expect(signatures(stand)).to_contain_text(f"{LINES} lines above want an answer.")
    answer_each(stand)
    sign(stand, "builder", JONAS)
    stand.page.get_by_role("button", name=f"I have looked at each: as {JONAS} answered").tap()

    stand.button("Sign as lead").tap()
    who = stand.sheet("Who signs as lead?")
    expect(who.get_by_role("button", name=starts(JONAS))).to_have_count(0)
    expect(who.get_by_role("button", name=starts(ROSA))).to_have_count(0)
    expect(who).to_contain_text(f"{JONAS} did work of this Hold himself")
    who.get_by_role("button", name="Close").tap()
    sign(stand, "lead", MARTA)
    expect(stand.page.locator("#main .said", has_text="signed").first).to_have_text("signed")

    server.start()
    stand.try_shop().all_safe(2)
    assert shop.hold(build, ID)["state"] == "signed"
    made = [entry for entry in shop.of_build(build) if entry["kind"] == "hold_signed"]
    people = shop.people()
    assert [(entry["person"], entry["body"]["signs_as"]) for entry in made] == [
        (people[JONAS], "builder"),
        (people[MARTA], "lead"),
    ]
    assert len({entry["device"] for entry in made}) == 1


def test_half_given_answers_are_kept(shop: Shop, phone: Pocket) -> None:
    ready_for_its_first_hold(shop)
    stand = at_the_hold(phone)
    lines = stand.page.get_by_role("region", name="Lines").get_by_role("listitem")
    lines.nth(1).get_by_role("button", name="Not in this job").tap()
    reason = lines.nth(1).get_by_role("textbox", name="Not in this job, because")
    reason.fill("a new blo")
    stand.page.wait_for_function(KEPT)
    phone.kill()
    page = phone.open()
    page.get_by_role("link", name=starts(HOLD_JOB)).tap()
    page.get_by_role("link", name=starts(HOLD)).tap()
    lines = page.get_by_role("region", name="Lines").get_by_role("listitem")
    expect(lines.nth(1).get_by_role("textbox", name="Not in this job, because")).to_have_value("a new blo")


#: True when the half-typed reason is on the phone's disk.
KEPT = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open('standbook')
    opening.onerror = () => reject(opening.error)
    opening.onsuccess = () => {
        const database = opening.result
        const reading = database.transaction('drafts').objectStore('drafts').getAll()
        reading.onsuccess = () => {
            database.close()
            resolve(reading.result.some(({ text }) => text.includes('a new blo')))
        }
    }
})"""


def test_a_lead_signs_at_the_desk_from_afar_and_it_falls_when_something_is_undone(
    shop: Shop, phone: Pocket, desk: Pocket
) -> None:
    build = ready_for_its_first_hold(shop)
    stand = at_the_hold(phone)
    answer_each(stand)
    sign(stand, "builder", JONAS)
    stand.try_shop().all_safe(1)

    lead = Desk(desk.open("/desk")).sign_in().tab("Waits for you")
    wanting = lead.page.get_by_role("region", name="Holds that want a lead")
    wanting.get_by_role("link", name=starts(HOLD)).click()
    expect(lead.page.get_by_role("region", name="Values and pictures")).to_contain_text("Crank journals")
    lead.page.get_by_role("button", name=f"I have looked at each: as {JONAS} answered").click()
    lead.page.get_by_role("button", name="Sign as lead").click()
    sheet = lead.page.get_by_role("dialog", name="Who signs as lead?")
    expect(sheet.get_by_role("button", name="Away from it, from the values and pictures")).to_have_attribute(
        "aria-pressed", "true"
    )
    sheet.get_by_role("button", name=starts(MARTA)).click()
    signed = lead.page.get_by_role("region", name="Signatures")
    expect(signed).to_contain_text(f"Signed as lead by {MARTA}")
    expect(signed).to_contain_text("away from the engine")
    # The desk shows what is on its own disk; the phone can only have what the shop has.
    expect(lead.strip).to_contain_text("All 1 safe")

    stand.try_shop()
    expect(signatures(stand)).to_contain_text(f"Signed as lead by {MARTA}")
    stand.page.get_by_text("Something under it was undone or exchanged").tap()
    stand.page.get_by_role("textbox", name="What, and why").fill("main cap 3 is exchanged")
    stand.button("Open the Hold again").tap()
    expect(stand.page.get_by_role("region", name="Before")).to_contain_text(
        f"Opened again by {JONAS}: main cap 3 is exchanged"
    )
    stand.try_shop().all_safe(2)
    assert shop.hold(build, ID)["state"] == "re-check needed"
