"""Files by their sha256: whole or not at all."""

import errno
import hashlib
from pathlib import Path
from typing import Any

import pytest

from standbook.errors import Problem
from standbook.ledger import blobs
from tests.ledger.kit import Book

DATA = b"what the signature showed"
SHA256 = hashlib.sha256(DATA).hexdigest()


def files(book: Book) -> list[Path]:
    return [path for path in book.settings.blobs.rglob("*") if path.is_file()]


def test_a_file_comes_back_as_it_was_given(book: Book) -> None:
    assert book.ledger.keep_blob(SHA256, DATA) is True
    assert book.ledger.blob(SHA256) == DATA


def test_the_same_file_again_changes_nothing(book: Book) -> None:
    book.ledger.keep_blob(SHA256, DATA)
    assert book.ledger.keep_blob(SHA256, DATA) is False
    assert len(files(book)) == 1


def test_bytes_that_do_not_fit_their_address_are_refused(book: Book) -> None:
    with pytest.raises(Problem, match=SHA256):
        book.ledger.keep_blob("0" * 64, DATA)
    assert files(book) == []


@pytest.mark.parametrize("address", ["0" * 64, "..", "../../standbook.db", "A" * 64, SHA256 + "\n", ""])
def test_an_address_that_names_nothing_is_unknown(book: Book, address: str) -> None:
    with pytest.raises(Problem) as told:
        book.ledger.blob(address)
    assert told.value.code == "unknown_blob"


def test_a_file_that_the_disk_has_changed_is_not_handed_out(book: Book) -> None:
    book.ledger.keep_blob(SHA256, DATA)
    files(book)[0].write_bytes(b"something else")
    with pytest.raises(Problem) as told:
        book.ledger.blob(SHA256)
    assert told.value.code == "blob_damaged"


def test_a_full_disk_leaves_no_half_file_and_heals(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def half(path: Path, data: bytes) -> Any:
        path.write_bytes(data[:5])
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(blobs, "write_through", half)
        with pytest.raises(Problem) as told:
            book.ledger.keep_blob(SHA256, DATA)
    assert (told.value.code, files(book)) == ("disk_full", [])
    assert book.ledger.keep_blob(SHA256, DATA) is True
