"""A backup's file: a tar with the tables as lines of JSON, the blobs under their addresses, and a manifest at its end.

The manifest has the sha256 and the size of every other member, so that a file that was cut or changed anywhere is
found before anything is done with it. Members are read by name and by hand, never unpacked by their own paths.
"""

import hashlib
import io
import json
import re
import tarfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from standbook.keeping.trouble import Trouble

MANIFEST = "manifest.json"
KIND, VERSION = "standbook backup", 1
NAMES = re.compile(r"tables/[a-z_]{1,40}\.jsonl|blobs/[0-9a-f]{64}")


class Manifest(NamedTuple):
    """What a backup holds. `revision`: of the tables; `members`: {name: {"size", "sha256"}}."""

    made_at: str
    revision: str
    shop: str
    last_seq: int
    head: str
    members: dict[str, dict[str, Any]]


class Writing:
    """A tar being written. Nothing is good before `close` has put the manifest at its end."""

    def __init__(self, path: Path) -> None:
        self._tar = tarfile.open(path, "w", format=tarfile.PAX_FORMAT)  # noqa: SIM115 closed by `close`
        self.members: dict[str, dict[str, Any]] = {}

    def add_file(self, name: str, path: Path) -> None:
        with path.open("rb") as file:
            self.members[name] = {"size": path.stat().st_size, "sha256": digest(file)}
            file.seek(0)
            self._tar.addfile(info(name, path.stat().st_size), file)

    def close(self, **about: Any) -> None:
        text = json.dumps({"standbook": KIND, "v": VERSION, **about, "members": self.members}, indent=1).encode()
        self._tar.addfile(info(MANIFEST, len(text)), io.BytesIO(text))
        self._tar.close()


def info(name: str, size: int) -> tarfile.TarInfo:
    member = tarfile.TarInfo(name)
    member.size, member.mtime, member.mode = size, int(time.time()), 0o600
    return member


def digest(file: Any) -> str:
    return hashlib.file_digest(file, "sha256").hexdigest()


def no_backup(path: Path) -> Trouble:
    return Trouble(f"{path.name} is no backup of Standbook, or it was cut short.")


def opened(path: Path) -> tarfile.TarFile:
    try:
        return tarfile.open(path, "r:")
    except FileNotFoundError as error:
        raise Trouble(f"There is no file {path}.") from error
    except (tarfile.TarError, OSError, EOFError) as error:
        raise no_backup(path) from error


class Reading:
    """A backup opened for reading; whole and unchanged, or Trouble says what is wrong with it."""

    def __init__(self, path: Path) -> None:
        self._tar = opened(path)
        try:
            self._found = {member.name: member for member in self._tar.getmembers()}
            self.manifest = self._read_manifest(path.name)
            self._check_names(path.name)
        except (tarfile.TarError, OSError, EOFError) as error:
            self.close()
            raise no_backup(path) from error
        except Trouble:
            self.close()
            raise

    def _read_manifest(self, name: str) -> Manifest:
        try:
            said = json.loads(self.bytes_of(MANIFEST))
            if said["standbook"] != KIND:
                raise KeyError("standbook")
            if said["v"] != VERSION:
                raise Trouble(f"{name} was written by a newer Standbook. Update this one first.")
            return Manifest(*(said[field] for field in Manifest._fields))
        except (KeyError, ValueError, TypeError) as error:
            raise Trouble(f"{name} is no backup of Standbook, or it was cut short.") from error

    def _check_names(self, name: str) -> None:
        """Only plain files with names of ours, each once, and exactly those that the manifest names."""
        plain = all(member.isreg() for member in self._found.values())
        once = len(self._found) == len(self._tar.getmembers())
        known = all(NAMES.fullmatch(member) for member in self.manifest.members)
        if not (plain and once and known and set(self._found) == {MANIFEST, *self.manifest.members}):
            raise Trouble(f"{name} holds something that no backup holds. It is not touched.")

    def names(self) -> list[str]:
        return list(self.manifest.members)

    def lines(self, name: str) -> Iterator[bytes]:
        file = self._tar.extractfile(self._found[name])
        assert file is not None
        return iter(file)

    def bytes_of(self, name: str) -> bytes:
        file = self._tar.extractfile(self._found[name])
        assert file is not None
        return file.read()

    def check(self, name: str) -> None:
        """Raises Trouble when a member is not what the manifest says."""
        said = self.manifest.members[name]
        file = self._tar.extractfile(self._found[name])
        assert file is not None
        if self._found[name].size != said["size"] or digest(file) != said["sha256"]:
            raise Trouble(f"The backup is damaged: {name} in it was changed. Take an older one.")

    def close(self) -> None:
        self._tar.close()
