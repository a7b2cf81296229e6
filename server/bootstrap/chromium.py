"""A Chromium for the browser tests: one found on the machine, else one that Playwright or apt brings."""

import contextlib
import os
import platform
import shutil
from collections.abc import Iterator
from pathlib import Path

from bootstrap import apt
from bootstrap.paths import WINDOWS, venv_python
from bootstrap.tools import Trouble, ask, run

#: Chromium without windows of its own: the same engine, and a fifth of the time to start it.
WINDOWLESS = "chromium-headless-shell"
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
MAC = ("Chromium.app/Contents/MacOS/Chromium", "Google Chrome.app/Contents/MacOS/Google Chrome")
WIN = ("Chromium/Application/chrome.exe", "Google/Chrome/Application/chrome.exe")

ASK_PLAYWRIGHT = """
from playwright.sync_api import sync_playwright
with sync_playwright() as playwright:
    print(playwright.chromium.executable_path)
"""


def get_windowless() -> str:
    """Path of a Chromium for the tests, which nobody watches: one without windows where there is one, else any."""
    if not find_windowless():
        with contextlib.suppress(Trouble):
            windowless_by_apt()
    return find_windowless() or get_chromium()


def get_chromium() -> str:
    """Path of a Chromium that runs; installs one when there is none."""
    for bring in (nothing, by_playwright, by_apt):
        with contextlib.suppress(Trouble):  # the next way may work, and the last word is ours below
            bring()
        found = find_chromium()
        if found:
            return found
    raise Trouble(
        "The browser tests need a Chromium and none could be installed: install Chromium or Google Chrome, "
        "or name its program in STANDBOOK_CHROMIUM, and run the same command again."
    )


def find_windowless() -> str | None:
    """The Chromium somebody has named; else one without windows."""
    wanted = (os.environ.get("STANDBOOK_CHROMIUM", ""), shutil.which(WINDOWLESS) or "")
    return next((program for program in wanted if runs(program)), None)


def find_chromium() -> str | None:
    return next((program for program in candidates() if runs(program)), None)


def candidates() -> Iterator[str]:
    """Where a Chromium may be, cheapest to ask first."""
    yield os.environ.get("STANDBOOK_CHROMIUM", "")
    yield from (shutil.which(name) or "" for name in NAMES)
    yield from (f"/Applications/{name}" for name in MAC)
    for variable in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"):
        yield from (f"{os.environ[variable]}/{name}" for name in WIN if variable in os.environ)
    yield ask([venv_python(), "-c", ASK_PLAYWRIGHT])


def runs(program: str) -> bool:
    """Whether this is a browser and not, say, the shell script that only tells how to install one."""
    if not program or not Path(program).is_file():
        return False
    return WINDOWS or bool(ask([program, "--version"]))  # on Windows `--version` opens a window


def nothing() -> None:
    """The first way of bringing a Chromium: it may be there."""


def by_playwright() -> None:
    run("Fetching a Chromium", [venv_python(), "-m", "playwright", "install", "chromium"])


def by_apt() -> None:
    apt.install("the system's Chromium", "chromium")


def windowless_by_apt() -> None:
    """Of Debian alone: its kin do not have the package, and would be asked for it at every run."""
    with contextlib.suppress(OSError):  # a system that does not say which one it is
        if platform.freedesktop_os_release().get("ID") == "debian":
            apt.install("the system's Chromium without windows", WINDOWLESS)
