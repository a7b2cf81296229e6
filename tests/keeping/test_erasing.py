"""Erasing a customer: what told who it was is gone, also from the database's file; the book is whole byte for byte."""

import subprocess
import sys
from collections.abc import Iterator
from os import environ
from pathlib import Path
from typing import Any

import pytest

from standbook.caretaker import Caretaker
from standbook.errors import Problem
from standbook.keeping import package, scrub
from standbook.keeping.erasing import Erased, erase
from standbook.people import customers
from tests.keeping.conftest import filled
from tests.ledger.kit import BUILD, LEAD, Book, Phone

WHO = {
    "name": "Xaverius Quillfeather",
    "phone": "0049-555-0173-884",
    "email": "xq@quillfeather.example",
    "address": "17 Nowhere Lane, Zzyzxton",
    "note": "pays in gudgeon pins",
}
BEFORE = {**WHO, "phone": "0049-555-0000-111"}
#: What nobody may find any more.
TRACES = ("Quillfeather", "0173-884", "0000-111", "quillfeather.example", "Zzyzxton", "gudgeon pins")
REASON = "asked for it in writing"


def added(book: Book, fields: dict[str, str] = WHO) -> str:
    """A customer with an engine, changed once."""
    shop = book.ledger.shop()
    with book.services.writer.writing() as connection:
        which = customers.add(connection, shop, BEFORE)
        customers.say_whose(connection, shop, BUILD, which, LEAD)
    with book.services.writer.writing() as connection:
        customers.change(connection, shop, which, fields)
    return which


def erased(book: Book, which: str, reason: str = REASON) -> Erased:
    return erase(book.settings, book.ledger, which, LEAD, reason)


def listed(book: Book, which: str) -> dict[str, Any]:
    with book.ledger.reading() as connection:
        return customers.customer(connection, book.ledger.shop(), which)


