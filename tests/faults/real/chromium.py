"""Pages of a real Chromium as phones, and their deaths: the renderer or the whole browser, killed by the system."""

import os
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from playwright.sync_api import BrowserContext, CDPSession, Error, Page, Playwright

from tests.browser.pocket import AS_ROOT, SWITCHES

#: A renderer that waits for work would be taken for a phone's; nothing here is worth a cache on the disk.
CALM = ("--disable-features=SpareRendererForSitePerProcess,Translate", "--disk-cache-size=1", "--disable-gpu")


PROCESSES = Path("/proc")


class Chromium:
    """One browser process on one profile; phones are told apart by the address that their page comes from."""

    def __init__(self, playwright: Playwright, program: str, profile: Path) -> None:
        self.playwright = playwright
        self.program = program
        self.profile = profile
        self.browser_deaths = 0
        self.pages: dict[str, Page] = {}
        #: The processes that came up with a phone's page.
        self.renderers: dict[str, set[int]] = {}
        #: What was thrown in a page and not caught.
        self.complaints: list[str] = []
        self.context: BrowserContext | None = None
        self.hand: CDPSession | None = None

    def start(self) -> BrowserContext:
        self.context = self.playwright.chromium.launch_persistent_context(
            str(self.profile),
            executable_path=self.program,
            args=[*SWITCHES, *AS_ROOT, *CALM],
            viewport={"width": 390, "height": 844},
        )
        return self.context

    def open(self, name: str, url: str) -> Page:
        context = self.context or self.start()
        before = self.children("renderer")
        page = context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(f"{name}: {error}"))
        page.goto(url, wait_until="commit")
        self.pages[name] = page
        self.renderers[name] = self.children("renderer") - before
        return page

    # Deaths

    def children(self, kind: str) -> set[int]:
        """Numbers of this browser's processes of a kind. `browser`: the one that the others came from."""
        return {int(folder.name) for folder in PROCESSES.iterdir() if folder.name.isdigit() and self._is(folder, kind)}

    def _is(self, folder: Path, kind: str) -> bool:
        try:
            words = (folder / "cmdline").read_bytes().split(b"\0")
        except OSError:
            return False
        if f"--user-data-dir={self.profile}".encode() not in words:
            return False
        said = [word for word in words if word.startswith(b"--type=")]
        return said == [f"--type={kind}".encode()] if kind != "browser" else not said

    def kill(self, kind: str) -> None:
        """Ends all processes of a kind at once."""
        end(self.children(kind))

    def kill_page(self, name: str) -> None:
        end(self.renderers.pop(name))
        self.close_page(name)

    def forget(self) -> None:
        """The pages are dead: what is left of them goes."""
        for name in list(self.pages):
            self.close_page(name)

    def close_page(self, name: str) -> None:
        with_a_grain(self.pages.pop(name).close)

    def close(self) -> None:
        if self.context is not None:
            with_a_grain(self.context.close)
            self.context = self.hand = None
        self.pages.clear()

    # Storage

    def set_quota(self, origin: str, size: int | None) -> None:
        """None: as much room as there is."""
        more = {} if size is None else {"quotaSize": size}
        context = self.context or self.start()
        # The browser keeps to it for as long as whoever has said it is there: a page of nobody's.
        self.hand = self.hand or context.new_cdp_session(context.pages[0])
        self.hand.send("Storage.overrideQuotaForOrigin", {"origin": origin, **more})

    def clear(self, origin: str) -> None:
        """The book's storage alone, as a browser does that runs short of room; its small notes stay."""
        context = self.context or self.start()
        page = context.new_page()
        session = context.new_cdp_session(page)
        session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "indexeddb"})
        page.close()


def end(numbers: set[int]) -> None:
    for number in numbers:
        with suppress(ProcessLookupError):
            os.kill(number, signal.SIGKILL)


def with_a_grain(work: Callable[[], object]) -> None:
    """What is dead cannot be asked to end."""
    with suppress(Error):
        work()
