"""A staffed shop on its network."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from tests.api.roles import signed_in_as, staffed
from tests.ledger.kit import Book
from tests.network.kit import OURS, Device, answered, whereabouts


@pytest.fixture(scope="session")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return staffed(tmp_path_factory.mktemp("staff") / "data")


@pytest.fixture
def shop(staff: Path, tmp_path: Path) -> Iterator[Book]:
    book = Book(Path(shutil.copytree(staff, tmp_path / "data")), whereabouts=whereabouts())
    yield book
    book.close()


@pytest.fixture
def lead(shop: Book) -> FlaskClient:
    """The lead's desk, signed in."""
    return signed_in_as(shop, "lead")


@pytest.fixture
def code(lead: FlaskClient) -> Callable[[], str]:
    """Makes a code at the desk."""
    return lambda: str(answered(lead.post(f"{PREFIX}/join/codes", json={}, headers=OURS))["code"])


@pytest.fixture
def phone(shop: Book, code: Callable[[], str]) -> Device:
    """A phone that has joined."""
    device = Device(shop)
    answered(device.join(code()))
    return device
