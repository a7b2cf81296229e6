"""Two leads at two desks: each is told what the other did meanwhile, and nothing that was typed is lost. Keys alone."""

from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Browsers
from tests.browser.engines import JOB, fresh_v8
from tests.browser.lead import Desk
from tests.browser.pocket import DESK, Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, ROSA, Stand
from tests.browser.tour import V8_JOB
from tests.ledger.pictures import jpeg

SUBJECT = "Main 3, oil clearance"


def both(desk: Pocket, browsers: Browsers) -> tuple[Desk, Desk]:
    return (
        Desk(desk.open("/desk")).sign_in().tab("Waits for you"),
        Desk(browsers("second desk", DESK).open("/desk")).sign_in().tab("Waits for you"),
    )


def because(page: Page) -> Locator:
    return page.get_by_role("textbox", name="because")


def reasons(shop: Shop) -> list[str]:
    return [entry["body"]["reason"] for entry in shop.entries() if entry["kind"] == "decision"]


def test_who_writes_a_decision_is_told_that_another_desk_has_made_it_and_keeps_the_words(
    shop: Shop, desk: Pocket, browsers: Browsers
) -> None:
    shop.sign_in()
    here, there = both(desk, browsers)
    here.choose(V8_JOB, SUBJECT).page.keyboard.press("m")
    expect(because(here.page)).to_be_focused()
    here.page.keyboard.type("the gauge was co")
    there.choose(V8_JOB, SUBJECT).decide("a", "thicker oil for this one")

    told = here.page.get_by_role("alert").filter(has_text="Settled while you were at it")
    expect(told).to_contain_text("by Marta V.")
    expect(told).to_contain_text("thicker oil for this one")
    expect(because(here.page)).to_be_focused()
    here.page.keyboard.type("ld")
    expect(because(here.page)).to_have_value("the gauge was cold")
    before = reasons(shop)
    here.page.keyboard.press("Enter")
    expect(here.page.get_by_role("alert").filter(has_text="This was decided meanwhile")).to_be_visible()
    assert reasons(shop) == before
    here.page.keyboard.press("Enter")
    expect(because(here.page)).to_be_hidden()
    expect(here.strip).to_contain_text("All 1 safe")
    assert reasons(shop) == [*before, "the gauge was cold"]


def test_what_another_desk_decided_may_be_left_and_the_words_stay_a_draft(
    shop: Shop, desk: Pocket, browsers: Browsers
) -> None:
    shop.sign_in()
    here, there = both(desk, browsers)
    here.choose(V8_JOB, SUBJECT).page.keyboard.press("a")
    here.page.keyboard.type("half a reason")
    there.choose(V8_JOB, SUBJECT).decide("a", "thicker oil for this one")
    expect(here.page.get_by_role("alert").filter(has_text="Settled while")).to_be_visible()
    here.page.get_by_role("button", name="Leave it as it stands").press("Enter")
    expect(because(here.page)).to_be_hidden()
    expect(here.waiting(SUBJECT).filter(has_text=V8_JOB)).to_have_count(0)
    Stand(here.page).drafted("half a reason")


def test_two_readings_that_disagree_are_settled_by_saying_which_counts(
    server: Server, shop: Shop, desk: Pocket
) -> None:
    build = fresh_v8(shop)
    other = Shop(server.address)
    other.sign_in()
    for client, person, text in ((shop, JONAS, "2.5498"), (other, ROSA, "2.5478")):
        client.push([client.reading(build, client.people()[person], "journals", "MJ2.F.0", text, "in")])
    lead = Desk(desk.open("/desk")).sign_in().tab("Waits for you").choose(JOB, "two readings disagree")
    item = lead.page.get_by_role("article")
    for words in ("2.5498 in", "2.5478 in", JONAS, ROSA):
        expect(item.get_by_role("region", name="Readings")).to_contain_text(words)
    lead.page.keyboard.press("c")
    expect(because(lead.page)).to_be_focused()
    lead.page.get_by_role("radio", name="2.5498").press(" ")
    because(lead.page).focus()
    lead.page.keyboard.type("the other gauge was never zeroed")
    lead.page.keyboard.press("Enter")
    expect(lead.waiting("two readings disagree").filter(has_text=JOB)).to_have_count(0)
    place = next(
        place
        for group in shop.step(build, "journals")["groups"]
        for place in group["places"]
        if place["id"] == "MJ2.F.0"
    )
    assert place["accepted"]["text"] == "2.5498"
    assert [reading["struck"] for reading in place["readings"]] == [
        None,
        "struck out by Marta V.: the other reading counts: the other gauge was never zeroed",
    ]


# --- limits ----------------------------------------------------------------------------------------------------------


