"""Server, phone and desk for the stories."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Generator, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from bootstrap.chromium import find_chromium, find_windowless
from tests.browser.pocket import DESK, PATIENCE_MS, PHONE, Pocket, Screen
from tests.browser.server import Server
from tests.browser.shop import Shop

Browsers = Callable[[str, Screen], Pocket]


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="package")
def program() -> str:
    found = find_windowless() or find_chromium()
    assert found, "There is no Chromium: `python3 tests` brings one."
    return found


@pytest.fixture(scope="package")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop's data folder, made once; each story works on its own copy."""
    folder = tmp_path_factory.mktemp("shop") / "data"
    environment = {**os.environ, "STANDBOOK_DATA": str(folder)}
    subprocess.run([sys.executable, "-m", "standbook", "seed"], env=environment, check=True, capture_output=True)
    return folder


@pytest.fixture
def data(seeded: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(seeded, tmp_path / "data"))


@pytest.fixture
def server(data: Path) -> Iterator[Server]:
    """A server process that serves the demo shop; a test may stop, kill and start it."""
    running = Server(data)
    running.start()
    yield running
    running.stop()


@pytest.fixture
def shop(server: Server) -> Shop:
    return Shop(server.address)


POCKETS = pytest.StashKey[list[Pocket]]()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """A story that failed tells what its screens showed."""
    report = yield
    if report.when == "call" and report.failed:
        shown = [screen for pocket in item.stash.get(POCKETS, []) for screen in pocket.screens()]
        report.sections.append(("on the screens", "\n".join(shown)))
    return report


@pytest.fixture
def browsers(
    request: pytest.FixtureRequest, playwright: Playwright, program: str, server: Server, tmp_path: Path
) -> Iterator[Browsers]:
    """Makes browsers by name, each with a profile of its own. At the end none may have complained of anything."""
    made: list[Pocket] = []
    request.node.stash[POCKETS] = made

    def make(name: str, screen: Screen) -> Pocket:
        made.append(Pocket(playwright, program, tmp_path / name, server.address, screen))
        return made[-1]

    yield make
    for pocket in made:
        pocket.close()
    assert {pocket.profile.name: pocket.unexpected() for pocket in made if pocket.unexpected()} == {}


@pytest.fixture
def phone(browsers: Browsers) -> Pocket:
    return browsers("phone", PHONE)


@pytest.fixture
def desk(browsers: Browsers) -> Pocket:
    return browsers("desk", DESK)
