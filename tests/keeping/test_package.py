"""The shop as a data package: any program that knows the standard reads it, and another Standbook takes it in whole.

Outside check: the `frictionless` library, the reference implementation of the Data Package standard, validates it.
"""

import csv
import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from os import environ
from pathlib import Path
from typing import NamedTuple

import frictionless
import pytest

from standbook.caretaker import Caretaker, restore
from standbook.config import Settings, sqlite_url
from standbook.keeping.package import DESCRIPTOR
from standbook.keeping.trouble import Trouble
from tests.keeping.conftest import PICTURE, SHOWN, filled
from tests.ledger.kit import LEAD, PASSWORD, Book, Phone, reading
from tests.ledger.pictures import address

ODD = 'a "quoted", two-line\r\nnote; Ünïcode \u2028 and \\N'


@pytest.fixture
def exported(full: Book, caretaker: Caretaker, phone: Phone, tmp_path: Path) -> Path:
    phone.push(len(phone.texts) + 1, [phone.write(body=reading(note=ODD))])
    return caretaker.export(tmp_path / "exported").folder


@pytest.fixture
def taken_in(exported: Path, tmp_path: Path) -> Iterator[Book]:
    folder = tmp_path / "new"
    restore(Settings(folder, sqlite_url(folder)), exported)
    book = Book(folder)
    yield book
    book.close()


class Disk(NamedTuple):
    total: int
    used: int
    free: int


def descriptor(folder: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((folder / DESCRIPTOR).read_text("utf-8"))
    return found


def test_the_reference_implementation_finds_nothing_wrong(exported: Path) -> None:
    report = frictionless.validate(str(exported / DESCRIPTOR))
    assert report.flatten(["name", "type", "note"]) == []
    assert {"entries", "people", "held_back", "photos"} <= {task.name for task in report.tasks}


def test_another_standbook_takes_in_the_very_same_book(full: Book, taken_in: Book) -> None:
    assert taken_in.texts() == full.texts()
    chain = [(entry.seq, entry.prev, entry.hash, entry.received_at) for entry in full.pull().entries]
    assert [(entry.seq, entry.prev, entry.hash, entry.received_at) for entry in taken_in.pull().entries] == chain
    assert taken_in.ledger.asides() == full.ledger.asides()
    assert taken_in.ledger.blob(address(SHOWN)) == SHOWN
    photo = address(PICTURE)
    assert taken_in.ledger.photo(photo, as_small=False) == full.ledger.photo(photo, as_small=False)
    assert Caretaker(taken_in.services).check().findings == []
    assert taken_in.pull().epoch != full.pull().epoch


def test_no_table_but_the_passwords_has_lost_anything(full: Book, taken_in: Book) -> None:
    for table in ("entries", "devices", "held_back", "conflicts", "blobs", "photos", "instruments"):
        assert sorted(taken_in.sql(f"SELECT * FROM {table}")) == sorted(full.sql(f"SELECT * FROM {table}")), table
    people = "SELECT id, shop, name, role, created_at, left_at FROM people ORDER BY id"
    assert taken_in.sql(people) == full.sql(people)
    assert taken_in.sql("SELECT count(*) FROM people WHERE password_hash IS NOT NULL")[0][0] == 0


def test_no_key_is_in_it(exported: Path) -> None:
    everything = b"".join(path.read_bytes() for path in exported.rglob("*") if path.is_file())
    assert b"argon2" not in everything
    assert b"password" not in everything


def test_a_person_can_read_it_without_standbook(full: Book, exported: Path) -> None:
    with (exported / "tables" / "entries.csv").open(encoding="utf-8", newline="") as file:
        assert [row["text"] for row in csv.DictReader(file)] == full.texts()
    (build,) = sorted((exported / "builds").glob("*.json"))
    assert {"state", "stages", "steps"} & set(json.loads(build.read_text("utf-8"))) == {"stages", "steps"}
    assert [path.suffix for path in sorted((exported / "files").iterdir())].count(".jpg") == 1


def flip(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-5])


@pytest.mark.parametrize("damage", [flip, cut, Path.unlink], ids=["flipped", "cut", "gone"])
@pytest.mark.parametrize("which", ["tables/entries.csv", "tables/people.csv", "files/*.jpg"])
def test_a_damaged_part_is_found_before_anything_is_taken_in(
    exported: Path, other: Book, which: str, damage: Callable[[Path], None]
) -> None:
    damage(next(exported.glob(which)))
    before = other.texts()
    with pytest.raises(Trouble, match=r"damaged|lacks"):
        Caretaker(other.services).restore(exported)
    again = other.reopened()
    assert again.texts() == before
    again.close()


