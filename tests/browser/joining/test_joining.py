"""A phone joins the shop: from the code at the desk to the engines, and out again."""

import re
from pathlib import Path
from urllib.parse import urldefrag

from playwright.sync_api import Page, Request, Route, expect

from standbook.network.authority import authority
from tests.browser.joining.kit import (
    CUT_OFF,
    IN_ANOTHER_APP,
    INSTALLED,
    IPHONE,
    STAND_9,
    UNTRUSTED,
    alert,
    calls_itself,
    code_of,
    come_to,
    device_row,
    join_a_phone,
    join_as,
    joined,
    leads_desk,
    through_the_door,
    trust,
    type_code,
)
from tests.browser.joining.networked import NAME
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.stand import JONAS, Stand
from tests.browser.tour import V8_JOB
from tests.ledger.pictures import jpeg

# --- the way in --------------------------------------------------------------------------------------------------


def test_a_phone_joins_by_what_its_camera_reads_and_the_code_travels_only_to_the_shop(
    server: Server, lead: Page, android: Pocket
) -> None:
    address = join_a_phone(lead)
    asked: list[Request] = []
    android.start()
    android.context.on("request", lambda request: asked.insert(0, request))
    page = come_to(android, address)

    expect(page.get_by_text("2. Trust the shop")).to_be_visible()
    expect(page.get_by_role("link", name="Go on", exact=True)).to_have_count(0)
    expect(page.locator(".fingerprint")).to_have_text(lead.locator(".fingerprint").inner_text(), use_inner_text=True)
    ours = authority(server.data / "keys", NAME)
    assert page.locator(".fingerprint").inner_text().split() == groups(ours.fingerprint)
    with page.expect_download() as download:
        page.get_by_role("link", name="Download the certificate").first.tap()
    assert Path(download.value.path()).read_bytes() == ours.der

    trust(android, server)
    page.get_by_role("button", name="Look again").tap()
    through_the_door(page)
    join_as(page, STAND_9)
    expect(page.get_by_role("heading", name="Who is at the stand?")).to_be_visible()
    expect(page.get_by_role("button", name=JONAS)).to_be_visible()
    expect(lead.get_by_text(f"{STAND_9} has joined.")).to_be_visible()
    expect(device_row(lead, STAND_9)).to_contain_text("let in by Marta V.")

    code = code_of(address)
    assert [request.url for request in asked if code in urldefrag(request.url)[0]] == []
    told = [request for request in asked if code in (request.post_data or "")]
    assert [(one.method, one.url) for one in told] == [("POST", f"{server.address}/api/v1/join")]
    assert page.url == f"{server.address}/"


def groups(fingerprint: str) -> list[str]:
    digits = fingerprint.replace(":", "")
    return [digits[at : at + 4] for at in range(0, len(digits), 4)]


def test_where_the_name_leads_nowhere_the_door_says_so_before_anything_is_installed(
    lead: Page, android: Pocket
) -> None:
    address = join_a_phone(lead)

    def elsewhere(route: Route) -> None:
        where = route.fetch().json()
        route.fulfill(json={**where, "name": "nowhere.invalid"})

    android.start()
    android.context.route("**/where", elsewhere)
    page = come_to(android, address)
    expect(page.get_by_text("by its name, nowhere.invalid")).to_be_visible()
    expect(page.get_by_text("fixed address in the router")).to_be_visible()
    expect(page.get_by_text("standbook serve --name")).to_be_visible()
    expect(page.get_by_role("link")).to_have_count(0)

    android.context.unroute("**/where")
    page.get_by_role("button", name="Look again").tap()
    expect(page.get_by_text(f"The name {NAME} leads to the shop.")).to_be_visible()


def test_the_door_says_when_the_shop_does_not_answer_and_when_nothing_has_changed(
    server: Server, lead: Page, android: Pocket
) -> None:
    page = come_to(android, join_a_phone(lead))
    again = page.get_by_role("button", name="Look again")
    again.tap()
    expect(page.get_by_role("status")).to_have_text("Looked again: it is still as it was.")
    server.stop()
    again.tap()
    expect(page.get_by_text("server does not answer.")).to_be_visible()


def test_the_door_notices_a_clock_that_no_certificate_fits(lead: Page, android: Pocket) -> None:
    android.start()
    android.context.clock.set_system_time("2019-05-01T12:00:00")
    page = come_to(android, join_a_phone(lead))
    expect(alert(page)).to_contain_text("clock says Wed May 01 2019")
    expect(alert(page)).to_contain_text("set date and time to automatic")