def files(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


def found_in(folder: Path) -> list[tuple[str, str]]:
    """File and trace, wherever one lies in the folder."""
    return [(path.name, trace) for path in files(folder) for trace in TRACES if trace.encode() in path.read_bytes()]


def test_only_the_id_its_engines_and_the_times_are_left(either: Book) -> None:
    which = added(either)
    before = listed(either, which)
    done = erased(either, which)
    left = {"id": which, "shop": either.ledger.shop(), "created_at": before["created_at"], "builds": [BUILD]}
    after = listed(either, which)
    assert after.pop("version") != before["version"]
    assert after == {**left, **dict.fromkeys(WHO), "erased_at": done.at, "erased_by": LEAD}


def test_the_book_is_whole_byte_for_byte_and_the_check_finds_nothing(either: Book) -> None:
    filled(either, Phone(either))
    which = added(either)
    chain = [(entry.seq, entry.text, entry.hash) for entry in either.pull().entries]
    erased(either, which)
    assert [(entry.seq, entry.text, entry.hash) for entry in either.pull().entries] == chain
    assert Caretaker(either.services).check().findings == []


def test_no_byte_of_it_is_left_in_any_file_of_the_shop(full: Book) -> None:
    many = [added(full) for _ in range(60)]
    assert {name for name, _ in found_in(full.settings.data)} <= {"standbook.db", "standbook.db-wal"}
    assert found_in(full.settings.data)
    for which in many:
        assert erased(full, which).clean
    assert found_in(full.settings.data) == []


def test_who_reads_just_now_keeps_traces_in_the_log_and_that_is_told(full: Book, monkeypatch: Any) -> None:
    monkeypatch.setattr("standbook.database.BUSY_MS", 50)
    again = full.reopened()
    which = added(again)
    with again.ledger.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM customers").all()
        told = erased(again, which).clean
    assert told is False
    assert erased(again, which).clean
    assert found_in(full.settings.data) == []
    again.close()


def test_it_is_one_line_of_the_access_log_with_the_id_and_no_name(either: Book) -> None:
    which = added(either)
    erased(either, which)
    erased(either, which)
    lines = either.sql("SELECT kind, person, detail FROM access_log")
    assert [tuple(line) for line in lines] == [("customer_erased", LEAD, f"{which}: {REASON}")]


@pytest.mark.parametrize("reason", ["XAVERIUS QUILLFEATHER asked", "old quillfeather", "call 0049-555-0173-884"])
def test_a_reason_that_tells_who_it_was_is_refused_and_nothing_is_erased(book: Book, reason: str) -> None:
    which = added(book)
    with pytest.raises(Problem, match="leave name, phone and email out"):
        erased(book, which, reason)
    assert listed(book, which)["name"] == WHO["name"]


def test_an_erased_customer_is_neither_changed_nor_given_an_engine(book: Book) -> None:
    which, shop = added(book), book.ledger.shop()
    erased(book, which)
    with book.services.writer.writing() as connection:
        for act in (
            lambda: customers.change(connection, shop, which, WHO),
            lambda: customers.say_whose(connection, shop, BUILD, which, LEAD),
        ):
            with pytest.raises(Problem) as told:
                act()
            assert told.value.code == "customer_erased"


def test_backups_from_before_are_named_and_those_from_after_are_not(full: Book, caretaker: Caretaker) -> None:
    empty = caretaker.backup()
    which = added(full)
    holding = caretaker.backup()
    elsewhere = full.settings.backups / "before-restore-2026-11-25T08-30-00-000.standbook.tar"
    elsewhere.write_bytes(b"cut short")
    copies = erased(full, which).copies
    assert {copy.path: copy.sure for copy in copies} == {holding.path: True, elsewhere: False}
    assert empty.path.exists()
    after = caretaker.backup()
    assert after.path not in {copy.path for copy in erased(full, which).copies}


def test_a_database_that_was_put_aside_unread_is_named_too(full: Book) -> None:
    folder = full.settings.data / "before-restore-2026-11-25T08-30-00-000"
    folder.mkdir()
    assert [copy.path for copy in scrub.copies(full.settings.backups, full.settings.data, "x")] == [folder]


def test_an_older_backup_does_not_bring_the_customer_back(full: Book, caretaker: Caretaker) -> None:
    which = added(full)
    stays = added(full, {**WHO, "name": "Somebody Else"})
    older = caretaker.backup()
    done = erased(full, which)
    caretaker.restore(older.path)
    again = full.reopened()
    found = listed(again, which)
    assert (found["name"], found["note"], found["erased_at"], found["erased_by"]) == (None, None, done.at, LEAD)
    assert listed(again, stays)["name"] == "Somebody Else"
    again.close()


def test_an_export_holds_customers_and_says_so(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    which = added(full)
    folder = caretaker.export(tmp_path / "exported").folder
    assert which in (folder / "tables" / "customers.csv").read_text("utf-8")
    assert "customers" in (folder / package.DESCRIPTOR).read_text("utf-8").split('"resources"')[0]


def standbook(book: Book, *words: str, typed: str = "") -> "subprocess.CompletedProcess[str]":
    environment = {**environ, "STANDBOOK_DATA": str(book.settings.data)}
    command = [sys.executable, "-m", "standbook", *words]
    return subprocess.run(command, env=environment, input=typed, capture_output=True, text=True, check=False)


def test_the_command_erases_by_name_asks_for_the_reason_and_tells_how_far_it_is(full: Book) -> None:
    added(full)
    holding = Caretaker(full.services).backup().path
    told = standbook(full, "erase", "xaverius quillfeather", typed=f"{REASON}\n")
    assert told.returncode == 0, told.stderr
    assert "is erased. The book is as it was" in told.stdout
    assert str(holding) in told.stdout
    assert "database written anew: 1 of 1" in told.stderr
    assert "backups: 1 of 1" in told.stderr
    assert holding.exists()
    assert [name for name, _ in found_in(full.settings.data) if name != holding.name] == []
    assert standbook(full, "check").returncode == 0


@pytest.mark.parametrize(("answer", "left"), [("yes\n", False), ("no\n", True), ("", True)])
def test_the_command_deletes_older_backups_only_after_a_yes(full: Book, answer: str, left: bool) -> None:
    which = added(full)
    holding = Caretaker(full.services).backup().path
    told = standbook(full, "erase", which, "--reason", REASON, "--delete-backups", typed=answer)
    assert told.returncode == 0, told.stderr
    assert holding.exists() is left
    assert ("No backup of this shop holds the customer" in told.stdout) is not left


def test_the_command_says_what_it_cannot_do(full: Book) -> None:
    first, second = added(full), added(full)
    several = standbook(full, "erase", WHO["name"], "--reason", REASON)
    assert (several.returncode, first in several.stderr, second in several.stderr) == (2, True, True)
    assert "no such customer" in standbook(full, "erase", "Nobody At All", "--reason", REASON).stderr
    assert "wants a reason" in standbook(full, "erase", first, typed="\n").stderr
    assert "leave name, phone and email out" in standbook(full, "erase", first, "--reason", "Quillfeather asked").stderr
