"""Server, phone and desk for the stories."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Generator, Iterator
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect, sync_playwright

from bootstrap.chromium import find_chromium, find_windowless
from tests.browser.imprint import Profiles, keep_imprint, read_imprint
from tests.browser.pocket import DESK, PATIENCE_MS, PHONE, Pocket, Screen
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand
from tests.once import once

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

    def make(folder: Path) -> None:
        environment = {**os.environ, "STANDBOOK_DATA": str(folder)}
        subprocess.run([sys.executable, "-m", "standbook", "seed"], env=environment, check=True, capture_output=True)

    return once(tmp_path_factory, "demo", make)


@pytest.fixture(scope="package")
def made_imprint(playwright: Playwright, program: str, seeded: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The imprint that a browser made of the brain after its first start, made once."""

    def make(file: Path) -> None:
        folder = tmp_path_factory.mktemp("imprint")
        server = Server(Path(shutil.copytree(seeded, folder / "data"))).start()
        pocket = Pocket(playwright, program, folder / "phone", server.address, PHONE)
        read_imprint(Stand(pocket.open()).take(JONAS).page, server.address, file)
        pocket.close()
        server.stop()

    return once(tmp_path_factory, "imprint", make)


@pytest.fixture(scope="package")
def used_profiles(
    playwright: Playwright, program: str, made_imprint: Path, tmp_path_factory: pytest.TempPathFactory
) -> Profiles:
    """By the shop's address: the profile of a browser that has the imprint from an earlier day, and nothing else."""

    @cache
    def profile(address: str) -> Path:
        pocket = Pocket(playwright, program, tmp_path_factory.mktemp("used") / "profile", address, PHONE)
        pocket.start()
        keep_imprint(pocket.context.pages[0], address, made_imprint)
        pocket.close()
        return pocket.profile

    return profile


@pytest.fixture
def first_profile(used_profiles: Profiles, server: Server) -> Path | None:
    """The profile that this story's browsers begin with."""
    return used_profiles(server.address)


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
    request: pytest.FixtureRequest,
    playwright: Playwright,
    program: str,
    server: Server,
    tmp_path: Path,
    first_profile: Path | None,
) -> Iterator[Browsers]:
    """Makes browsers by name, each with a profile of its own. At the end none may have complained of anything."""
    made: list[Pocket] = []
    request.node.stash[POCKETS] = made

    def make(name: str, screen: Screen) -> Pocket:
        made.append(Pocket(playwright, program, tmp_path / name, server.address, screen))
        made[-1].before = first_profile
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
