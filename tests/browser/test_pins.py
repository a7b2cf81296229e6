"""PINs at the stand without the shop: misses lock, a lead unlocks, and whose phone it is does not matter."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing

from playwright.sync_api import expect

from seed_demo.shop import LEAD, PINS
from tests.browser.engines import SET_JOB, v8_with_its_lash_set
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, LASH, ROSA, Stand, starts

MARTA = LEAD[0]
WRONG = "958137"
TAKE = "Take the phone"
NEW_PIN = "284067"


def on_the_phone(phone: Pocket) -> Stand:
    """Jonas has the phone; app and engines are on it."""
    page = phone.open()
    stand = Stand(page).take(JONAS)
    expect(page.get_by_role("link", name=starts(SET_JOB))).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return stand


def proofs(server: Server) -> list[tuple[str, int]]:
    """Whose PIN stands under which kind of entry, straight from the database: no route shows it."""
    with closing(sqlite3.connect(f"file:{server.data / 'standbook.db'}?mode=ro", uri=True)) as database:
        query = "select p.person, p.pin_number from pin_proofs p join entries e on e.id = p.entry order by e.seq"
        return database.execute(query).fetchall()


def by_command(server: Server, person: str, pin: str) -> None:
    """A PIN given at the terminal while nobody serves: the phone cannot have been there in between."""
    words = [sys.executable, "-m", "standbook", "pin", person]
    environment = {**os.environ, "STANDBOOK_DATA": str(server.data)}
    subprocess.run(words, env=environment, input=f"{pin}\n", text=True, check=True, capture_output=True)


def test_five_wrong_pins_lock_without_the_shop_and_a_lead_unlocks(server: Server, shop: Shop, phone: Pocket) -> None:
    v8_with_its_lash_set(shop)
    stand = on_the_phone(phone)
    server.stop()

    stand.page.get_by_role("button", name=starts("At the stand:")).tap()
    stand.sheet("Who is at the stand?").get_by_role("button", name=starts(ROSA)).tap()
    for left in ("4 more tries", "3 more tries", "2 more tries", "One more try"):
        expect(stand.type_pin(ROSA, WRONG, TAKE)).to_contain_text(left)
    locked = stand.type_pin(ROSA, WRONG, TAKE)
    expect(locked).to_contain_text(f"Five wrong PINs: {ROSA} is locked on this phone.")

    phone.kill()
    stand = Stand(phone.open())
    stand.page.get_by_role("button", name=starts("At the stand:")).tap()
    stand.sheet("Who is at the stand?").get_by_role("button", name=starts(ROSA)).tap()
    locked = stand.pin_sheet(ROSA)
    expect(locked).to_contain_text("is locked on this phone")
    locked.get_by_role("button", name=f"{MARTA} unlocks").tap()
    stand.type_pin(MARTA, PINS[MARTA], f"Unlock {ROSA}")
    expect(locked.get_by_role("button", name=TAKE)).to_be_visible()
    expect(locked).to_contain_text("No digit yet")
    stand.give_pin(ROSA, TAKE)
    expect(stand.page.get_by_role("button", name=f"At the stand: {ROSA}")).to_be_visible()


def test_a_lead_signs_on_the_builders_phone_without_the_shop_and_it_counts(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    build = v8_with_its_lash_set(shop)
    stand = on_the_phone(phone)
    server.stop()
    stand.engine(SET_JOB).step(LASH)
    stand.page.get_by_role("link", name="See the table and sign").tap()
    stand.sign_as(MARTA)
    expect(stand.page.get_by_role("button", name=f"At the stand: {JONAS}")).to_be_visible()
    expect(stand.strip).to_contain_text("1 unsent")

    server.start()
    stand.try_shop().all_safe(1)
    (signature,) = [entry for entry in shop.of_build(build) if entry["kind"] == "step_signed"]
    people = shop.people()
    assert signature["person"] == people[MARTA]
    assert proofs(server) == [(people[MARTA], 1)]
    assert PINS[MARTA] not in (server.data / "standbook.db").read_bytes().decode("latin-1")


def test_a_lead_gives_a_new_pin_at_the_desk_and_the_phone_takes_it(
    server: Server, shop: Shop, phone: Pocket, desk: Pocket
) -> None:
    v8_with_its_lash_set(shop)
    lead = Desk(desk.open("/desk")).sign_in().tab("People")
    page = lead.page
    people = page.get_by_role("list", name="People")
    expect(people.get_by_role("listitem").filter(has_text=ROSA)).to_contain_text("has a PIN")

    page.get_by_role("textbox", name="Name, as the screens shall say it").fill("Nele S.")
    page.get_by_role("button", name="Take on").click()
    nele = people.get_by_role("listitem").filter(has_text="Nele S.")
    expect(nele).to_contain_text("no PIN yet")
    nele.get_by_role("button", name="Change").click()
    nele.get_by_label("New PIN").fill("123456")
    nele.get_by_role("button", name="Give this PIN").click()
    desk.expected.append("422")
    expect(nele.get_by_role("alert")).to_contain_text("digits that follow each other are guessed at once")
    nele.get_by_label("New PIN").fill(NEW_PIN)
    nele.get_by_role("button", name="Give this PIN").click()
    expect(nele).to_contain_text("Nele S. has the new PIN.")
    expect(nele).to_contain_text("has a PIN")

    stand = Stand(phone.open())
    stand.page.get_by_role("button", name=starts("Nele S.")).tap()
    expect(stand.type_pin("Nele S.", NEW_PIN, TAKE)).to_be_hidden()
    expect(stand.page.get_by_role("button", name="At the stand: Nele S.")).to_be_visible()

    nele.get_by_role("button", name="Nele S. has left the shop").click()
    nele.get_by_role("button", name="Yes, Nele S. has left").click()
    expect(nele).to_have_count(0)


def test_who_signs_is_asked_before_the_shop_takes_what_was_signed_without_a_pin(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    """Somebody signed who had no PIN yet; when it arrives there is one, and the strip says who has to give it."""
    build = v8_with_its_lash_set(shop)
    shop.sign_in()
    new = shop.ask("/people", "POST", {"name": "Nele S.", "role": "builder"})["id"]
    stand = Stand(phone.open()).take("Nele S.").engine(SET_JOB).step(LASH)
    stand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.stop()
    stand.sign("", "Nele S.")
    by_command(server, new, NEW_PIN)
    server.start()
    stand.try_shop()
    expect(stand.strip).to_contain_text("PIN of Nele S. wanted")
    stand.strip.tap()
    stand.button("Nele S. gives the PIN").tap()
    expect(stand.type_pin("Nele S.", NEW_PIN, "Give it to the shop")).to_be_hidden()
    stand.sheet("Your work and the shop").get_by_role("button", name="Close").tap()
    stand.all_safe(1)
    (signature,) = [entry for entry in shop.of_build(build) if entry["kind"] == "step_signed"]
    assert proofs(server) == [(new, 1)]
    assert signature["person"] == new
