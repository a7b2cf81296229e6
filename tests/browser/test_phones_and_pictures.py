"""What the desk sees of phones and their pictures, and what a phone says that is copied, kept back or cut off."""

import shutil
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Locator, Page, Route, expect

from tests.browser.conftest import Browsers
from tests.browser.engines import JOB, fresh_v8
from tests.browser.lead import Desk
from tests.browser.pocket import PHONE, Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop, assert_whole
from tests.browser.stand import JONAS, JOURNALS, Stand, starts
from tests.browser.test_book_that_loses_nothing import at_the_engine, call_jonas, noise, photos_of, take
from tests.browser.tour import V8_JOB, pictures_for_the_lead

FIRST, SECOND, THIRD = (
    "Main journal 1, front, in line with the throw",
    "Main journal 1, front, across the throw",
    "Main journal 1, rear, in line with the throw",
)


def at_the_desk(desk: Pocket, tab: str) -> Page:
    page = desk.open("/desk")
    Desk(page).sign_in().tab(tab)
    return page


def cut_off(phone: Pocket) -> Callable[[], None]:
    """The phone reaches the shop no more; everybody else does. What comes back brings it into reach again."""

    def refuse(route: Route) -> None:
        route.abort("connectionrefused")

    phone.context.route("**/api/**", refuse)
    return lambda: phone.context.unroute("**/api/**", refuse)


def path_of(page: Page, phone: Pocket) -> str:
    return page.url.removeprefix(phone.address)


# --- pictures ----------------------------------------------------------------------------------------------------


def test_a_picture_says_whether_the_shop_has_it(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(phone, shop)
    pictures = stand.page.get_by_role("region", name="Pictures")
    server.stop()
    take(stand.page, noise(400, 300))
    expect(pictures.get_by_text("on this device only", exact=True)).to_be_visible()
    server.start()
    stand.try_shop().all_safe(1)
    expect(pictures.get_by_text("at the shop", exact=True)).to_be_visible()


def test_the_lead_sees_pictures_where_he_decides_walks_them_by_keyboard_and_strikes_one_out(
    desk: Pocket, shop: Shop
) -> None:
    pictures_for_the_lead(shop)
    page = at_the_desk(desk, "Waits for you")
    Desk(page).choose(V8_JOB, "Main 3, oil clearance")
    pictures = page.get_by_role("region", name="Pictures")
    expect(pictures.locator("img")).to_have_count(2)
    pictures.get_by_role("button").first.press("Enter")
    large = page.get_by_role("dialog", name="Main 3 bearing, upright")
    expect(large).to_contain_text(f"{JONAS}, ")
    expect(large).to_contain_text("1 of 2")
    page.keyboard.press("ArrowRight")
    large = page.get_by_role("dialog", name="Picture", exact=True)
    expect(large).to_contain_text("2 of 2")
    large.get_by_text("Strike it out", exact=True).first.press("Enter")
    large.get_by_label("Struck out, because").fill("blurred")
    page.keyboard.press("Enter")
    expect(large).to_be_hidden()
    expect(pictures.get_by_text("struck out", exact=True)).to_be_visible()
    pictures.get_by_role("button", name=starts("Struck out:")).press("Enter")
    expect(page.get_by_role("dialog", name="Picture", exact=True)).to_contain_text("blurred")
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)


# --- files -------------------------------------------------------------------------------------------------------


def test_the_desk_takes_in_the_file_of_a_phone_that_never_comes_back(
    phone: Pocket, desk: Pocket, shop: Shop, tmp_path: Path
) -> None:
    stand = at_the_engine(phone, shop)
    take(stand.page, noise(400, 300))
    stand.all_safe(1)
    cut_off(phone)
    take(stand.page, noise(500, 300))
    expect(stand.strip).to_contain_text("1 entry, 1 picture unsent")
    stand.first_journal().read(FIRST, "2.5498")
    stand.strip.tap()
    with stand.page.expect_download() as download:
        stand.button("Write what is unsent to a file").tap()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    phone.close()

    page = at_the_desk(desk, "Phones")
    page.get_by_label("File with unsent entries").set_input_files(file)
    expect(page.get_by_text("3 entries and 1 picture taken in")).to_be_visible()
    expect(Desk(page).strip).to_contain_text("Nothing of yours yet")
    entries = shop.entries()
    assert_whole(entries)
    assert [entry["body"]["value"]["text"] for entry in entries if entry["place"] == "MJ1.F.0"][-1] == "2.5498"
    assert all(shop.file(f"/api/v1/photos/{address}") for address in photos_of(shop))
    page.get_by_label("File with unsent entries").set_input_files(file)
    expect(Desk(page).strip).to_contain_text("of another phone")
    expect(Desk(page).strip).not_to_contain_text("of another phone")
    assert len(shop.entries()) == len(entries)


# --- the desk's list ---------------------------------------------------------------------------------------------


def test_the_desk_lists_phones_with_what_waits_what_is_lost_and_who_goes_on(shop: Shop, desk: Pocket) -> None:
    build, person = fresh_v8(shop), shop.people()[JONAS]
    old, new = Shop(shop.address), Shop(shop.address)
    two = [old.reading(build, person, "journals", f"MJ1.F.{place}", "2.5498", "in") for place in (0, 1)]
    assert old.send(two, made=5, device_name="Phone at stand 8") == ["stored", "stored"]
    lost = {"device": old.device, "made": 5}
    one = [new.reading(build, person, "journals", "MJ1.R.0", "2.5497", "in")]
    new.send(one, made=2, device_name="Phone at stand 9", replaces=lost)
    page = at_the_desk(desk, "Phones")
    row = page.get_by_role("list", name="Phones and browsers").get_by_role("listitem")
    expect(row.first).to_contain_text("Phone at stand 8")
    expect(row.first).to_contain_text("3 entries (numbers 3 to 5) never came")
    expect(row.first).to_contain_text("It goes on as: Phone at stand 9.")
    expect(row.nth(1)).to_contain_text("1 entry of 2 not here yet at its last contact")


