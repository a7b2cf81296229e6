"""Pictures, cleared storage, a file from phone to phone, an entry held back: what a phone goes through and keeps."""

import json
import random
import sqlite3
from contextlib import closing
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import FilePayload, Page, Route, expect

from tests.browser.conftest import Browsers
from tests.browser.engines import JOB, fresh_v8
from tests.browser.lead import Desk
from tests.browser.pocket import PHONE, Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop, assert_whole
from tests.browser.stand import HOIST, JONAS, JOURNALS, MICROMETER, ROSA, Stand, starts

#: Runs inside the page: the browser clears the book's storage, and leaves its own small store.
CLEAR = """async () => {
    const { resolve, promise } = Promise.withResolvers()
    const request = indexedDB.deleteDatabase('standbook')
    request.onsuccess = request.onblocked = resolve
    await promise
}"""


def noise(width: int = 1600, height: int = 1200) -> bytes:
    """A picture that does not pack well, so that it goes in several pieces."""
    random.seed(7)
    image = Image.frombytes("RGB", (width, height), random.randbytes(width * height * 3))
    out = BytesIO()
    image.save(out, "JPEG", quality=90)
    return out.getvalue()


def picture(data: bytes) -> FilePayload:
    return {"name": "picture.jpg", "mimeType": "image/jpeg", "buffer": data}


def at_the_engine(phone: Pocket, shop: Shop) -> Stand:
    fresh_v8(shop)
    stand = Stand(phone.open()).take(JONAS).engine(JOB)
    stand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return stand


def take(page: Page, data: bytes) -> None:
    page.get_by_label("Choose pictures").set_input_files(picture(data))


def photos_of(shop: Shop) -> list[str]:
    return [entry["body"]["photo"]["sha256"] for entry in shop.entries() if entry["kind"] == "photo"]


def test_a_picture_of_the_engine_is_kept_without_the_shop_and_seen_at_the_desk_later(
    server: Server, phone: Pocket, desk: Pocket, shop: Shop
) -> None:
    stand = at_the_engine(phone, shop)
    server.stop()
    take(stand.page, noise(400, 300))
    expect(stand.page.locator(".picture img")).to_have_count(1)
    expect(stand.strip).to_contain_text("1 entry, 1 picture unsent")
    server.start()
    stand.try_shop().all_safe(1)
    page = desk.open("/desk")
    Desk(page).sign_in()
    page.get_by_role("link", name=starts(JOB)).first.click()
    expect(page.locator(".picture img")).to_have_count(1)
    page.locator(".picture").press("Enter")
    large = page.get_by_role("dialog").locator("img")
    expect(large).to_be_visible()
    assert large.evaluate("image => image.naturalWidth") == 400


def test_lg13_a_picture_goes_on_after_a_cut_from_where_the_shop_was(server: Server, phone: Pocket, shop: Shop) -> None:
    stand = at_the_engine(phone, shop)
    sent: list[str] = []
    begun: list[bool] = []

    def cut(route: Route) -> None:
        sent.append(route.request.headers["upload-offset"])
        if len(sent) == 3 and not begun:
            begun.append(True)
            server.kill()
        route.continue_()

    def watch(route: Route) -> None:
        (cut if route.request.method == "PATCH" else Route.continue_)(route)

    phone.context.route("**/api/v1/photos/*", watch)
    take(stand.page, noise())
    while server.up:
        stand.page.wait_for_timeout(50)
    expect(stand.strip).to_contain_text("1 picture unsent")
    server.start()
    (half,) = [file for file in (server.data / "uploads").iterdir() if file.stat().st_size]
    come = half.stat().st_size
    assert come > 0
    sent.clear()
    stand.try_shop().all_safe(1)
    assert int(sent[0]) == come, "nothing that the shop had was sent again"
    (address,) = photos_of(shop)
    assert shop.file(f"/api/v1/photos/{address}")[1]["content-type"] == "image/jpeg"


def test_lg13_a_picture_whose_page_was_killed_before_it_was_entered_is_entered_at_the_next_start(
    phone: Pocket, shop: Shop
) -> None:
    stand = at_the_engine(phone, shop)
    # The page dies between the camera's file on its disk and the entry: nothing can be drawn.
    stand.page.evaluate("() => { window.createImageBitmap = () => new Promise(() => undefined) }")
    take(stand.page, noise(400, 300))
    expect(stand.page.get_by_text("Keeping the picture …")).to_be_visible()
    stand.page.wait_for_timeout(300)
    phone.kill()
    stand = Stand(phone.open())
    stand.page.get_by_role("link", name=starts(JOB)).tap()
    expect(stand.page.locator(".picture img")).to_have_count(1)
    stand.all_safe(1)
    assert len(photos_of(shop)) == 1


def test_a_camera_that_killed_the_page_leaves_the_digits_and_says_where_its_picture_belongs(
    phone: Pocket, shop: Shop
) -> None:
    stand = at_the_engine(phone, shop).first_journal()
    stand.press("2.54").drafted("2.54").table()
    with stand.page.expect_file_chooser():
        stand.page.get_by_role("button", name="Camera").tap()
    stand.page.wait_for_timeout(300)
    address = stand.page.url.removeprefix(phone.address)
    phone.kill()
    stand = Stand(phone.open(address))
    expect(stand.page.get_by_text("The camera closed this page before its picture came.")).to_be_visible()
    stand.back()
    expect(stand.box).to_have_value("2.54")
    stand.page.get_by_role("button", name="Not needed").tap()
    expect(stand.page.get_by_text("The camera closed this page")).to_be_hidden()


