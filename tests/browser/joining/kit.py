"""A phone that joins: the desk that lets it in, the door that it comes to, the app's own screen."""

import io
import json
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, Page, Route, expect

from seed_demo.shop import LEAD
from tests.browser.joining.networked import NAME
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.stand import starts

BROWSER = "AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0.0.0 Mobile Safari/537.36"
ANDROID = f"Mozilla/5.0 (Linux; Android 14; K) {BROWSER}"
IN_ANOTHER_APP = f"Mozilla/5.0 (Linux; Android 14; K; wv) {BROWSER}"
IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
    "Version/18.1 Mobile/15E148 Safari/604.1"
)
#: The app on an iPhone's home screen says so.
INSTALLED = "Object.defineProperty(navigator, 'standalone', { get: () => true })"
STAND_9 = "Phone at stand 9"
#: What Chromium says when a certificate was only waved through.
UNTRUSTED = """
navigator.serviceWorker.register = () => Promise.reject(new DOMException(
  'Failed to register a ServiceWorker: An SSL certificate error occurred when fetching the script.', 'SecurityError'))
"""
CUT_OFF = {"error": {"code": "cut_off", "message": "The shop has cut this device off.", "details": {}}}
PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="8" height="8"/>'
#: Chromium's own lines about what a stranger is refused, a certificate that is not there, a name that leads nowhere.
EXPECTED = ("net::ERR_SSL", "net::ERR_NAME_NOT_RESOLVED", "status of 401", "status of 403", "status of 429")


def calls_itself(pocket: Pocket, user_agent: str) -> None:
    """Pages ask `navigator` on what they are open."""
    pocket.scripts.append(f"Object.defineProperty(navigator, 'userAgent', {{ get: () => {json.dumps(user_agent)} }})")
    pocket.expected += EXPECTED


def leads_desk(desk: Pocket, data: Path) -> Page:
    """The desk's page of phones in a browser in which the lead has signed in. `data`: the shop's folder."""
    name, _, password = LEAD
    with closing(sqlite3.connect(data / "standbook.db")) as database:
        ((person,),) = database.execute("select id from people where name = ?", [name]).fetchall()
    desk.expected += EXPECTED
    if desk.running is None:
        desk.start()
    form, headers = {"person": person, "password": password}, {"X-Standbook": "1"}
    answer = desk.context.request.post(f"{desk.address}/api/v1/session", data=form, headers=headers)
    assert answer.ok, answer.text()
    return desk.show("/desk/phones")


def join_a_phone(page: Page) -> str:
    """Makes a code at the desk; gives the address that a camera reads there."""
    page.get_by_role("button", name="Join a phone").click()
    return scanned(page.get_by_role("img", name=starts("QR code")))


def scanned(picture: Locator) -> str:
    """What ZXing reads from a picture as it stands on the screen."""
    expect(picture).to_be_visible()
    (found,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(picture.screenshot())))
    return str(found.text)


def code_of(address: str) -> str:
    """The code behind an address, as it is typed."""
    return address.rpartition("#")[2]


def come_to(phone: Pocket, address: str) -> Page:
    """The page of an address that is not the app's own."""
    if phone.running is None:
        phone.start()
    page = phone.context.pages[0]
    page.goto(address, wait_until="commit")
    return page


def trust(phone: Pocket, server: Server) -> None:
    """From now on the certificate of the shop's name is as good as trusted: its picture comes."""
    phone.context.route(f"https://{NAME}:{server.port}/**", shown)


def shown(route: Route) -> None:
    route.fulfill(body=PICTURE, content_type="image/svg+xml")


def through_the_door(page: Page) -> None:
    page.get_by_role("link", name="Go on", exact=True).tap()
    expect(page.get_by_role("heading", name="Install the app")).to_be_visible()
    page.get_by_role("button", name="Go on in this tab").tap()


def type_code(page: Page, code: str) -> None:
    """On our own pad, sign by sign."""
    for sign in code:
        page.get_by_role("button", name=sign, exact=True).tap()


def join_as(page: Page, name: str) -> None:
    page.get_by_label("What the shop calls this device").fill(name)
    page.get_by_role("button", name="Join the shop").tap()


def device_row(page: Page, name: str) -> Locator:
    rows = page.get_by_role("list", name="Phones and browsers").get_by_role("listitem")
    return rows.filter(has=page.get_by_role("heading", name=name, exact=True))


def alert(page: Page) -> Locator:
    return page.get_by_role("alert").filter(has_text=re.compile(r"\S"))


def joined(lead: Page, phone: Pocket, server: Server) -> Page:
    """A phone that has joined, at its first screen."""
    address = join_a_phone(lead)
    page = come_to(phone, f"{server.address}/join#{code_of(address)}")
    page.get_by_role("button", name="Go on in this tab").tap()
    join_as(page, STAND_9)
    expect(page.get_by_role("heading", name="Who is at the stand?")).to_be_visible()
    return page
