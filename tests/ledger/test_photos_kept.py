"""Photos at the shop when phones, disks and libraries do what they do: kept whole, once, or taken up again (LG13)."""

import resource
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from standbook.errors import Problem
from standbook.ledger import photos, pictures
from standbook.ledger.photos import Piece
from standbook.ledger.pictures import Picture
from tests.ledger.kit import Book
from tests.ledger.pictures import address, jpeg

PICTURE = jpeg(400, 300)
ADDRESS = address(PICTURE)
MIDDLE = len(PICTURE) // 2


def send(book: Book, start: int = 0, end: int = len(PICTURE)) -> tuple[int, bool]:
    return book.ledger.take_photo(ADDRESS, Piece(start, PICTURE[start:end], end == len(PICTURE)))


def told(book: Book, start: int, end: int) -> str:
    with pytest.raises(Problem) as caught:
        send(book, start, end)
    return caught.value.code


def copies(book: Book) -> list[Any]:
    return [path for path in book.settings.blobs.rglob("*") if path.is_file()]


def phone_sends(book: Book, piece: int) -> tuple[int, bool]:
    """What the phone's app does: asks how much has come, sends on from there, believes the shop's count."""
    come = book.ledger.photo_offset(ADDRESS)
    while not come[1]:
        try:
            come = send(book, come[0], min(come[0] + piece, len(PICTURE)))
        except Problem as problem:
            come = (problem.details["offset"], False)
    return come


def test_lg13_two_phones_that_send_the_same_photo_at_once_both_hear_that_it_is_kept(book: Book) -> None:
    together = threading.Barrier(4)

    def phone(piece: int) -> tuple[int, bool]:
        together.wait()
        return phone_sends(book, piece)

    with ThreadPoolExecutor(4) as pool:
        assert [come[1] for come in pool.map(phone, (97, 101, 500, len(PICTURE)))] == [True] * 4
    assert book.sql("SELECT count(*) FROM photos") == [(1,)]
    assert len(copies(book)) == 1
    assert list(book.settings.uploads.iterdir()) == []


def test_lg13_a_piece_that_waited_until_the_photo_was_kept_is_told_so_and_begins_nothing_anew(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawing, waiting = threading.Event(), threading.Event()

    def slowly(data: bytes) -> Picture:
        drawing.set()
        waiting.wait(10)
        return pictures.redrawn(data)

    monkeypatch.setattr(photos, "redrawn", slowly)
    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(send, book)
        drawing.wait(10)
        second = pool.submit(send, book, MIDDLE)
        waiting.set()
        assert (first.result(10)[1], second.result(10)[1]) == (True, True)
    assert list(book.settings.uploads.iterdir()) == []


def lose(book: Book) -> None:
    (copy,) = copies(book)
    copy.unlink()


def flip_a_byte(book: Book) -> None:
    (copy,) = copies(book)
    copy.write_bytes(copy.read_bytes()[:-1] + b"\0")


@pytest.mark.parametrize("damage", [lose, flip_a_byte])
def test_lg13_a_copy_that_the_disk_lost_or_changed_is_asked_for_again_and_made_good(book: Book, damage: Any) -> None:
    send(book)
    damage(book)
    assert book.ledger.photo_offset(ADDRESS) == (0, False)
    assert send(book) == (len(PICTURE), True)
    assert book.ledger.photo(ADDRESS, False)[:2] == b"\xff\xd8"
    assert book.ledger.photo_offset(ADDRESS)[1]


def test_lg13_a_lost_copy_that_another_library_draws_anew_is_found_under_its_new_address(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    send(book)
    before = book.ledger.photo(ADDRESS, False)
    lose(book)
    monkeypatch.setattr(pictures, "QUALITY", 70)
    send(book)
    assert book.ledger.photo(ADDRESS, False) != before
    assert book.sql("SELECT count(*) FROM photos") == [(1,)]


@contextmanager
def files_no_larger_than(size: int) -> Iterator[None]:
    """The system itself stops every write beyond it in the middle, as a full disk does."""
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


def test_lg13_a_piece_of_which_only_a_part_fitted_goes_on_after_that_part(book: Book) -> None:
    send(book, 0, 100)
    with files_no_larger_than(MIDDLE):
        assert told(book, 100, len(PICTURE)) == "disk_trouble"
    assert book.ledger.photo_offset(ADDRESS) == (MIDDLE, False)
    assert (book.settings.uploads / ADDRESS).read_bytes() == PICTURE[:MIDDLE]
    assert send(book, MIDDLE)[1]


def test_lg13_a_photo_whose_row_the_database_has_no_room_for_is_kept_at_the_next_try(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any) -> None:
        raise Problem("disk_full")

    with monkeypatch.context() as without_room:
        without_room.setattr(photos, "note_kept", full)
        assert told(book, 0, len(PICTURE)) == "disk_full"
    assert book.ledger.photo_offset(ADDRESS) == (len(PICTURE), False)
    with pytest.raises(Problem, match="does not have this file"):
        book.ledger.photo(ADDRESS, False)
    assert send(book, len(PICTURE))[1]
    assert len(copies(book)) == 1


def test_lg13_the_copy_is_on_the_disk_before_the_book_names_it_and_the_pieces_go_last(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[int, bool]] = []
    note = photos.note_kept

    def looking(*words: Any) -> None:
        seen.append((len(copies(book)), (book.settings.uploads / ADDRESS).exists()))
        note(*words)

    monkeypatch.setattr(photos, "note_kept", looking)
    send(book)
    assert seen == [(1, True)]


def test_a_small_copy_keeps_its_shape_and_is_never_larger_than_the_picture(book: Book) -> None:
    for width, height, expected in ((1600, 800, (320, 160)), (60, 90, (60, 90)), (4000, 10, (320, 1))):
        data = jpeg(width, height)
        book.ledger.take_photo(address(data), Piece(0, data, True))
        assert size_of(book.ledger.photo(address(data), True)) == expected


def size_of(data: bytes) -> tuple[int, int]:
    with Image.open(BytesIO(data)) as image:
        return image.size
