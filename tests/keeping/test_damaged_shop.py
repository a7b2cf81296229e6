"""A shop whose disk failed: its book comes back from a backup, and nothing that can still be had is lost."""

import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from standbook.caretaker import Caretaker, restore, restore_files
from standbook.keeping.trouble import Trouble
from tests.keeping.conftest import PICTURE, SHOWN
from tests.ledger.kit import Book, Phone
from tests.ledger.pictures import address


def file_of(book: Book) -> Path:
    return book.settings.data / "standbook.db"


def stored_photo(book: Book) -> Path:
    return book.ledger.store.path(book.sql("SELECT stored_sha256 FROM photos")[0][0])


def flip(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def overwritten(file: Path) -> None:
    file.write_bytes(b"no database at all, " * 5000)


def without_its_middle(file: Path) -> None:
    data = file.read_bytes()
    file.write_bytes(data[:8192] + bytes(len(data) - 16384) + data[-8192:])


def cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:20_000])


def emptied(file: Path) -> None:
    file.write_bytes(b"")


DAMAGE = [overwritten, without_its_middle, cut_short]


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_book_that_cannot_be_read_any_more_is_replaced_and_its_bytes_are_kept(
    full: Book, caretaker: Caretaker, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    texts = full.texts()
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    full.close()
    damage(file_of(full))
    bytes_then = file_of(full).read_bytes()
    restored = restore(full.settings, path)
    again = full.reopened()
    assert again.texts() == texts
    assert Caretaker(again.services).check().findings == []
    assert restored.before is not None
    assert (restored.before / "standbook.db").read_bytes() == bytes_then
    again.close()


def test_a_log_that_an_unreadable_book_still_had_is_kept_with_it_and_not_read_into_the_new_one(
    full: Book, caretaker: Caretaker, phone: Phone, tmp_path: Path
) -> None:
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    texts = full.texts()
    phone.push(4, [phone.write()])
    log = file_of(full).with_name("standbook.db-wal")
    kept = log.read_bytes()
    assert kept
    full.close()
    overwritten(file_of(full))
    log.write_bytes(kept)
    restored = restore(full.settings, path)
    again = full.reopened()
    assert again.texts() == texts
    assert restored.before is not None
    assert (restored.before / "standbook.db-wal").exists()
    again.close()


@pytest.mark.parametrize("damage", [emptied, lambda file: file.unlink()], ids=["emptied", "gone"])
def test_a_book_that_is_empty_or_gone_leaves_nothing_to_put_aside(
    full: Book, caretaker: Caretaker, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    texts = full.texts()
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    full.close()
    damage(file_of(full))
    assert restore(full.settings, path).before is None
    again = full.reopened()
    assert again.texts() == texts
    again.close()


def test_a_book_of_a_newer_standbook_is_kept_as_it_is(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    full.sql("UPDATE alembic_version SET version_num = '9999'")
    full.close()
    before = restore(full.settings, path).before
    assert before is not None
    with sqlite3.connect(before / "standbook.db") as kept:
        assert kept.execute("SELECT version_num FROM alembic_version").fetchone() == ("9999",)
    kept.close()


def test_nothing_is_restored_under_a_program_that_has_the_file_open(
    full: Book, caretaker: Caretaker, tmp_path: Path
) -> None:
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    full.close()
    reader = sqlite3.connect(file_of(full))
    reader.execute("BEGIN")
    reader.execute("SELECT count(*) FROM entries").fetchone()
    writer = sqlite3.connect(file_of(full))
    writer.execute("UPDATE people SET name = 'Bo' WHERE id = 'bo-b'")
    writer.commit()
    with pytest.raises(Trouble, match="has the book open"):
        restore(full.settings, path)
    reader.close()
    writer.close()
    again = full.reopened()
    assert again.sql("SELECT name FROM people WHERE id = 'bo-b'") == [("Bo",)]
    again.close()


# --- files ---


def test_a_backup_leaves_out_what_is_missing_or_damaged_and_says_so(
    full: Book, caretaker: Caretaker, other: Book, tmp_path: Path
) -> None:
    flip(stored_photo(full))
    full.ledger.store.path(address(SHOWN)).unlink()
    made = caretaker.backup(tmp_path / "b.standbook.tar")
    assert sorted(made.lacking) == sorted([stored_photo(full).name, address(SHOWN)])
    restored = Caretaker(other.services).restore(made.path)
    assert restored.missing == sorted(made.lacking)
    again = other.reopened()
    assert again.texts() == full.texts()
    assert len(Caretaker(again.services).check().findings) == 2
    again.close()


def test_a_restore_puts_a_damaged_file_right(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    flip(stored_photo(full))
    assert caretaker.restore(path).missing == []
    again = full.reopened()
    assert Caretaker(again.services).check().findings == []
    again.close()


def test_files_alone_come_back_while_the_book_stays_as_it_is(
    full: Book, caretaker: Caretaker, phone: Phone, tmp_path: Path
) -> None:
    path = caretaker.backup(tmp_path / "good.standbook.tar").path
    epoch = full.ledger.facts()["epoch"]
    phone.push(4, [phone.write()])
    texts = full.texts()
    flip(stored_photo(full))
    full.ledger.store.path(address(SHOWN)).unlink()
    assert len(caretaker.check().findings) == 2
    assert restore_files(full.settings, path) == 2
    assert caretaker.check().findings == []
    assert (full.texts(), full.ledger.facts()["epoch"]) == (texts, epoch)
    assert full.ledger.photo(address(PICTURE), as_small=False)
    assert restore_files(full.settings, path) == 0


# --- flipped bits ---

FLIPS = 60


def test_whatever_bit_of_the_database_flips_check_comes_to_its_end_and_no_entry_changes_unseen(
    full: Book, phone: Phone
) -> None:
    """Half of the bits where entries lie, the other half anywhere."""
    phone.push(4, [phone.write() for _ in range(30)])
    texts = full.texts()
    full.close()
    file = file_of(full)
    whole = file.read_bytes()
    luck = random.Random(20261125)
    inside = [at for at in range(len(whole)) if whole[at : at + 1].isalnum()]
    seen = 0
    for number in range(FLIPS):
        at = luck.choice(inside) if number % 2 else luck.randrange(len(whole))
        file.write_bytes(whole[:at] + bytes([whole[at] ^ (1 << luck.randrange(8))]) + whole[at + 1 :])
        found = told(full)
        seen += bool(found)
        assert found or read(full) == texts, f"byte {at} changed an entry unseen"
        for log in file.parent.glob("standbook.db-*"):
            log.unlink()
    assert seen > FLIPS // 4


def told(book: Book) -> list[str]:
    """What check finds, or why the book cannot even be opened."""
    try:
        again = book.reopened()
    except Exception as error:  # noqa: BLE001 - a book that does not open is not unseen
        return [str(error)]
    try:
        return Caretaker(again.services).check().findings
    finally:
        again.close()


def read(book: Book) -> list[str]:
    again = book.reopened()
    try:
        return again.texts()
    finally:
        again.close()