def cards(pocket: Pocket, build: str) -> Page:
    page = pocket.open("/desk")
    Desk(page).sign_in()
    page = pocket.show(f"/desk/build/{build}")
    page.get_by_text("Spec cards: see, add, change").press("Enter")
    expect(page.get_by_role("heading", name="How the limits came to be")).to_be_visible()
    return page


def type_card(page: Page, title: str, low: str, high: str, reason: str) -> None:
    page.get_by_label("Name of the card").fill(title)
    page.get_by_role("textbox", name="Main clearance, from").or_(page.get_by_label("from").first).first.fill(low)
    page.get_by_label(", to").first.fill(high)
    page.get_by_label("Why it is added or changed").fill(reason)


def add(page: Page) -> None:
    page.get_by_role("button", name="Add this card").press("Enter")


def test_a_card_typed_while_another_desk_changed_the_limits_is_kept_and_told(
    shop: Shop, desk: Pocket, browsers: Browsers
) -> None:
    build = fresh_v8(shop)
    here, there = cards(desk, build), cards(browsers("second desk", DESK), build)
    type_card(here, "Housing sheet", "0.0018", "0.0028", "came with the block")
    type_card(there, "Cam sheet", "0.0019", "0.0029", "came with the cam")
    add(there)
    expect(here.get_by_role("heading", name="Cam sheet, version 1")).to_be_visible()
    add(here)
    expect(here.get_by_role("alert").filter(has_text="The limits were changed meanwhile by Marta V.")).to_be_visible()
    expect(here.get_by_label("Name of the card")).to_have_value("Housing sheet")
    add(here)
    for page in (here, there):
        for title in ("Main bearing sheet", "Cam sheet", "Housing sheet"):
            expect(page.get_by_role("heading", name=f"{title}, version 1")).to_be_visible()
        changes = page.get_by_role("list", name="Changes of limits").get_by_role("listitem")
        expect(changes).to_have_count(2)
        expect(changes.first).to_contain_text("spec card: Housing sheet, version 1")
        expect(changes.first).to_contain_text("Before: 0.0019 to 0.0029 in, spec card: Cam sheet, version 1")
        expect(changes.first).to_contain_text("Marta V.")
        expect(changes.first).to_contain_text("came with the block")
    expect(here.get_by_label("Name of the card")).to_have_value("")


def test_a_card_is_changed_into_its_next_version_and_its_picture_stands_beside_the_decision(
    shop: Shop, desk: Pocket
) -> None:
    shop.sign_in()
    build = next(entry["build"] for entry in shop.entries() if entry["body"].get("job") == V8_JOB)
    page = cards(desk, build)
    page.get_by_text("Add a picture of the card").first.press("Enter")
    picture = {"name": "card.jpg", "mimeType": "image/jpeg", "buffer": jpeg(640, 480, (200, 200, 190))}
    page.get_by_label("Choose pictures").first.set_input_files(picture)  # type: ignore[arg-type]
    expect(page.locator(".picture img").first).to_be_visible()

    lead = Desk(page).tab("Waits for you").choose(V8_JOB, SUBJECT)
    value = lead.page.get_by_role("region", name="Value and limit")
    expect(value.get_by_role("heading", name="The card")).to_be_visible()
    expect(value.locator(".picture img")).to_have_count(1)

    page = desk.show(f"/desk/build/{build}")
    page.get_by_text("Spec cards: see, add, change").press("Enter")
    page.get_by_role("button", name="Change Main bearing sheet").press("Enter")
    expect(page.get_by_label("Name of the card")).to_have_value("Main bearing sheet")
    page.get_by_label("Why it is added or changed").fill("the maker's new print")
    page.get_by_label("main clearance, to").fill("0.0010")
    add(page)
    expect(page.get_by_text("main clearance: from is more than to")).to_be_visible()
    page.get_by_label("main clearance, to").fill("0.0040")
    add(page)
    expect(page.get_by_role("heading", name="Main bearing sheet, version 2")).to_be_visible()
    changes = page.get_by_role("list", name="Changes of limits").get_by_role("listitem")
    change = changes.filter(has_text="main clearance")
    expect(change).to_contain_text("0.0020 to 0.0040 in, spec card: Main bearing sheet, version 2")
    expect(change).to_contain_text("0.0020 to 0.0030 in, spec card: Main bearing sheet, version 1")
    clearance = page.get_by_role("row").filter(has_text="main clearance").first
    expect(clearance).to_contain_text("Now: 0.0020 to 0.0040 in, spec card: Main bearing sheet, version 2")
    # It is in the book, and not only on this desk.
    expect(page.locator(".strip")).to_contain_text("All 2 safe")


# --- customers: rows of the server, not of the book ------------------------------------------------------------------


def customer_form(pocket: Pocket) -> Page:
    page = pocket.open("/desk")
    Desk(page).sign_in()
    page = pocket.show("/desk/customers")
    page.get_by_role("list", name="Customers").get_by_role("button", name="Change").press("Enter")
    return page


