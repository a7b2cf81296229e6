"""The test shop with a photo, a signature's text and something held back in it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from standbook.caretaker import Caretaker
from standbook.ledger.photos import Piece
from tests.ledger.kit import Book, Phone, book, opened, phone, template
from tests.ledger.pictures import address, jpeg
from tests.ledger.postgres import DATABASES, on_either

__all__ = ["book", "phone", "template"]

PICTURE = jpeg(200, 150)
SHOWN = b'{"shown": "here"}'


def photo_body() -> dict[str, object]:
    photo = {"sha256": address(PICTURE), "size": len(PICTURE), "type": "image/jpeg", "width": 200, "height": 150}
    return {"v": 1, "photo": photo, "caption": ""}


@pytest.fixture(params=DATABASES)
def either(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Book]:
    """The shop on SQLite, and once more on PostgreSQL."""
    yield from on_either(request, tmp_path / "either")


@pytest.fixture
def full(book: Book, phone: Phone) -> Book:
    return filled(book, phone)


def filled(book: Book, phone: Phone) -> Book:
    """A book with entries, one held back, a text blob and a photo."""
    phone.push(1, [phone.write(), phone.write(person="nobody"), phone.write("photo", body=photo_body())])
    book.ledger.keep_blob(address(SHOWN), SHOWN)
    book.ledger.take_photo(address(PICTURE), Piece(0, PICTURE, last=True))
    return book


@pytest.fixture
def caretaker(full: Book) -> Caretaker:
    return Caretaker(full.services)


@pytest.fixture
def other(template: Path, tmp_path: Path) -> Iterator[Book]:
    """Another folder with a shop of its own."""
    yield from opened(template, tmp_path / "other")
