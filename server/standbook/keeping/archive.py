"""A backup's file: a tar with the tables as lines of JSON, the files under their addresses, and a manifest at its end.

The manifest has the sha256 and the size of every other member and the counts of what they hold, so that a backup that
was cut or changed anywhere is found before anything is done with it. Members are read by name and by hand
(`members.py`), never unpacked by their own paths.
"""

import hashlib
import io
import os
import re
import tarfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

import msgspec

from standbook.keeping import members, rows
from standbook.keeping.trouble import Trouble

MANIFEST = "manifest.json"
KIND, VERSION = "standbook backup", 1
NAMES = re.compile(r"tables/[a-z_]{1,40}\.jsonl|blobs/[0-9a-f]{64}")
#: A shop with a million photos has a manifest of this size; a larger one is none of ours.
MOST_MANIFEST = 200 * 1024 * 1024
#: Photos as the shop draws them stay far below it.
MOST_FILE = 128 * 1024 * 1024


class Member(msgspec.Struct):
    size: int
    sha256: str


class Said(msgspec.Struct):
    """What every version of a manifest says."""

    standbook: str
    v: int


class Manifest(msgspec.Struct):
    """What a backup holds. `revision`: of the tables; `counts`: rows by table; `head`, `last_seq`: where the book ends.

    `lacking`: addresses of files that the shop ought to have had and that were missing or damaged there; `with_files`:
    False where the files were left out, because they stay where they are.
    """

    made_at: str
    revision: str
    shop: str
    last_seq: int
    head: str
    counts: dict[str, int]
    members: dict[str, Member]
    lacking: list[str] = []
    with_files: bool = True


def private(path: str, flags: int) -> int:
    """A backup holds password hashes: it is nobody else's to read."""
    return os.open(path, flags, 0o600)


class Writing:
    """A tar being written to a new file. Nothing is good before `close` has put the manifest at its end."""

    def __init__(self, path: Path) -> None:
        self._file: IO[bytes] = open(path, "xb", opener=private)  # noqa: SIM115 closed by `close`
        self._tar = tarfile.open(fileobj=self._file, mode="w", format=tarfile.GNU_FORMAT)  # noqa: SIM115
        self.members: dict[str, Member] = {}

    def add(self, name: str, file: IO[bytes]) -> None:
        """An open file, from its beginning to its end."""
        size = file.seek(0, os.SEEK_END)
        file.seek(0)
        self.members[name] = Member(size, digest(file))
        file.seek(0)
        self._tar.addfile(info(name, size), file)

    def finish(self, about: dict[str, Any]) -> None:
        """The manifest, and everything through to the disk."""
        text = msgspec.json.encode({"standbook": KIND, "v": VERSION, **about, "members": self.members})
        text = msgspec.json.format(text, indent=1)
        self._tar.addfile(info(MANIFEST, len(text)), io.BytesIO(text))
        self._tar.close()
        self._file.flush()
        os.fsync(self._file.fileno())

    def close(self) -> None:
        self._file.close()


def info(name: str, size: int) -> tarfile.TarInfo:
    member = tarfile.TarInfo(name)
    member.size, member.mtime, member.mode = size, int(time.time()), 0o600
    return member


def digest(file: Any) -> str:
    return hashlib.file_digest(file, "sha256").hexdigest()


class Reading:
    """A backup opened for reading. Raises Trouble when it is none, was cut short, is newer or holds strange members."""

    def __init__(self, path: Path) -> None:
        self.name = path.name
        self._file = opened(path)
        try:
            self._found = members.find(self._file, is_ours)
            self.manifest = self._read_manifest()
            self._check_members()
        except members.Strange as error:
            self.close()
            raise strange(path.name) from error
        except (tarfile.TarError, OSError, ValueError, RecursionError) as error:
            self.close()
            raise no_backup(path.name) from error
        except Trouble:
            self.close()
            raise

    def _read_manifest(self) -> Manifest:
        place = self._found.get(MANIFEST)
        if place is None or place.size > MOST_MANIFEST:
            raise no_backup(self.name)
        text = self.open(MANIFEST).read()
        said = msgspec.json.decode(text, type=Said)
        if said.standbook != KIND:
            raise no_backup(self.name)
        if said.v != VERSION:
            raise Trouble(f"{self.name} was written by a newer Standbook. Update this one first.")
        return msgspec.json.decode(text, type=Manifest)

    def _check_members(self) -> None:
        """Exactly those that the manifest names, and no file so large that memory could not hold it."""
        large = [name for name in self.names("blobs/") if self.manifest.members[name].size > MOST_FILE]
        if large or set(self._found) != {MANIFEST, *self.manifest.members}:
            raise strange(self.name)

    def names(self, folder: str = "") -> list[str]:
        """Names of the members beside the manifest: all, or those in a folder, `tables/` or `blobs/`."""
        return [name for name in self.manifest.members if name.startswith(folder)]

    def open(self, name: str) -> IO[bytes]:
        return members.part(self._file, self._found[name])

    def lines(self, name: str) -> Iterator[bytes]:
        """Raises ValueError for a line that is longer than any row."""
        with self.open(name) as file:
            while line := file.readline(rows.MOST_ROW):
                if len(line) == rows.MOST_ROW:
                    raise ValueError("a row without an end")
                yield line

    def check(self, name: str) -> None:
        """Raises Trouble when a member is not what the manifest says, or a file does not fit its address."""
        said, address = self.manifest.members[name], name.removeprefix("blobs/")
        try:
            found = digest(self.open(name))
        except OSError as error:
            raise no_backup(self.name) from error
        fits = found == said.sha256 and self._found[name].size == said.size
        if not fits or (name.startswith("blobs/") and found != address):
            raise Trouble(f"{self.name} is damaged: {name} in it was changed. Take another backup.")

    def close(self) -> None:
        self._file.close()


def is_ours(name: str) -> bool:
    return name == MANIFEST or NAMES.fullmatch(name) is not None


def opened(path: Path) -> IO[bytes]:
    try:
        return path.open("rb")
    except FileNotFoundError as error:
        raise Trouble(f"There is no file {path}.") from error
    except IsADirectoryError as error:
        raise Trouble(f"{path} is a folder. Name the backup's file.") from error
    except PermissionError as error:
        raise Trouble(f"{path} may not be read by you.") from error
    except OSError as error:
        raise no_backup(path.name) from error


def no_backup(name: str) -> Trouble:
    return Trouble(f"{name} is no backup of Standbook, or it was cut short or damaged.")


def strange(name: str) -> Trouble:
    return Trouble(f"{name} holds something that no backup holds, or lacks a part. It is not touched.")
