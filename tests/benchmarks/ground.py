"""What the figures stand on, made once a run: a server with the demo shop, and a phone's profile with the app
and the bare page installed in it."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.benchmarks import stand
from tests.benchmarks.bare import bare_server
from tests.browser.pocket import PHONE, Pocket
from tests.browser.server import Server

SLOW_DOWN = 4
#: Repetitions of a figure that has no own reason for another number.
TIMES = 9
#: A view is put aside for the next cold start half a second after its last change.
QUIET_MS = 1500
PROBE = Path(__file__).with_name("probe.js").read_text("utf-8")
INSTALLED = "navigator.serviceWorker.ready.then(() => null)"
SERVED = "navigator.serviceWorker.controller !== null"


@dataclass(frozen=True)
class Installed:
    """A profile with both pages; `step` is the address of a row of readings with empty places."""

    profile: Path
    app: str
    bare: str
    step: str


class Ground:
    """`folder`: an empty folder for everything that this run writes. `program`: the Chromium to measure in."""

    def __init__(self, playwright: Playwright, program: str, folder: Path) -> None:
        self.playwright = playwright
        self.program = program
        self.folder = folder
        self.server = Server(folder / "shop")
        self.made: Installed | None = None
        self.copies = 0

    def new_folder(self) -> Path:
        """An empty one."""
        self.copies += 1
        folder = self.folder / f"folder-{self.copies}"
        folder.mkdir()
        return folder

    @contextmanager
    def serving(self) -> Iterator[Server]:
        """The server, stopped again afterwards."""
        self.server.start()
        try:
            yield self.server
        finally:
            self.server.stop()

    @contextmanager
    def browser(self, profile: Path, slow_down: float, script: str = "") -> Iterator[Page]:
        """A new browser process on `profile`, gone at the end: its one page, still empty.

        `script` runs in each document before the document's own: what watches from there misses nothing.
        """
        pocket = Pocket(self.playwright, self.program, profile, "", PHONE)
        pocket.scripts.append(PROBE + script)
        pocket.start()
        try:
            page = pocket.context.pages[0]
            pocket.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slow_down})
            yield page
        finally:
            pocket.close()

    def installed(self) -> Installed:
        """The phone, out of reach of both servers: they are stopped."""
        self.made = self.made or self.install(self.folder / "phone")
        return self.made

    def install(self, profile: Path) -> Installed:
        with self.serving() as server, bare_server() as bare, self.browser(profile, 1) as page:
            step = install_app(page, server.address)
            install_bare(page, bare)
            return Installed(profile, server.address, bare, step)

    @contextmanager
    def phone(self, script: str = "", slow_down: float = SLOW_DOWN) -> Iterator[Page]:
        """A new browser process on a copy of the installed phone, so that no figure meets another's leavings."""
        self.copies += 1
        profile = self.folder / f"copy-{self.copies}"
        shutil.copytree(self.installed().profile, profile, ignore=shutil.ignore_patterns("Singleton*"))
        try:
            with self.browser(profile, slow_down, script) as page:
                yield page
        finally:
            shutil.rmtree(profile, ignore_errors=True)


def install_app(page: Page, address: str) -> str:
    """Opens the app as on a first day at the stand; gives the address of a row of readings, asked about and kept."""
    page.goto(address)
    stand.be_somebody(page)
    page.evaluate(INSTALLED)
    step = address + stand.step_path(page)
    page.goto(step)
    stand.answer_first_questions(page)
    page.wait_for_timeout(QUIET_MS)
    page.goto(address)
    page.locator(stand.ENGINE).first.wait_for()
    page.wait_for_timeout(QUIET_MS)
    assert page.evaluate(SERVED), "the app's service worker does not serve it"
    return step


def install_bare(page: Page, address: str) -> None:
    page.goto(address)
    page.evaluate(INSTALLED)
    page.goto(address)
    assert page.evaluate(SERVED), "the bare page's service worker does not serve it"
