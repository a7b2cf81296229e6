"""A backup holds the whole shop as it stood at one moment, and brings it back."""

import io
import json
import tarfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from standbook import clock
from standbook.caretaker import Caretaker
from standbook.keeping import restore as restoring
from standbook.keeping.archive import MANIFEST
from standbook.keeping.open_shop import shared
from standbook.keeping.trouble import Trouble
from tests.keeping.conftest import PICTURE, SHOWN
from tests.ledger.kit import Book, Phone, results
from tests.ledger.pictures import address


def reopened(book: Book) -> Book:
    return book.reopened()


def made(caretaker: Caretaker, tmp_path: Path) -> Path:
    return caretaker.backup().path


def test_a_backup_brings_back_entries_asides_people_texts_and_photos(
    full: Book, caretaker: Caretaker, other: Book, tmp_path: Path
) -> None:
    path = made(caretaker, tmp_path)
    Caretaker(other.services).restore(path)
    again = reopened(other)
    assert again.texts() == full.texts()
    assert again.ledger.asides() == full.ledger.asides()
    assert again.ledger.blob(address(SHOWN)) == SHOWN
    assert again.ledger.photo(address(PICTURE), as_small=False) == full.ledger.photo(address(PICTURE), as_small=False)
    people = "SELECT id, name, role, password_hash FROM people ORDER BY id"
    assert again.sql(people) == full.sql(people)
    assert Caretaker(again.services).check().findings == []
    again.close()


