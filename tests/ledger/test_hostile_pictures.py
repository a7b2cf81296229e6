"""Pictures that somebody made to do harm: a bound for memory and time, and nothing but the picture is kept."""

import os
import resource
import time
import zlib
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from standbook import clock
from standbook.errors import Problem
from standbook.ledger import pictures, uploads
from standbook.ledger.photos import Piece
from standbook.ledger.pictures import redrawn
from tests.ledger.kit import Book
from tests.ledger.pictures import address, jpeg, with_place, written

SECRET = b"who was there and where"
SCAN, END = b"\xff\xda", b"\xff\xd9"


def progressive(width: int, height: int) -> bytes:
    return written(Image.new("RGB", (width, height), "red"), "JPEG", progressive=True)


def with_scans(data: bytes, more: int) -> bytes:
    """The last scan of a progressive JPEG again and again: each makes the reader walk over the whole picture."""
    at, end = data.rindex(SCAN), data.rindex(END)
    return data[:end] + data[at:end] * more + data[end:]


def refused(data: bytes) -> str:
    with pytest.raises(Problem) as told:
        redrawn(data)
    return told.value.code


def test_a_jpeg_of_a_thousand_scans_is_refused_before_it_takes_its_minutes() -> None:
    bomb = with_scans(progressive(6000, 6000), 5000)
    assert len(bomb) < 600_000
    begun = time.monotonic()
    assert refused(bomb) == "photo_unreadable"
    assert time.monotonic() - begun < 5


@pytest.mark.parametrize("more", [0, 5, 80])
def test_scans_are_counted_as_they_are(more: int) -> None:
    data = with_scans(progressive(64, 48), more)
    assert pictures.scans(data) == 10 + more
    assert redrawn(data).width == 64


def test_what_looks_like_scans_beside_and_behind_the_picture_is_none() -> None:
    beside = b"\xff\xe5" + (2 + 400).to_bytes(2) + SCAN * 200
    data = jpeg()
    assert pictures.scans(data[:2] + beside + data[2:] + SCAN * 500) == 1
    assert redrawn(data[:2] + beside + data[2:] + SCAN * 500).width == 64


@pytest.mark.parametrize(
    "data", [b"", b"\xff", b"\xff\xd8", b"\xff\xd8\xff", b"\xff\xd8\xff\xda", b"\xff\xd8" + SCAN * 9]
)
def test_counting_scans_comes_to_an_end_on_any_bytes(data: bytes) -> None:
    assert pictures.scans(data) <= 9


def chunk(kind: bytes, data: bytes) -> bytes:
    return len(data).to_bytes(4) + kind + data + zlib.crc32(kind + data).to_bytes(4)


def png_with(kind: bytes, data: bytes) -> bytes:
    """Right behind the head of a small PNG (RFC 2083: 8 bytes and the 25 of IHDR)."""
    small = written(Image.new("RGB", (9, 9)), "PNG")
    return small[:33] + chunk(kind, data) + small[33:]


def words() -> PngInfo:
    said = PngInfo()
    said.add_text("Author", SECRET.decode())
    said.add_itxt("Where", SECRET.decode(), zip=True)
    return said


FRAMES = [Image.new("RGB", (64, 48), colour) for colour in ("lime", "blue")]
CARRIERS = {
    "a JPEG with its place": with_place(),
    "a JPEG with a note behind its end": jpeg() + SECRET,
    "a JPEG that is a page too": b"".join((jpeg()[:2], b"\xff\xfe\x00\x19<script>alert(1)//", SECRET[:2], jpeg()[2:])),
    "a JPEG with an archive behind it": jpeg() + b"PK\x03\x04" + SECRET,
    "a JPEG with XMP": jpeg(xmp=SECRET),
    "a PNG with words": written(Image.new("RGB", (64, 48)), "PNG", pnginfo=words()),
    "a PNG with Exif": written(Image.new("RGB", (64, 48)), "PNG", exif=Image.open(BytesIO(with_place())).getexif()),
    "a moving PNG": written(Image.new("RGB", (64, 48)), "PNG", save_all=True, append_images=FRAMES, duration=9),
    "a moving WebP": written(Image.new("RGB", (64, 48)), "WEBP", save_all=True, append_images=FRAMES, duration=9),
    "a WebP with XMP": written(Image.new("RGB", (64, 48)), "WEBP", xmp=SECRET),
    "a WebP with its place": written(
        Image.new("RGB", (64, 48)), "WEBP", exif=Image.open(BytesIO(with_place())).getexif()
    ),
}


