"""A data package from outside, opened for reading as a backup is (`archive.Reading`).

Whoever made it may have changed anything in it: what its descriptor says is checked by kind, only paths of ours are
opened, only plain files are read, and no row is longer than one of ours can be.
"""

import csv
import io
import json
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import msgspec

from standbook.keeping import rows
from standbook.keeping.archive import MOST_FILE, Manifest, Member, digest
from standbook.keeping.package import DESCRIPTOR, KIND, VERSION, columns, tables, value_of
from standbook.keeping.trouble import Trouble

#: What is read: nothing else that a descriptor may name is ever opened.
TABLE, FILE = (re.compile(words) for words in (r"tables/([a-z_]{1,40})\.csv", r"files/([0-9a-f]{64})(\.jpg)?"))
MOST_DESCRIPTOR = 200 * 1024 * 1024


class Said(msgspec.Struct):
    """What every version of a descriptor says of itself."""

    kind: str
    v: int


class About(msgspec.Struct):
    made_at: str
    revision: str
    shop: str
    last_seq: int
    head: str
    counts: dict[str, int]
    lacking: list[str]


class Resource(msgspec.Struct):
    """`hash`: the kind of sum before a colon, then the sum."""

    path: str
    hash: str
    bytes: int


class First(msgspec.Struct):
    standbook: Said


class Descriptor(msgspec.Struct):
    standbook: About
    resources: list[Resource]


class Package:
    """A package in its folder. Raises Trouble when it is none of ours."""

    def __init__(self, folder: Path) -> None:
        self.name = folder.name
        self._folder = folder
        try:
            said = self._descriptor()
        except (OSError, ValueError, RecursionError) as error:
            raise no_package(self.name) from error
        self._paths = {name: one.path for one in said.resources if (name := member_of(one.path))}
        members = {name: Member(one.bytes, sum_of(one)) for one in said.resources if (name := member_of(one.path))}
        self.manifest = Manifest(**msgspec.structs.asdict(said.standbook), members=members)

    def _descriptor(self) -> Descriptor:
        path = self._folder / DESCRIPTOR
        if path.stat().st_size > MOST_DESCRIPTOR:
            raise no_package(self.name)
        text = path.read_bytes()
        said = msgspec.json.decode(text, type=First).standbook
        if said.kind != KIND:
            raise no_package(self.name)
        if said.v != VERSION:
            raise Trouble(f"{self.name} was written by a newer Standbook. Update this one first.")
        return msgspec.json.decode(text, type=Descriptor)

    def names(self, folder: str = "") -> list[str]:
        return [name for name in self.manifest.members if name.startswith(folder)]

    def open(self, name: str) -> IO[bytes]:
        """A plain file of the package itself: a link may lead anywhere, a pipe may never end."""
        path = self._folder / self._paths[name]
        if path.is_symlink() or path.parent.is_symlink():
            raise Trouble(f"{self.name} holds a link in the place of {path.name}. It is not touched.")
        try:
            if stat.S_ISREG(path.stat().st_mode):
                return path.open("rb")
        except OSError as error:
            raise Trouble(f"{self.name} lacks a part: {path.name}.") from error
        raise Trouble(f"{self.name} holds something else in the place of {path.name}. It is not touched.")

    def check(self, name: str) -> None:
        """Raises Trouble when a file is not what the descriptor says, or does not fit its address."""
        said, address = self.manifest.members[name], name.removeprefix("blobs/")
        with self.open(name) as file:
            found = digest(file)
            fits = found == said.sha256 and file.tell() == said.size
        if name.startswith("blobs/"):
            fits = fits and found == address and said.size <= MOST_FILE
        if not fits:
            raise Trouble(f"{self.name} is damaged: {self._paths[name]} in it was changed.")

    def lines(self, name: str) -> Iterator[bytes]:
        """A table's rows as a backup has them. Raises ValueError for what is no row of it."""
        (table,) = [one for one in tables() if f"tables/{one.name}.jsonl" == name]
        known = {column.name: column for column in columns(table)}
        with self.open(name) as file, io.TextIOWrapper(file, encoding="utf-8", newline="") as text:
            for row in rows_of_csv(text):
                found = {at: rows.packed(value_of(known[at], said)) for at, said in row.items() if at in known}
                yield json.dumps(found).encode()

    def close(self) -> None:
        """Nothing is held open."""


def rows_of_csv(text: io.TextIOWrapper) -> Iterator[dict[str, str]]:
    """The rows by the names of their columns. Raises ValueError for one of another length, or without an end."""
    given = 0

    def lines() -> Iterator[str]:
        nonlocal given
        while line := text.readline(rows.MOST_ROW - given):
            given += len(line)
            if given >= rows.MOST_ROW:
                raise ValueError("a row without an end")
            yield line

    try:
        for row in csv.DictReader(lines(), strict=True):
            given = 0
            if None in row or None in row.values():
                raise ValueError("a row of another length")
            yield row
    except csv.Error as error:
        raise ValueError("no row") from error


def member_of(path: str) -> str:
    """How a backup calls what lies at a path; "" for what is not taken in."""
    table, file = TABLE.fullmatch(path), FILE.fullmatch(path)
    if table:
        return f"tables/{table[1]}.jsonl"
    return f"blobs/{file[1]}" if file else ""


def sum_of(resource: Resource) -> str:
    return resource.hash.removeprefix("sha256:")


def no_package(name: str) -> Trouble:
    return Trouble(f"{name} is no data package of Standbook, or it was cut short or damaged.")
