"""A browser of somebody: a profile folder that outlives its browser process, and an ear for what goes wrong in it."""

import os
import shutil
import signal
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Playwright, WebError

SWITCHES = (
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # There is no graphics card to be had: to act one in software takes a tenth of the time of all stories.
    "--disable-gpu",
)
#: Chromium as root wants to be told that it has no sandbox.
AS_ROOT = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
#: Chromium itself, not the app, puts failed requests on the console. A phone without its shop has these by nature.
OUT_OF_REACH = ("net::ERR_CONNECTION_REFUSED", "net::ERR_CONNECTION_RESET", "net::ERR_EMPTY_RESPONSE")
#: Each step of a test waits for a state; a state that does not come within this has failed.
PATIENCE_MS = 15_000.0
SHOWN = "document.body?.innerText ?? ''"


class Screen(NamedTuple):
    """A window as somebody holds or sits at it, in CSS pixels."""

    width: int
    height: int
    touch: bool


PHONE = Screen(390, 844, touch=True)
SMALL_PHONE = Screen(360, 640, touch=True)
DESK = Screen(1440, 900, touch=False)


class Pocket:
    """One browser profile. `open` starts a browser process on it, `close` ends it; then `open` starts a new one."""

    def __init__(self, playwright: Playwright, program: str, profile: Path, address: str, screen: Screen) -> None:
        self.playwright = playwright
        self.program = program
        self.profile = profile
        self.address = address
        self.screen = screen
        self.scripts: list[str] = []
        #: More words for the browser; the folder in which it looks whom to trust; whether it passes over what is wrong
        #: with a certificate, as somebody does who taps a warning away.
        self.switches: tuple[str, ...] = ()
        self.home: Path | None = None
        self.heedless = False
        #: The profile that it begins with, where it is not a new one.
        self.before: Path | None = None
        self.running: BrowserContext | None = None
        #: What the console said of errors and warnings, and what was thrown and not caught.
        self.complaints: list[str] = []
        #: Complaints that a test brings about on purpose: a part of their text.
        self.expected: list[str] = []

    @property
    def context(self) -> BrowserContext:
        assert self.running is not None, "this browser is closed"
        return self.running

    def open(self, path: str = "/") -> Page:
        """The page at `path`: of a new browser process when none runs, else in another tab of the running one."""
        if self.running is None:
            self.start()
            return self.show(path)
        page = self.context.new_page()
        page.goto(self.address + path, wait_until="commit")
        return page

    def show(self, path: str = "/") -> Page:
        """The page at `path` in the first tab."""
        page = self.context.pages[0]
        page.goto(self.address + path, wait_until="commit")
        return page

    def start(self) -> None:
        if self.before is not None and not self.profile.exists():
            shutil.copytree(self.before, self.profile)
        size = {"width": self.screen.width, "height": self.screen.height}
        self.running = self.playwright.chromium.launch_persistent_context(
            str(self.profile),
            executable_path=self.program,
            args=[*SWITCHES, *AS_ROOT, *self.switches],
            env={**os.environ, "HOME": str(self.home)} if self.home else None,
            ignore_https_errors=self.heedless,
            viewport=size,
            screen=size,
            has_touch=self.screen.touch,
            is_mobile=self.screen.touch,
            device_scale_factor=2 if self.screen.touch else 1,
            # Nobody waits for a colour to fade: what is measured stands still.
            reduced_motion="reduce",
        )
        self.context.set_default_timeout(PATIENCE_MS)
        for script in self.scripts:
            self.context.add_init_script(script)
        self.context.on("console", self.hear)
        self.context.on("weberror", self.catch)

    def close(self) -> None:
        if self.running is not None:
            self.running.close()
            self.running = None

    def kill(self) -> None:
        """As an empty battery ends it: the browser process gets no word in."""
        browser = self.context.browser
        assert browser is not None
        told = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
        pid = next(process["id"] for process in told["processInfo"] if process["type"] == "browser")
        with self.context.expect_event("close"):
            os.kill(pid, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
        self.running = None

    def screens(self) -> list[str]:
        """What each open tab shows, in words: what somebody wants to know of a story that failed."""
        pages = self.running.pages if self.running else []
        return [f"{self.profile.name} at {page.url}:\n{page.evaluate(SHOWN)}" for page in pages]

    def hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(f"{message.type}: {message.text}")

    def catch(self, error: WebError) -> None:
        self.complaints.append(f"not caught: {error.error}")

    def unexpected(self) -> list[str]:
        known = (*OUT_OF_REACH, *self.expected)
        return [complaint for complaint in self.complaints if not any(part in complaint for part in known)]
