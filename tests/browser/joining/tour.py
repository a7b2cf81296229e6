"""A walk past the screens of joining: the door, the app's own, the desk's."""

from collections.abc import Iterator

from playwright.sync_api import Page, expect

from tests.browser.joining.kit import (
    CUT_OFF,
    STAND_9,
    alert,
    code_of,
    come_to,
    device_row,
    join_a_phone,
    join_as,
    trust,
)
from tests.browser.pocket import Pocket
from tests.browser.server import Server


def past_the_door(server: Server, lead: Page, phone: Pocket) -> Iterator[tuple[Page, str]]:
    address = join_a_phone(lead)
    phone.start()
    phone.context.route("**/here.svg*", lambda route: route.abort("namenotresolved"))
    page = come_to(phone, address)
    expect(page.get_by_text("fixed address in the router")).to_be_visible()
    yield page, "door, no name"
    phone.context.unroute("**/here.svg*")
    page.get_by_role("button", name="Look again").tap()
    page.get_by_text("Another device than this?").tap()
    yield page, "door, to trust"
    trust(phone, server)
    page.get_by_role("button", name="Look again").tap()
    expect(page.get_by_role("link", name="Go on", exact=True)).to_be_visible()
    yield page, "door, trusted"


def past_the_way_in(server: Server, lead: Page, phone: Pocket) -> Iterator[tuple[Page, str]]:
    page = phone.open()
    expect(page.get_by_text("This device has not joined the shop")).to_be_visible()
    yield page, "not joined"
    page.get_by_role("link", name="Join the shop").tap()
    expect(page.get_by_role("heading", name="Install the app")).to_be_visible()
    yield page, "join, install"
    page.get_by_role("button", name="Go on in this tab").tap()
    page.get_by_role("button", name="Go on", exact=True).tap()
    expect(alert(page)).to_contain_text("eight signs")
    yield page, "join, code"
    code = code_of(join_a_phone(lead))
    page.get_by_label("The code that the desk shows").fill("0000-0000")
    page.get_by_role("button", name="Go on", exact=True).tap()
    join_as(page, STAND_9)
    expect(alert(page)).to_contain_text("This code or link is wrong")
    yield page, "join, wrong code"
    page = come_to(phone, f"{server.address}/join#{code}")
    expect(page.get_by_text(f"{code[:4]}-{code[4:]}")).to_be_visible()
    page.get_by_role("button", name="Join the shop").tap()
    expect(page.get_by_role("heading", name="Who is at the stand?")).to_be_visible()
    phone.context.route("**/api/v1/**", lambda route: route.fulfill(status=403, json=CUT_OFF))
    page.reload(wait_until="commit")
    expect(page.get_by_role("heading", name="The shop has cut this device off")).to_be_visible()
    yield page, "cut off"


def past_the_desk(server: Server, lead: Page, phone: Pocket) -> Iterator[tuple[Page, str]]:
    code = code_of(join_a_phone(lead))
    yield lead, "desk, join a phone"
    page = come_to(phone, f"{server.address}/join#{code}")
    page.get_by_role("button", name="Go on in this tab").tap()
    join_as(page, STAND_9)
    expect(lead.get_by_text(f"{STAND_9} has joined.")).to_be_visible()
    row = device_row(lead, STAND_9)
    row.locator("summary").click()
    yield lead, "desk, to cut off"
    row.get_by_label("Cut off, because").fill("Left in a taxi")
    row.get_by_role("button", name="Cut it off now").click()
    expect(row).to_contain_text("by Marta V.")
    yield lead, "desk, cut off"