@pytest.mark.parametrize("what", CARRIERS)
def test_only_the_picture_is_kept(what: str) -> None:
    kept = redrawn(CARRIERS[what]).data
    with Image.open(BytesIO(kept)) as image:
        image.load()
        beside = {"jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi"}
        assert (image.format, dict(image.getexif()), set(image.info) - beside) == ("JPEG", {}, set())
        assert getattr(image, "n_frames", 1) == 1
    assert not [word for word in (SECRET, b"script", b"Exif", b"http://ns", b"a camera", b"PK") if word in kept]
    assert kept.endswith(END)
    assert kept.count(END) == 1


BOMBS = {
    "a PNG whose words unfold": png_with(b"zTXt", b"a\0\0" + zlib.compress(bytes(80 * 2**20), 9)),
    "a PNG whose colours unfold": png_with(b"iCCP", b"a\0\0" + zlib.compress(bytes(80 * 2**20), 9)),
    "a PNG that says it is a wall": written(Image.new("1", (6400, 6400)), "PNG"),
    "a PNG longer than any screen": written(Image.new("1", (400_000, 200)), "PNG"),
}


@pytest.fixture
def memory() -> Iterator[None]:
    """The system itself bounds what this process may take more than it has."""
    before = resource.getrlimit(resource.RLIMIT_AS)
    now = int(Path("/proc/self/statm").read_text().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    resource.setrlimit(resource.RLIMIT_AS, (now + 700 * 2**20, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_AS, before)


@pytest.mark.usefixtures("memory")
@pytest.mark.parametrize("what", BOMBS)
def test_a_small_file_cannot_unfold_beyond_the_bound(what: str) -> None:
    assert len(BOMBS[what]) < 200_000
    assert told(BOMBS[what]) in ("", "photo_unreadable", "photo_too_large")


def told(data: bytes) -> str:
    try:
        redrawn(data)
    except Problem as problem:
        return problem.code
    return ""


# --- beginnings that nobody goes on with ---


def begin(book: Book, number: int, size: int = 10) -> str:
    sha256 = address(str(number).encode())
    book.ledger.take_photo(sha256, Piece(0, b"x" * size, last=False))
    return sha256


def there(book: Book) -> set[str]:
    return {file.name for file in book.settings.uploads.iterdir()}


def aged(book: Book, sha256: str, seconds: float) -> None:
    moment = clock.now().timestamp() - seconds
    os.utime(book.settings.uploads / sha256, (moment, moment))


def test_beginnings_do_not_fill_the_disk_and_the_one_being_sent_stays(book: Book) -> None:
    first = begin(book, 0)
    for number in range(1, 2 * uploads.MOST_UNFINISHED):
        aged(book, begin(book, number), 60)
        offset = 10 * number
        assert book.ledger.take_photo(first, Piece(offset, b"y" * 10, last=False)) == (offset + 10, False)
    assert len(there(book)) == uploads.MOST_UNFINISHED


def test_a_beginning_of_which_nothing_came_for_weeks_goes_when_another_comes(book: Book) -> None:
    old, young = begin(book, 1), begin(book, 2)
    aged(book, old, uploads.STALE + 60)
    aged(book, young, uploads.STALE - 60)
    assert there(book) == {old, young}
    new = begin(book, 3)
    assert there(book) == {young, new}


def test_whose_beginning_went_is_told_where_to_go_on(book: Book) -> None:
    old = begin(book, 1)
    aged(book, old, uploads.STALE + 60)
    begin(book, 2)
    with pytest.raises(Problem) as problem:
        book.ledger.take_photo(old, Piece(10, b"y", last=False))
    assert (problem.value.code, problem.value.details) == ("wrong_offset", {"offset": 0})