def test_a_page_inside_another_app_sends_to_the_browser(server: Server, lead: Page, phone: Pocket) -> None:
    calls_itself(phone, IN_ANOTHER_APP)
    address = join_a_phone(lead)
    page = come_to(phone, address)
    expect(page.get_by_text("open inside another app")).to_be_visible()
    expect(page.get_by_role("link")).to_have_count(0)
    page = phone.show(f"/join#{code_of(address)}")
    expect(alert(page)).to_contain_text("open inside another app")
    expect(page.get_by_role("button", name="Join the shop")).to_have_count(0)


# --- iPhone ------------------------------------------------------------------------------------------------------


def test_an_iphone_joins_in_the_installed_app_where_the_code_is_typed(
    server: Server, lead: Page, phone: Pocket
) -> None:
    calls_itself(phone, IPHONE)
    address = join_a_phone(lead)
    page = come_to(phone, address)
    expect(page.get_by_text("Certificate Trust Settings").first).to_be_visible()
    expect(page.get_by_role("link", name="Download the profile").first).not_to_have_attribute("download", "x")
    assert page.get_by_role("link", name="Download the profile").first.get_attribute("download") is None

    code = code_of(address)
    page = phone.show(f"/join#{code}")
    expect(page.get_by_role("heading", name="First put the app on the home screen")).to_be_visible()
    expect(page.get_by_text(f"{code[:4]}-{code[4:]}", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="Join the shop")).to_have_count(0)
    phone.close()

    phone.scripts.append(INSTALLED)
    phone.profile = phone.profile.with_name("installed")
    page = phone.open()
    page.get_by_role("link", name="Join the shop").tap()
    type_code(page, code)
    expect(page.get_by_label("The code that the desk shows")).to_have_value(f"{code[:4]}-{code[4:]}")
    page.get_by_role("button", name="Go on", exact=True).tap()
    join_as(page, STAND_9)
    expect(page.get_by_role("button", name=JONAS)).to_be_visible()


# --- what goes wrong ---------------------------------------------------------------------------------------------


def test_a_wrong_code_stays_on_the_screen_and_through_a_reload_and_can_be_changed(
    server: Server, lead: Page, android: Pocket
) -> None:
    code = code_of(join_a_phone(lead))
    wrong = code[:7] + ("2" if code[7] != "2" else "3")
    page = come_to(android, f"{server.address}/join#{wrong}")
    page.get_by_role("button", name="Go on in this tab").tap()
    join_as(page, STAND_9)
    expect(alert(page)).to_contain_text("This code or link is wrong, used or expired")
    expect(page.get_by_text(f"{wrong[:4]}-{wrong[4:]}")).to_be_visible()
    page.reload(wait_until="commit")
    page.get_by_role("button", name="Go on in this tab").tap()
    expect(page.get_by_label("What the shop calls this device")).to_have_value(STAND_9)
    page.get_by_role("button", name="Change the code").tap()
    page.get_by_role("button", name="Delete the last sign").tap()
    page.get_by_role("button", name="Go on", exact=True).tap()
    expect(alert(page)).to_contain_text("eight signs")
    type_code(page, code[7])
    page.get_by_role("button", name="Go on", exact=True).tap()
    page.get_by_role("button", name="Join the shop").tap()
    expect(page.get_by_role("button", name=JONAS)).to_be_visible()


def test_after_too_many_wrong_codes_the_phone_says_how_long_it_has_to_wait(server: Server, android: Pocket) -> None:
    page = come_to(android, f"{server.address}/join#00000000")
    page.get_by_role("button", name="Go on in this tab").tap()
    page.get_by_label("What the shop calls this device").fill(STAND_9)
    key = page.get_by_role("button", name="Join the shop")
    for _ in range(20):
        with page.expect_response("**/api/v1/join") as answer:
            key.tap()
        if answer.value.status == 429:
            break
    expect(alert(page)).to_contain_text("Too many wrong codes. Wait")
    expect(page.get_by_text("It can be tried again in")).to_be_visible()
    expect(key).to_have_attribute("aria-disabled", "true")
    expect(page.get_by_text("0000-0000")).to_be_visible()


