"""The test shop's fixtures: every test of the ledger runs on SQLite and on PostgreSQL."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.ledger.kit import Book, opened, phone, template
from tests.ledger.postgres import Postgres

__all__ = ["phone", "template"]


@pytest.fixture(params=["sqlite", "postgresql"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    if request.param == "sqlite":
        yield from opened(request.getfixturevalue("template"), tmp_path / "data")
        return
    server: Postgres = request.getfixturevalue("postgres")
    yield from server.book(tmp_path / "data")