def test_a_phone_is_listed_under_the_name_that_it_was_given(phone: Pocket, desk: Pocket, shop: Shop) -> None:
    stand = at_the_engine(phone, shop)
    stand.strip.tap()
    sheet = stand.sheet("Your work and the shop")
    sheet.get_by_label("Its name in the shop").fill("Phone at the dyno")
    sheet.get_by_role("button", name="Close").tap()
    stand.first_journal().read(FIRST, "2.5498").all_safe(2)
    page = at_the_desk(desk, "Phones")
    expect(named(page, "Phone at the dyno")).to_contain_text("All 2 here.")


def named(page: Page, name: str) -> Locator:
    rows = page.get_by_role("list", name="Phones and browsers").get_by_role("listitem")
    return rows.filter(has=page.get_by_role("heading", name=name, exact=True))


# --- kept back, copied -------------------------------------------------------------------------------------------


def test_lg6_a_held_back_entry_is_entered_again_from_its_sheet(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(phone, shop).first_journal()
    stand.read(FIRST, "2.5498").all_safe(2)
    call_jonas(server, "somebody-else")
    stand.read(SECOND, "2.5497")
    expect(stand.strip).to_contain_text("1 held back")
    call_jonas(server, "jonas-k")
    stand.back().back_to(JOB)
    enter_again(stand, "2.5497", SECOND)
    stand.all_safe(3)
    assert readings_of(shop) == ["2.5498", "2.5497"]
    shop.sign_in()
    assert shop.ask("/held") == {"held": [], "conflicts": []}


def held_back(stand: Stand, digits: str) -> Locator:
    """The sheet's part with the one reading that the shop holds back."""
    expect(stand.strip).to_contain_text("1 held back")
    stand.strip.tap()
    held = stand.sheet("Your work and the shop").get_by_role("region", name="Held back")
    expect(held).to_contain_text(f"A reading: {digits} in")
    expect(held).to_contain_text(f"{JOB} {JOURNALS}")
    return held


def enter_again(stand: Stand, digits: str, place: str) -> None:
    """From the strip: what is held back, its step, the same digits, and done with it."""
    held = held_back(stand, digits)
    held.get_by_text("Deal with it").tap()
    held.get_by_role("link", name="To its step, to enter it again").tap()
    expect(stand.heading(JOURNALS)).to_be_visible()
    stand.read(place, digits).strip.tap()
    held.get_by_text("Deal with it").tap()
    held.get_by_role("button", name="It is entered again").tap()
    expect(held).to_be_hidden()
    stand.button("Close").tap()


def copied(phone: Pocket, browsers: Browsers, shop: Shop) -> Pocket:
    """A copy of a phone with two entries at the shop; the first then makes a third."""
    stand = at_the_engine(phone, shop).first_journal()
    stand.read(FIRST, "2.5498").all_safe(2)
    address = path_of(stand.page, phone)
    phone.close()
    copy = browsers("copy", PHONE)
    shutil.copytree(phone.profile, copy.profile, ignore=shutil.ignore_patterns("Singleton*"), dirs_exist_ok=True)
    stand = Stand(phone.open(address))
    stand.read(SECOND, "2.5497").all_safe(3)
    return copy


def told_of_the_copy(stand: Stand) -> Stand:
    told = stand.page.get_by_text("Another phone works under")
    expect(told).to_be_visible()
    stand.button("I have read it").tap()
    expect(told).to_be_hidden()
    return stand


def test_lg4_a_copied_phone_keeps_what_it_recorded_under_a_number_that_was_taken(
    phone: Pocket, browsers: Browsers, shop: Shop
) -> None:
    copy = copied(phone, browsers, shop)
    copy.start()
    reach = cut_off(copy)
    stand = Stand(copy.show(path_of(phone.context.pages[0], phone)))
    stand.read(SECOND, "2.5496")
    expect(stand.strip).to_contain_text("1 unsent")
    reach()
    told_of_the_copy(stand.try_shop())
    held = held_back(stand, "2.5496")
    held.get_by_text("Deal with it").tap()
    held.get_by_label("Left out, because").fill("the other phone has it")
    held.get_by_role("button", name="Leave it out").tap()
    expect(held).to_be_hidden()
    stand.button("Close").tap()
    expect(stand.strip).to_contain_text("Nothing of yours yet")
    assert_whole(shop.entries())
    assert readings_of(shop) == ["2.5498", "2.5497"]


def test_lg5_a_copied_phone_that_hears_of_it_first_goes_on_under_a_new_identity(
    phone: Pocket, browsers: Browsers, shop: Shop
) -> None:
    stand = Stand(copied(phone, browsers, shop).open())
    told_of_the_copy(stand).engine(JOB).step(JOURNALS)
    stand.read(THIRD, "2.5496").all_safe(1)
    assert_whole(shop.entries())
    assert readings_of(shop) == ["2.5498", "2.5497", "2.5496"]


def readings_of(shop: Shop) -> list[str]:
    """Sizes of crank journals in this story's engine."""
    build = next(entry["build"] for entry in shop.entries() if entry["body"].get("job") == JOB)
    readings = [entry for entry in shop.of_build(build) if entry["step"] == "journals" and entry["kind"] == "reading"]
    return [entry["body"]["value"]["text"] for entry in readings if entry["place"].startswith("MJ")]
