"""A small shop to test with: a book, its people, and phones that write entries the way the app does."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from flask import Flask

from standbook.api.services import KEY, Services
from standbook.app import create_app
from standbook.config import Settings, sqlite_url
from standbook.database import db
from standbook.ids import uuid7
from standbook.ledger.pull import Cursor
from standbook.ledger.service import Ledger
from standbook.ledger.shops import open_shop
from standbook.ledger.wire import Answer, Pulled, Push, Pushed
from standbook.network.whereabouts import Whereabouts
from standbook.people.roster import take_on

LEAD, BUILDER, APPRENTICE = "lea-d", "bo-b", "al-a"
PASSWORD = "a long enough password"
BUILD = "01936b00-0000-7000-8000-0000000000b1"


class Book:
    """One shop's book in a folder, with a lead, a builder and an apprentice."""

    def __init__(self, folder: Path, database: str | None = None, whereabouts: Whereabouts | None = None) -> None:
        network = whereabouts is not None
        self.settings = Settings(folder, database or sqlite_url(folder), web=folder / "web", network=network)
        self.app: Flask = create_app(self.settings, whereabouts)
        self.services: Services = self.app.extensions[KEY]

    @property
    def ledger(self) -> Ledger:
        return self.services.ledger

    def texts(self) -> list[str]:
        return [entry.text for entry in self.pull().entries]

    def pull(self, after: int = 0, epoch: str = "", limit: int = 1000, device: str | None = None) -> Pulled:
        return self.ledger.pull(Cursor(epoch, after, limit, device))

    def sql(self, statement: str) -> list[Any]:
        """Straight to the database, to look at what the ledger does not show or to damage it."""
        with self.services.writer.writing() as connection:
            result = connection.exec_driver_sql(statement)
            return list(result.all()) if result.returns_rows else []

    @property
    def on_sqlite(self) -> bool:
        return self.settings.on_sqlite

    def unfreeze(self) -> None:
        """Takes away the database's own guard over entries, to damage one as a disk or a hand would."""
        for trigger in ("entries_update_frozen", "entries_delete_frozen") if self.on_sqlite else ("entries_frozen",):
            self.sql(f"DROP TRIGGER {trigger}" + ("" if self.on_sqlite else " ON entries"))

    def reopened(self) -> "Book":
        """The same book by another process, as far as one process can tell."""
        return Book(self.settings.data, self.settings.database)

    def close(self) -> None:
        with self.app.app_context():
            db.engine.dispose()


class Phone:
    """A device: it numbers its entries and keeps their texts (LG1, LG5)."""

    def __init__(self, book: Book, person: str = BUILDER) -> None:
        self.book = book
        self.person = person
        self.id = uuid7()
        self.texts: list[str] = []

    def entry(self, kind: str = "reading", **fields: Any) -> dict[str, Any]:
        """The next entry as a dict, numbered but not yet written."""
        return {
            "id": uuid7(),
            "build": BUILD,
            "kind": kind,
            "step": "journals",
            "place": "MJ1.F.0",
            "why": "first",
            "body": BODIES.get(kind, {"v": 1}),
            "person": self.person,
            "device": self.id,
            "device_no": len(self.texts) + 1,
            "made_at": "2026-11-25T08:30:00.000Z",
            "seen": 0,
            "trade_version": "2026.11.1",
            **fields,
        }

    def write(self, kind: str = "reading", **fields: Any) -> str:
        return self.keep(json.dumps(self.entry(kind, **fields), ensure_ascii=False))

    def keep(self, text: str) -> str:
        self.texts.append(text)
        return text

    def send(self, signed_in: str | None = None, from_no: int = 1) -> Pushed:
        """Pushes everything from a number on, as after a lost reply."""
        return self.push(from_no, self.texts[from_no - 1 :], signed_in)

    def push(self, from_no: int, texts: list[str], signed_in: str | None = None, **about: Any) -> Pushed:
        return self.push_raw(from_no, [msgspec.json.encode(text) for text in texts], signed_in, **about)

    def push_raw(self, from_no: int, wires: list[bytes], signed_in: str | None = None, **about: Any) -> Pushed:
        push = Push(self.id, from_no, [msgspec.Raw(wire) for wire in wires], **about)
        return self.book.ledger.push(push, signed_in)


def reading(text: str = "2.5758", **more: Any) -> dict[str, Any]:
    return {"v": 1, "value": {"text": text, "unit": "in"}, "not_measured": None, "instrument": None, **more}


BODIES: dict[str, dict[str, Any]] = {
    "reading": reading(),
    "build_opened": {"v": 1, "job": "R-1", "title": "A V8", "note": ""},
    "limits_frozen": {"v": 1, "defaults": "0" * 64, "cards": []},
    "engine_value": {"v": 1, "field": "cylinders", "value": {"text": "8", "unit": "1"}, "basis": "nominal"},
    "step_signed": {"v": 1, "shown": "0" * 64, "uses": [], "note": ""},
    "hold_signed": {
        "v": 1,
        "hold": "parts_accepted",
        "signs_as": "builder",
        "at": "engine",
        "shown": "0" * 64,
        "uses": [],
        "steps": [],
        "lines": [],
        "note": "",
    },
    "hold_opened": {"v": 1, "hold": "parts_accepted", "reason": "a rod is exchanged"},
    "decision": {"v": 1, "decision": "accept", "about": "x", "reason": "found so", "value": None, "limit": ""},
}


def results(pushed: Pushed) -> list[str]:
    return [answer.result for answer in pushed.answers]


def reasons(pushed: Pushed) -> list[str | None]:
    return [answer.code for answer in pushed.answers]


def only(pushed: Pushed) -> Answer:
    (answer,) = pushed.answers
    return answer


def people_in(book: Book) -> None:
    with book.services.writer.writing() as connection:
        shop = open_shop(connection, "Test shop")
        take_on(connection, shop, "Lea D.", "lead", PASSWORD)
        take_on(connection, shop, "Bo B.", "builder")
        take_on(connection, shop, "Al A.", "apprentice")


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop's folder once: making tables and hashing a password for every test would cost most of the time."""
    folder = tmp_path_factory.mktemp("template") / "data"
    book = Book(folder)
    people_in(book)
    book.close()
    return folder


@pytest.fixture
def book(template: Path, tmp_path: Path) -> Iterator[Book]:
    yield from opened(template, tmp_path / "data")


def opened(template: Path, folder: Path) -> Iterator[Book]:
    shutil.copytree(template, folder)
    book = Book(folder)
    yield book
    book.close()


@pytest.fixture
def phone(book: Book) -> Phone:
    return Phone(book)
