"""The demo shop on its network, its lead's desk, and a phone that calls itself one."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.joining.kit import ANDROID, calls_itself, leads_desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server


@pytest.fixture
def server(data: Path) -> Iterator[Server]:
    """The demo shop on its network."""
    running = Server(data, ("-m", "tests.browser.joining.networked"))
    running.start()
    yield running
    running.stop()


@pytest.fixture
def first_profile() -> None:
    """A phone that joins has not been here before."""


@pytest.fixture
def lead(desk: Pocket, server: Server) -> Page:
    return leads_desk(desk, server.data)


@pytest.fixture
def android(phone: Pocket) -> Pocket:
    calls_itself(phone, ANDROID)
    return phone