def test_lg14_a_phone_whose_storage_was_cleared_gets_the_book_back_and_says_what_is_lost(
    server: Server, phone: Pocket, shop: Shop
) -> None:
    stand = at_the_engine(phone, shop).first_journal()
    stand.read("Main journal 1, front, in line with the throw", "2.5498").try_shop().all_safe(2)
    server.stop()
    stand.read("Main journal 1, front, across the throw", "2.5497")
    stand.read("Main journal 1, rear, in line with the throw", "2.5496")
    expect(stand.strip).to_contain_text("2 unsent")
    phone.close()
    server.start()
    # A page of the same origin that does not open the book. It asks for an icon of its own, which there is none of.
    phone.expected.append("404 (Not Found)")
    page = phone.open("/icons/icon.svg")
    page.evaluate(CLEAR)
    stand = Stand(phone.show()).take(JONAS).engine(JOB)
    expect(stand.page.get_by_text("2 entries (numbers 3 to 4 of 4) had not reached the shop")).to_be_visible()
    stand.page.get_by_role("button", name="I have read it").tap()
    expect(stand.page.get_by_text("had not reached the shop")).to_be_hidden()
    stand.step(JOURNALS).gauge(MICROMETER).checked(HOIST)
    stand.read("Main journal 1, front, across the throw", "2.5497").try_shop().all_safe(1)
    assert_whole(shop.entries())
    (old,) = [device for device in devices(shop) if device["lost"]]
    assert (old["count"], old["lost"]) == (2, 2)


def devices(shop: Shop) -> list[dict[str, object]]:
    shop.sign_in()
    found: list[dict[str, object]] = shop.ask("/devices")["devices"]
    return found


def test_unsent_entries_go_over_by_file_and_arrive_once(
    server: Server, phone: Pocket, browsers: Browsers, shop: Shop, tmp_path: Path
) -> None:
    other = browsers("other", PHONE)
    page = other.open()
    Stand(page).take(ROSA)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    stand = at_the_engine(phone, shop)
    server.stop()
    stand.first_journal().read("Main journal 1, front, in line with the throw", "2.5498")
    stand.strip.tap()
    sheet = stand.sheet("Your work and the shop")
    with stand.page.expect_download() as download:
        sheet.get_by_role("button", name="Write what is unsent to a file").tap()
    expect(sheet.get_by_text("2 entries written to")).to_be_visible()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    sheet.get_by_role("button", name="Close").tap()
    assert json.loads(file.read_text("utf-8"))["standbook"] == "handover"

    bench = Stand(other.show())
    bench.strip.tap()
    sheet = bench.sheet("Your work and the shop")
    sheet.get_by_label("File with unsent entries").set_input_files(file)
    expect(sheet.get_by_text("2 entries taken in")).to_be_visible()
    sheet.get_by_role("button", name="Close").tap()
    expect(bench.strip).to_contain_text("2 of another phone unsent")
    server.start()
    bench.try_shop()
    expect(bench.strip).not_to_contain_text("of another phone")
    stand.try_shop().all_safe(2)
    entries = shop.entries()
    assert_whole(entries)
    assert [entry["body"]["value"]["text"] for entry in entries[-1:]] == ["2.5498"]


def test_a_file_that_is_none_of_ours_is_refused_in_words(phone: Pocket, shop: Shop, tmp_path: Path) -> None:
    stand = at_the_engine(phone, shop)
    stand.strip.tap()
    file = tmp_path / "other.json"
    file.write_text('{"hello": 1}')
    stand.page.get_by_label("File with unsent entries").set_input_files(file)
    expect(stand.page.get_by_role("alert").get_by_text("This is no file that Standbook has written")).to_be_visible()


def call_jonas(server: Server, id: str) -> None:
    """Straight in the server's database: for as long as he has another id, the shop knows nobody with his."""
    with closing(sqlite3.connect(server.data / "standbook.db")) as database:
        database.execute("UPDATE people SET id = ? WHERE name = ?", (id, JONAS))
        database.commit()


def test_lg6_a_held_back_entry_is_dealt_with_on_the_phone_and_leaves_the_desk_too(
    server: Server, phone: Pocket, shop: Shop
) -> None:
    stand = at_the_engine(phone, shop).first_journal()
    stand.read("Main journal 1, front, in line with the throw", "2.5498").all_safe(2)
    call_jonas(server, "somebody-else")
    stand.read("Main journal 1, front, across the throw", "2.5497")
    expect(stand.strip).to_contain_text("1 held back")
    call_jonas(server, "jonas-k")
    stand.strip.tap()
    sheet = stand.sheet("Your work and the shop")
    expect(sheet.get_by_role("region", name="Held back")).to_contain_text("2.5497 in")
    sheet.get_by_text("Deal with it").tap()
    sheet.get_by_label("Left out, because").fill("measured again by Rosa")
    sheet.get_by_role("button", name="Leave it out").tap()
    expect(sheet.get_by_role("region", name="Held back")).to_be_hidden()
    sheet.get_by_role("button", name="Close").tap()
    expect(stand.strip).not_to_contain_text("held back")
    shop.sign_in()
    assert shop.ask("/held") == {"held": [], "conflicts": []}
