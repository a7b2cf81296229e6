"""The test shop's fixtures: every test of the ledger runs on SQLite and on PostgreSQL."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.ledger.kit import Book, opened, phone, template
from tests.ledger.postgres import Postgres

__all__ = ["phone", "template"]


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    with tempfile.TemporaryDirectory(prefix="pg") as folder:
        running = Postgres(Path(folder))
        yield running
        running.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    if request.param == "sqlite":
        yield from opened(request.getfixturevalue("template"), tmp_path / "data")
        return
    server: Postgres = request.getfixturevalue("postgres")
    with server.database() as address:
        shop = Book(tmp_path / "data", address)
        yield shop
        shop.close()