def test_two_restores_of_one_moment_put_two_books_aside(
    full: Book, caretaker: Caretaker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = made(caretaker, tmp_path)
    moment = clock.now()
    monkeypatch.setattr(clock, "now", lambda: moment)
    first, second = (caretaker.restore(path).before for _ in range(2))
    assert first is not None
    assert second is not None
    assert first.exists()
    assert second.name > first.name


def test_lg9_a_restored_book_has_another_epoch(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    before = full.ledger.facts()["epoch"]
    path = made(caretaker, tmp_path)
    caretaker.restore(path)
    again = reopened(full)
    assert again.ledger.facts()["epoch"] != before
    again.close()


def test_lg9_after_yesterdays_backup_two_phones_offer_everything_again_and_nothing_is_lost_or_double(
    full: Book, phone: Phone, caretaker: Caretaker, tmp_path: Path
) -> None:
    path = made(caretaker, tmp_path)
    second = Phone(full)
    phone.push(4, [phone.write()])
    second.push(1, [second.write(), second.write()])
    everything = set(full.texts())
    caretaker.restore(path)
    again = reopened(full)
    pulled = again.pull(after=6, epoch="the epoch before")
    assert pulled.reset
    for device in (phone, second):
        device.book = again
        device.send()
        assert set(results(device.send())) <= {"already", "held"}
    assert sorted(again.texts()) == sorted(everything)
    assert again.ledger.check().findings == []
    again.close()


def test_what_was_there_before_a_restore_is_kept_and_can_be_brought_back(
    full: Book, phone: Phone, caretaker: Caretaker, tmp_path: Path
) -> None:
    path = made(caretaker, tmp_path)
    phone.push(4, [phone.write()])
    newest = full.texts()
    before = caretaker.restore(path).before
    again = reopened(full)
    assert again.texts() == newest[:-1]
    assert before is not None
    Caretaker(again.services).restore(before)
    back = reopened(again)
    assert back.texts() == newest
    back.close()


def test_a_backup_while_others_write_is_of_one_moment(
    full: Book, caretaker: Caretaker, other: Book, tmp_path: Path
) -> None:
    stop = threading.Event()
    writer = Phone(full)

    def write() -> None:
        while not stop.is_set():
            writer.push(len(writer.texts) + 1, [writer.write()])

    thread = threading.Thread(target=write)
    thread.start()
    try:
        paths = [made_as(caretaker, tmp_path / f"{number}.standbook.tar") for number in range(5)]
    finally:
        stop.set()
        thread.join()
    for path in paths:
        Caretaker(other.services).restore(path)
        other = reopened(other)
        assert other.ledger.check().findings == []
    other.close()


def made_as(caretaker: Caretaker, path: Path) -> Path:
    return caretaker.backup(path).path


def test_no_session_lies_in_a_backup(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    with tarfile.open(made(caretaker, tmp_path)) as tar:
        assert "tables/sessions.jsonl" not in tar.getnames()


def test_a_backup_is_never_written_over(caretaker: Caretaker, tmp_path: Path) -> None:
    path = made(caretaker, tmp_path)
    with pytest.raises(Trouble, match="there already"):
        caretaker.backup(path)


# --- what is not brought back ---


def rewritten(path: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """The same backup with its members changed."""
    with tarfile.open(path) as tar:
        members = {member.name: tar.extractfile(member).read() for member in tar.getmembers()}  # type: ignore[union-attr]
    change(members)
    target = path.with_name("changed.standbook.tar")
    with tarfile.open(target, "w") as tar:
        for name, data in members.items():
            member = tarfile.TarInfo(name)
            member.size = len(data)
            tar.addfile(member, io.BytesIO(data))
    return target


def flipped(name_start: str) -> Callable[[dict[str, bytes]], None]:
    def change(members: dict[str, bytes]) -> None:
        name = next(name for name in members if name.startswith(name_start))
        data = bytearray(members[name])
        data[len(data) // 2] ^= 1
        members[name] = bytes(data)

    return change


def manifest_with(**fields: Any) -> Callable[[dict[str, bytes]], None]:
    def change(members: dict[str, bytes]) -> None:
        members[MANIFEST] = json.dumps({**json.loads(members[MANIFEST]), **fields}).encode()

    return change


def stranger(name: str) -> Callable[[dict[str, bytes]], None]:
    def change(members: dict[str, bytes]) -> None:
        members[name] = b"out of the folder"

    return change


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (flipped("tables/entries"), "damaged"),
        (flipped("blobs/"), "damaged"),
        (stranger("../../outside"), "no backup holds"),
        (stranger("/outside"), "no backup holds"),
        (stranger("tables/../../outside.jsonl"), "no backup holds"),
        (lambda members: members.pop("tables/people.jsonl"), "lacks a part"),
        (lambda members: members.pop(MANIFEST), "no backup of Standbook"),
        (manifest_with(v=2), "newer Standbook"),
        (manifest_with(revision="9999"), "newer Standbook"),
    ],
    ids=[
        "a byte of an entry",
        "a byte of a file",
        "a path out",
        "a path from the root",
        "a path inside out",
        "a part missing",
        "no manifest",
        "a newer form",
        "newer tables",
    ],
)
def test_what_is_not_whole_or_not_ours_is_refused_and_nothing_is_changed(
    full: Book, caretaker: Caretaker, tmp_path: Path, change: Callable[[dict[str, bytes]], None], words: str
) -> None:
    texts = full.texts()
    changed = rewritten(made(caretaker, tmp_path), change)
    with pytest.raises(Trouble, match=words):
        caretaker.restore(changed)
    again = reopened(full)
    assert again.texts() == texts
    assert not list(tmp_path.rglob("*outside*"))
    again.close()


def test_a_backup_that_was_cut_short_is_refused(caretaker: Caretaker, tmp_path: Path) -> None:
    path = made(caretaker, tmp_path)
    path.write_bytes(path.read_bytes()[:-20_000])
    with pytest.raises(Trouble, match="cut short"):
        caretaker.restore(path)


def test_a_broken_chain_inside_a_backup_that_is_otherwise_whole_is_refused(
    full: Book, caretaker: Caretaker, tmp_path: Path
) -> None:
    full.unfreeze()
    full.sql("UPDATE entries SET text = replace(text, '2.5758', '2.5759') WHERE seq = 1")
    with pytest.raises(Trouble, match="does not hold together"):
        caretaker.restore(made(caretaker, tmp_path))


def test_nothing_is_restored_under_a_server_that_runs(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    path = made(caretaker, tmp_path)
    with shared(full.settings.open_lock), pytest.raises(Trouble, match="Stop the server"):
        caretaker.restore(path)


@pytest.mark.parametrize("where", ["put", "check_book", "refuse_other_ending"])
def test_a_restore_that_dies_on_its_way_leaves_the_book_as_it_was(
    full: Book, caretaker: Caretaker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    texts = full.texts()
    path = made(caretaker, tmp_path)

    def die(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(restoring, where, die)
    with pytest.raises(KeyboardInterrupt):
        caretaker.restore(path)
    again = reopened(full)
    assert again.texts() == texts
    assert again.ledger.check().findings == []
    again.close()