def test_a_certificate_that_was_only_waved_through_is_named_as_what_it_is(server: Server, android: Pocket) -> None:
    android.scripts.append(UNTRUSTED)
    page = come_to(android, f"{server.address}/join#7K3F9QPM")
    expect(alert(page)).to_contain_text("This phone does not trust the shop")
    expect(alert(page)).to_contain_text("Scan the QR code at the desk again")
    expect(page.get_by_role("button", name="Join the shop")).to_have_count(0)


def test_a_shop_out_of_reach_costs_no_code(server: Server, lead: Page, android: Pocket) -> None:
    code = code_of(join_a_phone(lead))
    page = come_to(android, f"{server.address}/join#{code}")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.get_by_role("button", name="Go on in this tab").tap()
    server.stop()
    join_as(page, STAND_9)
    expect(alert(page)).to_contain_text("does not answer")
    server.start()
    page.get_by_role("button", name="Join the shop").tap()
    expect(page.get_by_role("button", name=JONAS)).to_be_visible()


# --- strangers and the cut off -----------------------------------------------------------------------------------


def test_a_phone_that_has_not_joined_is_shown_the_way(android: Pocket) -> None:
    page = android.open()
    expect(page.get_by_text("This device has not joined the shop")).to_be_visible()
    page.get_by_role("link", name="Join the shop").tap()
    expect(page.get_by_role("heading", name="Join the shop")).to_be_visible()
    expect(page.get_by_text("This device has not joined the shop")).to_have_count(0)


def test_a_lead_cuts_a_phone_off_with_a_reason_and_the_list_says_so(
    server: Server, lead: Page, android: Pocket
) -> None:
    page = joined(lead, android, server)
    row = device_row(lead, STAND_9)
    row.locator("summary").click()
    expect(row).to_contain_text("What it has not sent can still be handed in by file")
    row.get_by_role("button", name="Cut it off now").click()
    expect(row.get_by_role("alert")).to_contain_text("wants its reason")
    row.get_by_label("Cut off, because").fill("Left in a taxi")
    row.get_by_role("button", name="Cut it off now").click()
    expect(row).to_contain_text("by Marta V.")
    expect(row.locator("summary")).to_have_count(0)
    Stand(page).strip.tap()
    page.get_by_role("button", name="Try the shop now").tap()
    expect(page.get_by_role("heading", name="The shop has cut this device off")).to_be_visible()
    assert page.evaluate("fetch('/api/v1/shop').then((answer) => answer.status)") in (401, 403)


def test_a_phone_that_was_cut_off_hands_in_by_file_what_lies_on_it_only(
    server: Server, lead: Page, android: Pocket, tmp_path: Path
) -> None:
    page = joined(lead, android, server)
    stand = Stand(page).take(JONAS).engine(V8_JOB)
    android.context.route("**/api/**", lambda route: route.abort("connectionrefused"))
    page.get_by_label("Choose pictures").set_input_files(
        {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": jpeg(800, 600, (40, 90, 150))}
    )
    expect(stand.strip).to_contain_text("1 entry, 1 picture unsent")
    # In the way that was asked last, so that no try of the phone's own slips through between.
    for part in ("sync", "devices"):
        android.context.route(f"**/api/v1/{part}/**", lambda route: route.fulfill(status=403, json=CUT_OFF))
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.get_by_role("heading", name="The shop has cut this device off")).to_be_visible()
    expect(page.get_by_text("Here only: 1 entry and 1 picture.")).to_be_visible()
    with page.expect_download() as download:
        page.get_by_role("button", name="Write what is unsent to a file").tap()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    lead.get_by_label("File with unsent entries").set_input_files(file)
    expect(lead.get_by_text("1 entry and 1 picture taken in")).to_be_visible()


# --- the desk ----------------------------------------------------------------------------------------------------


def test_a_code_that_has_run_out_makes_room_for_a_new_one_by_itself(desk: Pocket, server: Server) -> None:
    desk.start()
    desk.context.clock.install()
    page = leads_desk(desk, server.data)
    join_a_phone(page)
    code = page.locator(".code-shown")
    first = code.inner_text()
    page.clock.fast_forward("09:00")
    expect(page.get_by_text("Good for one phone")).to_contain_text(re.compile(r"for 0:\d\d more"))
    expect(code).to_have_text(first)
    page.clock.fast_forward("01:01")
    expect(code).not_to_have_text(first)
    expect(page.get_by_text("Good for one phone")).to_contain_text(re.compile(r"for (9:\d\d|10:00) more"))