@pytest.mark.parametrize("path", ["../outside.csv", "/etc/passwd", "tables/../../outside.csv", "tables/entries.csv/x"])
def test_a_path_that_leads_elsewhere_is_never_opened(exported: Path, other: Book, path: str) -> None:
    (exported.parent / "outside.csv").write_text("secret")
    said = descriptor(exported)
    for resource in said["resources"]:  # type: ignore[attr-defined]
        if resource["name"] == "entries":
            resource["path"] = path
    (exported / DESCRIPTOR).write_text(json.dumps(said))
    with pytest.raises(Trouble):
        Caretaker(other.services).restore(exported)


def test_a_link_in_the_place_of_a_file_is_not_followed(exported: Path, other: Book) -> None:
    table = exported / "tables" / "entries.csv"
    table.rename(exported.parent / "moved.csv")
    table.symlink_to(exported.parent / "moved.csv")
    with pytest.raises(Trouble, match="link"):
        Caretaker(other.services).restore(exported)


@pytest.mark.parametrize(
    "words", ["", "[]", "{}", '{"standbook": 1, "resources": []}', '{"standbook": {"kind": "x"}, "resources": []}']
)
def test_what_is_no_package_of_ours_is_told(exported: Path, other: Book, words: str) -> None:
    (exported / DESCRIPTOR).write_text(words)
    with pytest.raises(Trouble, match="no data package of Standbook"):
        Caretaker(other.services).restore(exported)


def test_a_newer_package_is_told(exported: Path, other: Book) -> None:
    said = descriptor(exported)
    said["standbook"]["v"] = 2  # type: ignore[index]
    (exported / DESCRIPTOR).write_text(json.dumps(said))
    with pytest.raises(Trouble, match="newer Standbook"):
        Caretaker(other.services).restore(exported)


def test_a_folder_that_is_there_is_left_alone(caretaker: Caretaker, tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    with pytest.raises(Trouble, match="there already"):
        caretaker.export(tmp_path / "here")
    assert list((tmp_path / "here").iterdir()) == []


def test_a_lost_file_is_told_and_the_rest_is_exported(full: Book, caretaker: Caretaker, tmp_path: Path) -> None:
    full.ledger.store.path(address(SHOWN)).unlink()
    made = caretaker.export(tmp_path / "exported")
    assert made.lacking == [address(SHOWN)]
    assert frictionless.validate(str(made.folder / DESCRIPTOR)).valid


def test_the_same_from_postgresql(either: Book, tmp_path: Path) -> None:
    filled(either, Phone(either))
    folder = Caretaker(either.services).export(tmp_path / "exported").folder
    assert frictionless.validate(str(folder / DESCRIPTOR)).valid
    with (folder / "tables" / "entries.csv").open(encoding="utf-8", newline="") as file:
        assert [row["text"] for row in csv.DictReader(file)] == either.texts()


def standbook(data: Path, *words: str, typed: str = "") -> "subprocess.CompletedProcess[str]":
    environment = {**environ, "STANDBOOK_DATA": str(data)}
    command = [sys.executable, "-m", "standbook", *words]
    return subprocess.run(command, env=environment, input=typed, capture_output=True, text=True, check=False)


def test_the_demo_shop_moves_to_another_folder_by_command(tmp_path: Path) -> None:
    one, two, folder = tmp_path / "one", tmp_path / "two", tmp_path / "out"
    assert standbook(one, "seed").returncode == 0
    told = standbook(one, "export", str(folder))
    assert told.returncode == 0, told.stderr
    assert "with its customers and without passwords" in told.stdout
    assert frictionless.validate(str(folder / DESCRIPTOR)).valid
    told = standbook(two, "import", str(folder))
    assert told.returncode == 0, told.stderr
    assert "standbook password" in told.stdout
    books = [Book(place) for place in (one, two)]
    assert books[1].texts() == books[0].texts()
    assert [entry.hash for entry in books[1].pull().entries] == [entry.hash for entry in books[0].pull().entries]
    for book in books:
        book.close()
    assert standbook(two, "check").returncode == 0
    again = standbook(two, "import", str(folder))
    assert (again.returncode, "already" in again.stderr) == (2, True)


def test_somebody_gets_a_new_password_by_command(full: Book) -> None:
    told = standbook(full.settings.data, "password", LEAD, typed="an even longer password\n")
    assert told.returncode == 0, told.stderr
    client = full.app.test_client()
    headers = {"X-Standbook": "1"}
    for password, status in ((PASSWORD, 401), ("an even longer password", 200)):
        form = {"person": LEAD, "password": password}
        assert client.post("/api/v1/session", json=form, headers=headers).status_code == status
    assert "Nobody here has the id" in standbook(full.settings.data, "password", "x", typed="y\n").stderr
    assert standbook(full.settings.data, "password", LEAD, typed="short\n").returncode == 2


def test_a_disk_without_room_is_told_before_anything_is_written(
    caretaker: Caretaker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Disk(total=10, used=9, free=1))
    with pytest.raises(Trouble, match="no room for the shop"):
        caretaker.export(tmp_path / "exported")
    assert not [path.name for path in tmp_path.iterdir() if "exported" in path.name]
