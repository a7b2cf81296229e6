"""The members of a backup's tar, found by hand: plain files with names that are let in, one header after the other.

Python's tarfile does what a header says before anybody can look at it: it reads an extension header of any size into
memory, follows sizes below zero, and searches long ones for minutes. A backup of ours has none of that.
"""

import io
import os
import tarfile
from collections.abc import Callable, Iterator
from typing import IO, Any, NamedTuple

BLOCK = tarfile.BLOCKSIZE
PLAIN = (tarfile.REGTYPE, tarfile.AREGTYPE)


class Strange(ValueError):
    """A member that no backup of ours holds."""


class Place(NamedTuple):
    """Where a member's bytes lie in the file."""

    start: int
    size: int


def find(file: IO[bytes], let_in: Callable[[str], bool]) -> dict[str, Place]:
    """The members by name. Raises Strange, ValueError where the file was cut short, or tarfile.TarError."""
    found: dict[str, Place] = {}
    for name, place in headers(file, file.seek(0, os.SEEK_END)):
        if name in found or not let_in(name):
            raise Strange(name)
        found[name] = place
    return found


def headers(file: IO[bytes], end: int) -> Iterator[tuple[str, Place]]:
    at = 0
    while at < end:
        file.seek(at)
        block = file.read(BLOCK)
        if block == bytes(BLOCK):
            return
        header = tarfile.TarInfo.frombuf(block, "utf-8", "surrogateescape")
        if header.type not in PLAIN or header.size < 0:
            raise Strange(header.name)
        place = Place(at + BLOCK, header.size)
        if place.start + place.size > end:
            raise ValueError("cut short")
        yield header.name, place
        at = place.start + -(-place.size // BLOCK) * BLOCK


class Part(io.RawIOBase):
    """A member's bytes. Several may be read by turns: each knows where it is."""

    def __init__(self, file: IO[bytes], place: Place) -> None:
        self._file = file
        self._at = place.start
        self._end = place.start + place.size

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        self._file.seek(self._at)
        data = self._file.read(min(len(buffer), self._end - self._at))
        buffer[: len(data)] = data
        self._at += len(data)
        return len(data)


def part(file: IO[bytes], place: Place) -> io.BufferedReader:
    return io.BufferedReader(Part(file, place))
