"""Joining with a real certificate: a Chromium that trusts the shop's authority, and one that only passes over it."""

import os
import re
import ssl
import subprocess
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from cryptography import x509
from playwright.sync_api import Page, expect

from standbook.config import HOST
from standbook.network.addresses import lan_addresses
from standbook.network.authority import CERTIFICATE
from standbook.network.whereabouts import bracketed
from tests.browser.conftest import Browsers
from tests.browser.joining.kit import EXPECTED, STAND_9, come_to, join_a_phone, join_as, leads_desk, through_the_door
from tests.browser.joining.on_tls import NAME
from tests.browser.pocket import DESK, PHONE, Pocket
from tests.browser.server import Server, free_ports
from tests.browser.stand import JONAS, Stand
from tests.browser.tour import V8_JOB
from tests.ledger.pictures import jpeg

CERTUTIL = os.environ.get("STANDBOOK_CERTUTIL", "")
#: Chromium elsewhere trusts what the system trusts, and that is not a test's to change.
trusting = pytest.mark.skipif(not CERTUTIL, reason="there is no certutil, which tells Chromium on Linux whom to trust")


class Certified(Server):
    """Served under its name with the shop's certificate; `here`: this machine's own desk."""

    def __init__(self, data: Path, folder: Path) -> None:
        self.addresses = folder / "addresses"
        self.addresses.write_text(" ".join(lan_addresses()[:1]) or HOST)
        port, self.door, self.here = free_ports(3)
        super().__init__(
            data, ("-m", "tests.browser.joining.on_tls", str(self.addresses), str(self.door), str(self.here))
        )
        self.port = port

    @property
    def address(self) -> str:
        return f"https://{NAME}:{self.port}"

    @property
    def desk(self) -> str:
        return f"http://{HOST}:{self.here}"


@pytest.fixture
def server(data: Path, tmp_path: Path) -> Iterator[Certified]:
    running = Certified(data, tmp_path)
    running.start()
    yield running
    running.stop()


@pytest.fixture
def lead(browsers: Browsers, server: Certified) -> Page:
    desk = browsers("desk", DESK)
    desk.address = server.desk
    return leads_desk(desk, server.data)


@pytest.fixture
def phone(browsers: Browsers) -> Pocket:
    """It finds the shop's name at the address of this machine in its network."""
    made = browsers("phone", PHONE)
    address = next(iter(lan_addresses()), HOST)
    made.switches = (f"--host-resolver-rules=MAP {NAME} {bracketed(address)}",)
    made.expected += EXPECTED
    return made


def trust_authority(phone: Pocket, server: Certified) -> None:
    """As somebody does it in the settings: the authority is taken into the store of the phone's own Chromium."""
    phone.home = phone.profile.with_name("home")
    store = phone.home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for words in (
        ("-N", "--empty-password"),
        ("-A", "-t", "C,,", "-n", "shop", "-i", server.data / "keys" / CERTIFICATE),
    ):
        subprocess.run([CERTUTIL, "-d", f"sql:{store}", *words], check=True, capture_output=True)


def joined_by_camera(lead: Page, phone: Pocket) -> Page:
    """By what the camera reads: the door, its three steps, the app, in."""
    page = come_to(phone, join_a_phone(lead))
    through_the_door(page)
    join_as(page, STAND_9)
    expect(page.get_by_role("heading", name="Who is at the stand?")).to_be_visible()
    return page


def take_a_picture(page: Page) -> None:
    picture = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": jpeg(800, 600, (40, 90, 150))}
    page.get_by_label("Choose pictures").set_input_files(picture)


@trusting
def test_a_phone_that_trusts_the_shop_joins_works_without_it_and_hands_everything_in(
    server: Certified, lead: Page, phone: Pocket
) -> None:
    trust_authority(phone, server)
    page = joined_by_camera(lead, phone)
    assert page.evaluate("navigator.serviceWorker.ready.then(({ active }) => active.state)") == "activated"
    assert page.url.startswith(server.address)
    Stand(page).take(JONAS).engine(V8_JOB)
    server.stop()
    phone.close()
    page = phone.open()
    stand = Stand(page).engine(V8_JOB)
    take_a_picture(page)
    expect(stand.strip).to_contain_text("1 entry, 1 picture unsent")
    server.start()
    stand.try_shop()
    expect(stand.strip).to_contain_text("safe")


def test_where_a_warning_was_only_tapped_away_the_join_page_says_what_is_wrong(
    server: Certified, lead: Page, phone: Pocket
) -> None:
    """Chromium lets the page in, and refuses the worker: the stand would not work without network."""
    phone.heedless = True
    phone.expected += ("ServiceWorker", "certificate error", "error occurred when fetching the script")
    code = join_a_phone(lead).rpartition("#")[2]
    page = come_to(phone, f"{server.address}/join#{code}")
    expect(page.get_by_text(re.compile("This phone does not trust the shop.s certificate yet"))).to_be_visible()
    expect(page.get_by_role("button", name="Join the shop")).to_have_count(0)


@trusting
def test_a_phone_that_joined_by_name_goes_on_when_the_address_has_changed(
    server: Certified, lead: Page, phone: Pocket
) -> None:
    """The certificate is another one, by the same authority; nothing is installed anew, and the book is there."""
    trust_authority(phone, server)
    page = joined_by_camera(lead, phone)
    Stand(page).take(JONAS)
    before = (server.data / "keys" / "server.crt").read_bytes()
    phone.close()
    server.addresses.write_text("192.168.77.5")
    wait_for(server, "192.168.77.5")
    assert (server.data / "keys" / "server.crt").read_bytes() != before
    page = phone.open()
    stand = Stand(page)
    expect(stand.heading("Engines")).to_be_visible()
    stand.engine(V8_JOB)
    take_a_picture(page)
    expect(stand.strip).to_contain_text("safe")
    assert any(device.app_version for device in server.devices().values())


def wait_for(server: Certified, address: str) -> None:
    """Until HTTPS is served with a certificate for the new address."""
    for _ in range(500):
        with suppress(OSError):
            shown = ssl.get_server_certificate((HOST, server.port), timeout=5)
            if address in numbers(x509.load_pem_x509_certificate(shown.encode())):
                return
        time.sleep(0.02)
    raise AssertionError("the certificate was not issued anew")


def numbers(shown: x509.Certificate) -> list[str]:
    names = shown.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return [str(one) for one in names.get_values_for_type(x509.IPAddress)]


def test_where_no_name_resolves_the_door_says_so_before_pairing(lead: Page, phone: Pocket) -> None:
    phone.switches = (f"--host-resolver-rules=MAP {NAME} ~NOTFOUND",)
    page = come_to(phone, join_a_phone(lead))
    expect(page.get_by_text(f"server by its name, {NAME}")).to_be_visible()
    expect(page.get_by_role("link", name="Go on", exact=True)).to_have_count(0)
