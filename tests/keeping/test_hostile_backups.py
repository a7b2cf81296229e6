"""A backup or a data package that somebody made up, or changed with its sums: refused in words, and nothing happens.

Nothing is written outside, nothing stays behind, the book that is here is not touched, and memory and time are bounded.
"""

import gzip
import hashlib
import io
import json
import os
import random
import shutil
import tarfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standbook.caretaker import Caretaker, restore, restore_files
from standbook.cli import main
from standbook.config import Settings, sqlite_url
from standbook.keeping import rows
from standbook.keeping.archive import MANIFEST, Reading
from standbook.keeping.package import DESCRIPTOR
from standbook.keeping.trouble import Trouble
from standbook.keeping.unpacking import Package
from tests.keeping.conftest import filled
from tests.ledger.kit import Book, Phone

Members = dict[str, bytes]
BLOCK = tarfile.BLOCKSIZE
MOST_MEMORY = 60 * 1024 * 1024
MOST_SECONDS = 20


class Shop(NamedTuple):
    """A shop's backup, its data package, and the folder of another shop."""

    backup: Path
    package: Path
    here: Settings


@pytest.fixture(scope="module")
def shop(template: Path, tmp_path_factory: pytest.TempPathFactory) -> Shop:
    folder = tmp_path_factory.mktemp("hostile")
    shutil.copytree(template, folder / "theirs")
    shutil.copytree(template, folder / "here")
    book = Book(folder / "theirs")
    filled(book, Phone(book))
    caretaker = Caretaker(book.services)
    backup = caretaker.backup(folder / "good.standbook.tar").path
    package = caretaker.export(folder / "package").folder
    book.close()
    return Shop(backup, package, Settings(folder / "here", sqlite_url(folder / "here")))