def test_a_customer_changed_at_another_desk_is_not_written_over_and_what_was_typed_stays(
    shop: Shop, desk: Pocket, browsers: Browsers
) -> None:
    shop.sign_in()
    shop.ask("/customers", "POST", {"name": "Xaverius Quillfeather", "phone": "555-0173"})
    desk.expected.append("412")
    here, there = customer_form(desk), customer_form(browsers("second desk", DESK))
    here.get_by_role("textbox", name="Note").fill("rings twice")
    there.get_by_role("textbox", name="Phone").fill("555-0999")
    there.get_by_role("textbox", name="Phone").press("Enter")
    expect(there.get_by_text("555-0999")).to_be_visible()

    here.get_by_role("button", name="Keep the change").press("Enter")
    told = here.get_by_role("alert").filter(has_text="Somebody else changed this customer meanwhile")
    expect(told).to_be_visible()
    expect(here.locator(".customer-facts")).to_contain_text("555-0999")
    expect(here.get_by_role("textbox", name="Note")).to_have_value("rings twice")
    assert [(one["phone"], one["note"]) for one in shop.ask("/customers")["customers"]] == [("555-0999", None)]
    here.get_by_role("textbox", name="Phone").fill("555-0999")
    here.get_by_role("button", name="Keep the change").press("Enter")
    expect(here.get_by_role("button", name="Change", exact=True)).to_be_visible()
    assert [(one["phone"], one["note"]) for one in shop.ask("/customers")["customers"]] == [("555-0999", "rings twice")]


def person_form(pocket: Pocket) -> Page:
    page = pocket.open("/desk")
    Desk(page).sign_in()
    page = pocket.show("/desk/people")
    page.get_by_role("button", name=f"Change {ROSA}").press("Enter")
    return page


def test_a_person_changed_at_another_desk_is_not_written_over(shop: Shop, desk: Pocket, browsers: Browsers) -> None:
    shop.sign_in()
    desk.expected.append("412")
    here, there = person_form(desk), person_form(browsers("second desk", DESK))
    here.get_by_role("textbox", name="Name", exact=True).fill("Rosa Tern")
    there.get_by_role("textbox", name="Name", exact=True).fill("Rosa T. H.")
    there.get_by_role("textbox", name="Name", exact=True).press("Enter")
    expect(there.get_by_role("heading", name="Rosa T. H.")).to_be_visible()
    here.get_by_role("textbox", name="Name", exact=True).press("Enter")
    expect(here.get_by_role("alert").filter(has_text="Somebody else changed this meanwhile")).to_be_visible()
    expect(here.get_by_role("heading", name="Rosa T. H.")).to_be_visible()
    expect(here.get_by_role("textbox", name="Name", exact=True)).to_have_value("Rosa Tern")
    assert "Rosa T. H." in shop.people()
    here.get_by_role("textbox", name="Name", exact=True).press("Enter")
    expect(here.get_by_role("heading", name="Rosa Tern")).to_be_visible()


# --- who tightened what ----------------------------------------------------------------------------------------------


def test_the_desk_shows_who_tightened_what_with_which_wrench(shop: Shop, desk: Pocket) -> None:
    build = fresh_v8(shop)
    reading = shop.reading(build, shop.people()[JONAS], "main_bearing_clearance", "torque", "70", "lbf*ft")
    shop.push([reading])
    page = desk.open("/desk")
    Desk(page).sign_in()
    page = desk.show(f"/desk/build/{build}")
    page.get_by_text("Who tightened what, with which wrench").press("Enter")
    group = page.locator("section.group", has_text="no wrench named")
    expect(group.get_by_role("heading")).to_have_text(f"{JONAS}, no wrench named")
    expect(group).to_contain_text("Main fastener torque, as the card gives it, 70 ft-lb (94.9 N·m)")


def test_beside_a_bolt_that_waits_stands_how_its_joint_is_tightened_and_how_far_it_is(desk: Pocket) -> None:
    """The demo's V8: the right head stopped in its second pass when bolt 7 creaked."""
    page = Desk(desk.open("/desk")).sign_in().tab("Waits for you").choose("R-117", "bolt 7 creaked").page
    done = page.get_by_role("region", name="Right head")
    expect(done).to_contain_text("pass 1: all 10")
    expect(done).to_contain_text("pass 2: up to bolt 2")
    expect(done).to_contain_text("TW-03")
    how = page.get_by_role("region", name="How it is tightened")
    expect(how).to_contain_text("torque: 65 ft-lb (88.1 N·m)")
    expect(how).to_contain_text("lubricant used: The one that the card names")
    expect(page.get_by_role("region", name="Left head")).to_have_count(0)
