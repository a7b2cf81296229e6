"""A file that was answered as kept outlives a power cut, and a full disk loses none of its pieces (LG13, LG14)."""

import os
import stat
from pathlib import Path
from typing import Any

import pytest

from standbook.errors import Problem
from standbook.ledger.blobs import BlobStore
from standbook.ledger.photos import Piece
from tests.ledger.kit import Book
from tests.ledger.pictures import address, jpeg

PICTURE = jpeg(400, 300)
ADDRESS = address(PICTURE)


def test_lg13_a_file_is_on_the_disk_before_it_has_its_name(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    flush, name = os.fsync, Path.replace

    def flushed(handle: int) -> None:
        done.append("folder flushed" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file flushed")
        flush(handle)

    def named(path: Path, target: Any) -> Path:
        done.append("named")
        return name(path, target)

    monkeypatch.setattr(os, "fsync", flushed)
    monkeypatch.setattr(Path, "replace", named)
    BlobStore(book.settings.blobs).put(ADDRESS, PICTURE)
    assert done == ["file flushed", "named", "folder flushed"]


def test_lg13_a_photo_that_a_full_disk_did_not_take_goes_on_from_where_it_was(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    book.ledger.take_photo(ADDRESS, Piece(0, PICTURE[:1000], False))
    with monkeypatch.context() as on_a_full_disk:
        on_a_full_disk.setattr(BlobStore, "put", full)
        with pytest.raises(Problem) as told:
            book.ledger.take_photo(ADDRESS, Piece(1000, PICTURE[1000:], True))
    assert told.value.code == "disk_full"
    assert book.ledger.photo_offset(ADDRESS) == (len(PICTURE), False)
    assert book.ledger.take_photo(ADDRESS, Piece(len(PICTURE), b"", True))[1]
