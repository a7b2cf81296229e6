"""A book that the first version wrote: today's opens it, loses nothing and goes on with its phones (LG12)."""

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import flask_migrate
import pytest
from flask import Flask
from sqlalchemy import Connection, Engine, Table, create_engine, event, insert, inspect, text
from sqlalchemy.exc import DBAPIError

from standbook import migrations
from standbook.config import sqlite_url
from standbook.database import Base, db, open_sqlite_safely
from standbook.ledger.photos import Piece
from standbook.ledger.wire import Replaced
from tests.ledger.kit import BUILD, BUILDER, Book, Phone, reading, results
from tests.ledger.pictures import address, jpeg
from tests.ledger.postgres import Postgres

SHOP, EPOCH = "the-shop", "the-first-epoch"
AT = "2026-11-20T08:00:00.000Z"
TABLES = ("shops", "people", "instruments", "devices", "entries", "held_back", "conflicts", "blobs", "sign_in_misses")
DEVICE = "01936b00-0000-7000-8000-0000000000f1"


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database at the first revision, filled as the first version filled it."""
    if request.param == "sqlite":
        yield first_version(sqlite_url(tmp_path))
        return
    server: Postgres = request.getfixturevalue("postgres")
    with server.database("template1") as empty:
        yield first_version(empty)


def first_version(url: str) -> str:
    app = Flask("first version")
    app.config["SQLALCHEMY_DATABASE_URI"] = url
    db.init_app(app)
    flask_migrate.Migrate(app, db, directory=str(migrations.FOLDER), render_as_batch=True)
    with app.app_context():
        open_sqlite_safely(db.engine)
        flask_migrate.upgrade(revision="0001")
        with db.engine.begin() as connection:
            fill(connection)
        db.engine.dispose()
    return url


def entry(number: int, **more: Any) -> str:
    written = {"id": f"entry-{number}", "build": BUILD, "kind": "reading", "step": "journals", "place": "MJ1.F.0"}
    written |= {"why": "first", "body": reading(f"2.575{number}"), "person": BUILDER, "device": DEVICE}
    written |= {"device_no": number, "made_at": AT, "seen": 0, "trade_version": "2026.11.1"}
    return json.dumps({**written, **more}, ensure_ascii=False)


TEXTS = [entry(1, mood="µ ≤ 0,1"), entry(2)]
HELD, SECOND = "no entry at all", entry(2, body=reading("9.9999"))


def fill(connection: Connection) -> None:
    """Two entries, one held back, one number used twice, a text; the tables as that revision has them."""
    head = bytes(32)
    rows = []
    for number, written in enumerate(TEXTS, 1):
        prev, head = head, hashlib.sha256(head + written.encode()).digest()
        columns = {**json.loads(written), "shop": SHOP, "seq": number, "received_at": AT, "skew_ms": 7, "text": written}
        del columns["body"]
        columns.pop("mood", None)
        rows.append({**columns, "prev": prev.hex(), "hash": head.hex()})
    row = {"id": SHOP, "name": "Test shop", "epoch": EPOCH, "last_seq": 2, "head": head.hex(), "created_at": AT}
    put(connection, "shops", row)
    for person, name, role in (("lea-d", "Lea D.", "lead"), (BUILDER, "Bo B.", "builder")):
        put(connection, "people", {"id": person, "shop": SHOP, "name": name, "role": role, "created_at": AT})
    device = {"shop": SHOP, "id": DEVICE, "name": "Stand 1", "next_no": 4, "head": head.hex(), "app_version": "0.1.0"}
    put(connection, "devices", {**device, "skew_ms": 7, "first_contact": AT, "last_contact": AT})
    put(connection, "entries", *rows)
    put(connection, "held_back", aside("h", 3, "entry_bad_json", HELD))
    put(connection, "conflicts", {**aside("c", 2, "same_number", SECOND), "used_number": False})
    put(connection, "blobs", {"sha256": "ab" * 32, "size": 3, "received_at": AT})


def aside(id: str, number: int, code: str, written: str) -> dict[str, Any]:
    data = written.encode()
    row = {"id": id, "shop": SHOP, "device": DEVICE, "device_no": number, "code": code, "message": "look at it"}
    return {**row, "raw": data, "size": len(data), "sha256": hashlib.sha256(data).hexdigest(), "received_at": AT}


def put(connection: Connection, name: str, *rows: dict[str, Any]) -> None:
    table: Table = Base.metadata.tables[name]
    connection.execute(insert(table), list(rows))


def everything(url: str) -> dict[str, list[dict[str, Any]]]:
    """Every row of the first version's tables, past all that the ledger says of itself."""
    engine = create_engine(url)
    with engine.connect() as connection:
        found = {name: [dict(row) for row in connection.execute(rows_of(name)).mappings()] for name in TABLES}
    engine.dispose()
    return found


