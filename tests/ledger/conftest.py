"""The test shop's fixtures: every test of the ledger runs on SQLite and on PostgreSQL."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.ledger.kit import Book, phone, template
from tests.ledger.postgres import DATABASES, on_either

__all__ = ["phone", "template"]


@pytest.fixture(params=DATABASES)
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    yield from on_either(request, tmp_path / "data")
