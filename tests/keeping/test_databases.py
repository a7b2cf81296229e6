"""A backup goes from either database to the other, and a restore into PostgreSQL loses nothing of what was there."""

import threading
from pathlib import Path

from standbook.caretaker import Caretaker
from standbook.keeping.archive import Reading
from standbook.keeping.rows import row_of
from tests.keeping.conftest import PICTURE, filled, photo_body
from tests.ledger.kit import Book, Phone, results
from tests.ledger.pictures import address
from tests.ledger.postgres import Postgres


def same(one: Book, two: Book) -> bool:
    people = "SELECT id, name, role, password_hash FROM people ORDER BY id"
    return (
        one.texts() == two.texts()
        and one.ledger.asides() == two.ledger.asides()
        and one.ledger.devices() == two.ledger.devices()
        and one.sql(people) == two.sql(people)
        and one.ledger.photo(address(PICTURE), as_small=False) == two.ledger.photo(address(PICTURE), as_small=False)
    )


def test_a_shop_that_outgrows_its_machine_moves_to_postgresql_by_a_backup_and_back_again(
    full: Book, postgres: Postgres, other: Book, tmp_path: Path
) -> None:
    first = Caretaker(full.services).backup(tmp_path / "first.standbook.tar").path
    for there in postgres.book(tmp_path / "there"):
        Caretaker(there.services).restore(first)
        assert same(full, there)
        assert Caretaker(there.services).check().findings == []
        second = Caretaker(there.services).backup(tmp_path / "second.standbook.tar").path
        Caretaker(other.services).restore(second)
        back = other.reopened()
        assert same(there, back)
        back.close()


def test_what_either_database_held_before_a_restore_is_kept_and_can_be_brought_back(
    either: Book, tmp_path: Path
) -> None:
    phone = Phone(either)
    filled(either, phone)
    path = Caretaker(either.services).backup(tmp_path / "yesterday.standbook.tar").path
    phone.push(4, [phone.write()])
    newest = either.texts()
    before = Caretaker(either.services).restore(path).before
    again = either.reopened()
    assert again.texts() == newest[:-1]
    assert before is not None
    Caretaker(again.services).restore(before)
    back = again.reopened()
    assert back.texts() == newest
    assert Caretaker(back.services).check().findings == []
    back.close()
    again.close()


def test_an_entry_taken_in_during_a_restore_into_postgresql_is_in_one_of_the_two_books(
    postgres: Postgres, tmp_path: Path
) -> None:
    for book in postgres.book(tmp_path / "data"):
        path = Caretaker(book.services).backup(tmp_path / "empty.standbook.tar").path
        writer, kept, stop = Phone(book), [], threading.Event()

        def write(writer: Phone = writer, kept: list[str] = kept, stop: threading.Event = stop) -> None:
            while not stop.is_set():
                text = writer.write()
                if results(writer.push(len(writer.texts), [text])) == ["stored"]:
                    kept.append(text)

        thread = threading.Thread(target=write)
        thread.start()
        while not kept:
            stop.wait(0.01)
        # Another machine's command line, as far as one process can tell.
        before = Caretaker(book.reopened().services).restore(path).before
        stop.set()
        thread.join()
        assert before is not None
        assert set(kept) <= {*texts_in(before), *book.texts()}
        assert book.ledger.check().findings == []


def texts_in(path: Path) -> list[str]:
    archive = Reading(path)
    found = [row_of(line)["text"] for line in archive.lines("tables/entries.jsonl")]
    archive.close()
    return found


def test_check_finds_a_changed_text_and_a_missing_photo_on_either_database(either: Book) -> None:
    phone = Phone(either)
    filled(either, phone)
    either.unfreeze()
    either.sql("UPDATE entries SET text = replace(text, '2.5758', '2.5759') WHERE seq = 1")
    either.sql("UPDATE devices SET head = prev FROM entries WHERE seq = 2")
    for (stored,) in either.sql("SELECT stored_sha256 FROM photos"):
        either.ledger.store.path(stored).unlink()
    findings = Caretaker(either.services).check().findings
    assert [
        words for words in ("does not fit the chain", "hash noted for it", "is missing") if words in str(findings)
    ] == [
        "does not fit the chain",
        "hash noted for it",
        "is missing",
    ]
    assert len(findings) == 3


def test_a_photo_that_never_came_is_awaited_on_either_database(either: Book) -> None:
    phone = Phone(either)
    phone.push(1, [phone.write("photo", body=photo_body())])
    whole = Caretaker(either.services).check()
    assert (whole.findings, whole.awaited) == ([], 1)
