"""The tables that the migrations make are the tables that the code uses."""

import flask_migrate
import pytest
from alembic.script import ScriptDirectory
from flask import Flask

from standbook import migrations
from standbook.database import db
from tests.ledger.kit import Book


def test_the_migrations_make_exactly_the_tables_that_the_code_declares(book: Book) -> None:
    flask_migrate.Migrate(book.app, db, directory=str(migrations.FOLDER), render_as_batch=True)
    with book.app.app_context():
        flask_migrate.check()


def test_the_newest_revision_by_file_name_is_the_one_that_alembic_ends_with(book: Book) -> None:
    assert ScriptDirectory(str(migrations.FOLDER)).get_current_head() == migrations.newest()
    with book.app.app_context():
        assert migrations.current(db.engine) == migrations.newest()


def test_a_second_start_runs_no_migration(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[Flask] = []
    monkeypatch.setattr(migrations, "upgrade", calls.append)
    Book(book.settings.data).close()
    assert calls == []


def test_a_book_is_written_through_to_the_disk(book: Book) -> None:
    assert book.sql("PRAGMA journal_mode") == [("wal",)]
    assert book.sql("PRAGMA synchronous") == [(2,)]
    assert book.sql("PRAGMA foreign_keys") == [(1,)]