def everything(folder: Path) -> dict[str, bytes]:
    """All files of a shop but its locks."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.suffix != ".lock")
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


@contextmanager
def bounded() -> Iterator[None]:
    tracemalloc.start()
    begun = time.monotonic()
    try:
        yield
        assert tracemalloc.get_traced_memory()[1] < MOST_MEMORY
        assert time.monotonic() - begun < MOST_SECONDS
    finally:
        tracemalloc.stop()


def is_refused(shop: Shop, path: Path) -> None:
    outside = sorted(shop.here.data.parent.parent.iterdir())
    before = everything(shop.here.data)
    with bounded(), pytest.raises(Trouble):
        restore(shop.here, path)
    assert everything(shop.here.data) == before
    assert sorted(shop.here.data.parent.parent.iterdir()) == outside


class Disk(NamedTuple):
    free: int


# --- a tar whose headers lie ---


def header(name: str, size: int = 0, kind: bytes = tarfile.REGTYPE, link: str = "") -> bytes:
    member = tarfile.TarInfo(name)
    member.size, member.type, member.linkname = size, kind, link
    return member.tobuf(tarfile.GNU_FORMAT)


def with_words(text: bytes) -> bytes:
    """An extension header with its words (POSIX pax)."""
    return header("x", len(text), tarfile.XHDTYPE) + text.ljust(-(-len(text) // BLOCK) * BLOCK, b"\0")


IN_FRONT = {
    "a size below zero": header("tables/entries.jsonl", -BLOCK),
    "a size far below zero": header("tables/entries.jsonl", -(10**9)),
    "a size beyond every disk": header("tables/entries.jsonl", 2**60),
    "an extension beyond every memory": header("x", 2**40, tarfile.XHDTYPE),
    "a name beyond every memory": header("x", 2**40, tarfile.GNUTYPE_LONGNAME),
    "an extension that takes minutes to search": with_words(b"1" * 200_000),
    "an extension with a size below zero": with_words(b"14 size=-1024\n"),
    "holes": header("blobs/" + "0" * 64, BLOCK, tarfile.GNUTYPE_SPARSE),
    "a path out": header("../../outside"),
    "a path from the root": header("/outside"),
    "a path of another system": header("..\\outside"),
    "a link": header("blobs/" + "1" * 64, 0, tarfile.SYMTYPE, "/etc/passwd"),
    "a hard link": header("blobs/" + "2" * 64, 0, tarfile.LNKTYPE, "../outside"),
    "a device": header("tables/x.jsonl", 0, tarfile.CHRTYPE),
    "a pipe": header("tables/x.jsonl", 0, tarfile.FIFOTYPE),
    "a folder": header("tables", 0, tarfile.DIRTYPE),
    "a member twice": header("tables/people.jsonl") + header("tables/people.jsonl"),
    "a member of which the manifest says nothing": header("blobs/" + "3" * 64),
    "no tar at all": b"\x7fELF" + bytes(508),
    "a header that was changed": header("tables/people.jsonl").replace(b"people", b"pepple"),
}


@pytest.mark.parametrize("what", IN_FRONT)
def test_a_tar_whose_headers_lie_is_refused_at_the_header(shop: Shop, tmp_path: Path, what: str) -> None:
    path = tmp_path / "made-up.standbook.tar"
    path.write_bytes(IN_FRONT[what] + shop.backup.read_bytes())
    is_refused(shop, path)


def test_a_tar_whose_name_is_three_gigabytes_of_nothing_is_refused_unread(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "holes.standbook.tar"
    with path.open("wb") as file:
        file.write(header("x", 3 * 2**30, tarfile.GNUTYPE_LONGNAME))
        file.truncate(3 * 2**30 + BLOCK)
    is_refused(shop, path)


def test_a_packed_bomb_is_not_unpacked(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "bomb.standbook.tar"
    with gzip.open(path, "wb", 9) as file:
        for _ in range(200):
            file.write(bytes(2**20))
    assert path.stat().st_size < 300_000
    is_refused(shop, path)


def test_a_backup_that_was_packed_and_cut_is_refused(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "cut.standbook.tar"
    path.write_bytes(gzip.compress(shop.backup.read_bytes())[:-100])
    is_refused(shop, path)


# --- a backup whose parts were changed, sums and all ---


def members_of(backup: Path) -> Members:
    with tarfile.open(backup) as tar:
        return {member.name: tar.extractfile(member).read() for member in tar.getmembers()}  # type: ignore[union-attr]


def written(path: Path, members: Members, **said: Any) -> Path:
    """A backup of these parts whose manifest fits them."""
    sums = {name: sum_of(data) for name, data in members.items() if name != MANIFEST}
    manifest = json.dumps({**json.loads(members[MANIFEST]), "members": sums, **said}).encode()
    with tarfile.open(path, "w") as tar:
        for name, data in {**members, MANIFEST: manifest}.items():
            member = tarfile.TarInfo(name)
            member.size = len(data)
            tar.addfile(member, io.BytesIO(data))
    return path


def sum_of(data: bytes) -> dict[str, Any]:
    return {"size": len(data), "sha256": hashlib.sha256(data).hexdigest()}


def first_row_of(table: str, **fields: Any) -> Callable[[Members], None]:
    def change(members: Members) -> None:
        name = f"tables/{table}.jsonl"
        first, *others = members[name].splitlines(keepends=True)
        members[name] = b"".join([json.dumps({**json.loads(first), **fields}).encode() + b"\n", *others])

    return change


def table_is(table: str, data: bytes) -> Callable[[Members], None]:
    def change(members: Members) -> None:
        members[f"tables/{table}.jsonl"] = data

    return change


CHANGES = {
    "brackets without end": table_is("people", b"[" * 100_000),
    "a row that is no object": table_is("people", b"[1]\n" * 3),
    "a row without end": table_is("people", b'{"id": "' + b"x" * (rows.MOST_ROW + 9)),
    "no rows": table_is("people", b""),
    "half a character": first_row_of("people", name="\ud800"),
    "a number in the place of bytes": first_row_of("people", name={"base64": 5}),
    "a list in the place of a name": first_row_of("people", name=["x"]),
    "a fraction in the place of a name": first_row_of("people", name=1.5),
    "a number beyond every database": first_row_of("devices", next_no=2**70),
    "a text in the place of a number": first_row_of("devices", next_no="abc"),
    "no number": first_row_of("devices", next_no=float("nan")),
    "nothing where something must be": first_row_of("devices", next_no=None),
    "somebody of another shop": first_row_of("people", shop="elsewhere"),
    "another word of an entry": first_row_of("entries", text="{}"),
    "another number of an entry": first_row_of("entries", device_no=9),
    "a file under no address": first_row_of("blobs", sha256="../outside"),
    "another end of the book": first_row_of("shops", last_seq=9),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_backup_whose_rows_were_changed_with_their_sums_is_refused(shop: Shop, tmp_path: Path, what: str) -> None:
    members = members_of(shop.backup)
    CHANGES[what](members)
    is_refused(shop, written(tmp_path / "changed.standbook.tar", members))


@pytest.mark.parametrize(
    "manifest",
    [b"{", b"[" * 100_000, b"[]", b"\xff", b"null", b'{"standbook": "standbook backup", "v": "1"}'],
    ids=["cut", "deep", "a list", "no text", "nothing", "a version in words"],
)
def test_a_manifest_that_is_none_is_told(shop: Shop, tmp_path: Path, manifest: bytes) -> None:
    path = tmp_path / "manifest.standbook.tar"
    path.write_bytes(header(MANIFEST, len(manifest)) + manifest.ljust(-(-len(manifest) // BLOCK) * BLOCK, b"\0"))
    is_refused(shop, path)


def test_a_refused_backup_leaves_none_of_its_files_behind(shop: Shop, tmp_path: Path) -> None:
    members = members_of(shop.backup)
    members["blobs/" + hashlib.sha256(b"new").hexdigest()] = b"new"
    CHANGES["another word of an entry"](members)
    is_refused(shop, written(tmp_path / "changed.standbook.tar", members))


@pytest.mark.parametrize("address", [hashlib.sha256(b"x").hexdigest(), "0" * 64])
def test_files_that_do_not_fit_their_address_are_never_put_back(shop: Shop, tmp_path: Path, address: str) -> None:
    path = written(tmp_path / "f.standbook.tar", {**members_of(shop.backup), f"blobs/{address}": b"others"})
    before = everything(shop.here.data)
    with pytest.raises(Trouble, match="damaged"):
        restore_files(shop.here, path)
    assert everything(shop.here.data) == before


def test_a_disk_without_room_is_told_before_anything_is_written(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Disk(1))
    with pytest.raises(Trouble, match="no room"):
        restore(shop.here, shop.backup)
    assert not (shop.here.data / "restoring").exists()


def test_a_backup_cannot_give_commands_to_the_terminal(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path / "t.standbook.tar", members_of(shop.backup), made_at="\x1b]0;mine\x07\x9b2J now")
    monkeypatch.setenv("STANDBOOK_DATA", str(tmp_path / "new"))
    assert main(["restore", str(path)]) == 0
    told = capsys.readouterr().out
    assert "now" in told
    assert [sign for sign in told if not sign.isprintable() and sign != "\n"] == []


LUCK = st.integers(0, 2**32)
FUZZED = settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])


@FUZZED
@given(LUCK)
def test_whatever_bytes_of_a_backup_are_changed_it_is_refused_in_words_or_read_whole(
    shop: Shop, tmp_path: Path, seed: int
) -> None:
    """Headers most of all: one byte of each in three is one of a header here."""
    luck = random.Random(seed)
    data = bytearray(shop.backup.read_bytes())
    for _ in range(luck.randint(1, 4)):
        at = luck.randrange(len(data))
        at = at - at % BLOCK + luck.choice((0, 100, 124, 135, 148, 156, 257)) if luck.random() < 0.5 else at
        data[at] = luck.choice((0, 0x80, 0xFF, luck.randrange(256)))
    cut = len(data) if luck.random() < 0.7 else luck.randrange(len(data))
    path = tmp_path / "any.standbook.tar"
    path.write_bytes(data[:cut])
    assert_told_or_whole(lambda: Reading(path))


def assert_told_or_whole(opened: Callable[[], Reading | Package]) -> None:
    try:
        archive = opened()
    except Trouble:
        return
    try:
        for name in archive.names():
            archive.check(name)
    except Trouble:
        return
    finally:
        archive.close()


WORD = st.sampled_from([None, True, -1, 0, 2**63, 1.5, "", "x", "0" * 64, [], {}, {"base64": "!"}, "\ud800", "\0"])


@settings(FUZZED, max_examples=20)
@given(st.lists(st.tuples(LUCK, WORD), min_size=1, max_size=3))
def test_whatever_a_row_says_it_is_refused_in_words_or_the_book_is_whole(
    shop: Shop, tmp_path: Path, changes: list[tuple[int, Any]]
) -> None:
    members = members_of(shop.backup)
    for seed, word in changes:
        change_a_row(members, random.Random(seed), word)
    target = tmp_path / f"book-{changes[0][0]}"
    path = written(tmp_path / "any.standbook.tar", members)
    try:
        restore(Settings(target, sqlite_url(target)), path)
    except Trouble:
        return
    book = Book(target)
    assert Caretaker(book.services).check().findings == []
    client = book.app.test_client()
    assert [client.get(f"/api/v1/{view}").status_code for view in ("shop", "builds", "sync/pull")] == [200] * 3
    book.close()
    shutil.rmtree(target)


def change_a_row(members: Members, luck: random.Random, word: Any) -> None:
    name = luck.choice([name for name in members if name.startswith("tables/") and members[name]])
    lines = members[name].splitlines()
    at = luck.randrange(len(lines))
    row = json.loads(lines[at])
    row[luck.choice(sorted(row))] = word
    lines[at] = json.dumps(row).encode()
    members[name] = b"\n".join(lines) + b"\n"


# --- the same for a data package ---


@pytest.fixture
def package(shop: Shop, tmp_path: Path) -> Path:
    return Path(shutil.copytree(shop.package, tmp_path / "package"))


def describe(package: Path, change: Callable[[Any], object]) -> None:
    said = json.loads((package / DESCRIPTOR).read_text("utf-8"))
    change(said)
    (package / DESCRIPTOR).write_text(json.dumps(said))


DESCRIPTIONS: dict[str, Callable[[Any], object]] = {
    "no version": lambda said: said["standbook"].pop("v"),
    "no book": lambda said: said["standbook"].pop("head"),
    "a number among the parts": lambda said: said["resources"].append(5),
    "a part without a path": lambda said: said["resources"].append({}),
    "a number for a sum": lambda said: said["resources"][0].update(hash=5),
    "a text for a size": lambda said: said["resources"][0].update(bytes="5"),
    "a list for counts": lambda said: said["standbook"].update(counts=[]),
    "a number for a revision": lambda said: said["standbook"].update(revision=5),
    "a number for a day": lambda said: said["standbook"].update(made_at=5),
}


@pytest.mark.parametrize("what", DESCRIPTIONS)
def test_a_descriptor_that_says_odd_things_is_told(shop: Shop, package: Path, what: str) -> None:
    describe(package, DESCRIPTIONS[what])
    is_refused(shop, package)


def test_a_descriptor_of_brackets_without_end_is_told(shop: Shop, package: Path) -> None:
    (package / DESCRIPTOR).write_text("[" * 100_000)
    is_refused(shop, package)


def test_a_pipe_in_the_place_of_a_table_keeps_nobody_waiting(shop: Shop, package: Path) -> None:
    (package / "tables" / "people.csv").unlink()
    os.mkfifo(package / "tables" / "people.csv")
    is_refused(shop, package)


def table_of(package: Path, table: str, change: Callable[[bytes], bytes]) -> None:
    """Changes a table and its sum."""
    path = package / "tables" / f"{table}.csv"
    data = change(path.read_bytes())
    path.write_bytes(data)
    said = sum_of(data)
    fits = {"bytes": said["size"], "hash": f"sha256:{said['sha256']}"}
    describe(package, lambda all: next(one for one in all["resources"] if one["name"] == table).update(fits))


TABLES: dict[str, Callable[[bytes], bytes]] = {
    "an open quotation mark": lambda data: data + b'"x',
    "a cell without end": lambda data: data + b"x" * 200_000,
    "a row of cells without end": lambda data: data + b"," * (rows.MOST_ROW + 9),
    "a row of lines without end": lambda data: data + b'"\n",' * (rows.MOST_ROW // 4),
    "a NUL": lambda data: data + b"\0,,,,\r\n",
    "no text": lambda data: data + b"\xff\xfe,,,,\r\n",
    "nothing": lambda data: b"",
    "a row twice": lambda data: data + data.splitlines(keepends=True)[-1],
}


@pytest.mark.parametrize("what", TABLES)
def test_a_table_that_was_changed_with_its_sum_is_refused(shop: Shop, package: Path, what: str) -> None:
    table_of(package, "people", TABLES[what])
    is_refused(shop, package)


@pytest.mark.parametrize("number", [b"9" * 30, b"9" * 5000, b"[" * 90_000, b"true", b"1.5", b"NaN", b"x"])
def test_a_number_that_is_none_is_refused(shop: Shop, package: Path, number: bytes) -> None:
    table_of(package, "devices", lambda data: data.replace(b",4,", b"," + number + b",", 1))
    is_refused(shop, package)


@FUZZED
@given(LUCK, st.recursive(st.none() | st.booleans() | st.integers() | st.text(max_size=9), st.lists, max_leaves=5))
def test_whatever_a_descriptor_says_it_is_refused_in_words_or_read_whole(
    shop: Shop, tmp_path: Path, seed: int, word: Any
) -> None:
    package = tmp_path / "package"
    if not package.exists():
        shutil.copytree(shop.package, package)
    said = json.loads((shop.package / DESCRIPTOR).read_text("utf-8"))
    change_somewhere(said, random.Random(seed), word)
    (package / DESCRIPTOR).write_text(json.dumps(said))
    assert_told_or_whole(lambda: Package(package))


def change_somewhere(value: Any, luck: random.Random, word: Any) -> None:
    key = luck.choice(sorted(value)) if isinstance(value, dict) else luck.randrange(len(value))
    if isinstance(value[key], (dict, list)) and value[key] and luck.random() < 0.8:
        change_somewhere(value[key], luck, word)
    else:
        value[key] = word