def rows_of(name: str) -> Any:
    return text(f"SELECT * FROM {name} ORDER BY 1, 2")


@pytest.fixture
def book(url: str, tmp_path: Path) -> Iterator[Book]:
    opened = Book(tmp_path, url)
    yield opened
    opened.close()


def its_phone(book: Book) -> Phone:
    phone = Phone(book)
    phone.id = DEVICE
    phone.texts = [*TEXTS, HELD]
    return phone


def test_lg12_every_row_of_the_first_version_is_there_as_it_was(url: str, tmp_path: Path) -> None:
    before = everything(url)
    assert {name for name in TABLES if not before[name]} == {"instruments", "sign_in_misses"}
    Book(tmp_path, url).close()
    for name, rows in everything(url).items():
        assert [{key: new[key] for key in old} for old, new in zip(before[name], rows, strict=True)] == before[name]


def test_lg12_the_book_reads_as_before_and_its_chain_holds(book: Book) -> None:
    assert book.texts() == TEXTS
    assert book.pull().epoch == EPOCH
    assert book.ledger.check().findings == []
    asides = book.ledger.asides()
    assert [held["text"] for held in asides.held] == [HELD]
    assert [(conflict["text"], conflict["first"]["text"]) for conflict in asides.conflicts] == [(SECOND, TEXTS[1])]


def test_lg12_a_phone_of_the_first_version_goes_on_where_it_was(book: Book) -> None:
    phone = its_phone(book)
    phone.keep(entry(4))
    assert results(phone.send()) == ["already", "already", "held", "stored"]
    (device,) = book.ledger.devices()
    assert (device["count"], device["made"], device["unsent"], device["lost"]) == (4, None, 0, 0)


def test_lg12_what_the_second_version_brings_works_on_it(book: Book) -> None:
    picture = jpeg()
    assert book.ledger.take_photo(address(picture), Piece(0, picture, True))[1]
    new = Phone(book)
    new.push(1, [new.write()], made=1, replaces=Replaced(DEVICE, 5))
    old = next(device for device in book.ledger.devices() if device["id"] == DEVICE)
    assert (old["lost"], old["replaced_by"]) == (2, new.id)


def test_lg2_its_entries_stay_frozen(book: Book) -> None:
    with pytest.raises(DBAPIError, match="never changed or deleted"):
        book.sql("UPDATE entries SET text = '{}'")


def test_lg12_an_upgrade_that_dies_in_the_middle_leaves_the_first_version_and_is_run_again(
    url: str, tmp_path: Path
) -> None:
    before = everything(url)

    def die(connection: Any, cursor: Any, statement: str, *_: Any) -> None:
        if "replaced_by" in statement:
            raise KeyboardInterrupt

    event.listen(Engine, "before_cursor_execute", die)
    try:
        with pytest.raises(KeyboardInterrupt):
            Book(tmp_path, url)
    finally:
        event.remove(Engine, "before_cursor_execute", die)
    assert everything(url) == before
    engine = create_engine(url)
    assert not inspect(engine).has_table("photos")
    assert migrations.current(engine) == "0001"
    engine.dispose()
    again = Book(tmp_path, url)
    assert again.texts() == TEXTS
    again.close()
