"""The tables that the migrations make are the tables that the code uses."""

from pathlib import Path

import flask_migrate
import pytest
from alembic.script import ScriptDirectory
from flask import Flask

from standbook import migrations
from standbook.database import db
from tests.ledger.kit import Book, Phone, people_in


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
    book.reopened().close()
    assert calls == []


def test_a_book_is_written_through_to_the_disk(book: Book) -> None:
    if book.on_sqlite:
        told = [book.sql(f"PRAGMA {pragma}")[0][0] for pragma in ("journal_mode", "synchronous", "foreign_keys")]
        assert told == ["wal", 2, 1]
    else:
        assert book.sql("SHOW synchronous_commit") == [("on",)]


def test_a_new_book_has_pages_that_seven_rows_fit_into(book: Book) -> None:
    if book.on_sqlite:
        assert book.sql("PRAGMA page_size") == [(8192,)]


def test_lg12_a_book_of_the_first_version_is_brought_up_to_date_and_loses_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    book = Book(folder)
    people_in(book)
    phone = Phone(book)
    phone.push(1, [phone.write(), phone.write(person="nobody")])
    before = (book.texts(), book.ledger.asides().held)
    flask_migrate.Migrate(book.app, db, directory=str(migrations.FOLDER), render_as_batch=True)
    with book.app.app_context():
        flask_migrate.downgrade(revision="0001")
    book.close()
    later = Book(folder)
    assert (later.texts(), later.ledger.asides().held) == before
    assert later.ledger.check().findings == []
    assert phone_of(later, phone).push(3, [phone.write()]).answers[0].result == "stored"
    later.close()


def phone_of(book: Book, phone: Phone) -> Phone:
    phone.book = book
    return phone
