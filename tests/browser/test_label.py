"""Labels on engines, and what a shop that is served on one machine alone says of joining."""

from playwright.sync_api import expect

from tests.browser.engines import fresh_v8
from tests.browser.joining.kit import alert, scanned
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand, starts
from tests.browser.tour import V8_JOB


def test_a_camera_reads_from_the_label_the_address_that_opens_the_engine(
    shop: Shop, desk: Pocket, phone: Pocket
) -> None:
    page = desk.open("/desk")
    Desk(page).sign_in()
    page.get_by_role("link", name=starts(V8_JOB)).first.click()
    page.get_by_role("link", name="Label", exact=True).click()
    label = page.get_by_role("figure")
    expect(label).to_contain_text(V8_JOB)
    expect(label).to_contain_text(shop.ask("/shop")["shop"]["name"])
    expect(page.get_by_text("opens on this machine alone")).to_be_visible()
    address = scanned(label.get_by_role("img"))
    assert address.startswith(f"{desk.address}/build/")
    Stand(phone.open()).take(JONAS)
    opened = phone.show(address.removeprefix(phone.address))
    expect(opened.get_by_role("heading", level=1, name=starts(V8_JOB))).to_be_visible()


def test_on_paper_there_is_the_label_and_nothing_else(shop: Shop, desk: Pocket) -> None:
    build = fresh_v8(shop)
    page = desk.open(f"/desk/build/{build}/label")
    Desk(page).sign_in()
    expect(page.get_by_role("figure")).to_be_visible()
    page.emulate_media(media="print", color_scheme="dark")
    shown = page.evaluate("document.body.innerText.trim().split('\\n').map((line) => line.trim()).filter(Boolean)")
    assert shown == page.get_by_role("figure").inner_text().split("\n")
    address = scanned(page.get_by_role("figure").get_by_role("img"))
    assert address.endswith(f"/build/{build}")


def test_where_the_shop_is_on_no_network_the_desk_says_how_it_gets_there(desk: Pocket) -> None:
    desk.expected.append("status of 409")
    page = desk.open("/desk/phones")
    Desk(page).sign_in()
    page.get_by_role("button", name="Join a phone").click()
    expect(alert(page)).to_contain_text("standbook serve")


def test_where_the_shop_is_on_no_network_there_is_nothing_to_join(phone: Pocket) -> None:
    page = phone.open("/join#7K3F9QPM")
    expect(page.get_by_text("nothing to join")).to_be_visible()
    page.get_by_role("link", name="To the engines").tap()
    expect(page.get_by_role("heading", name="Who is at the stand?")).to_be_visible()
