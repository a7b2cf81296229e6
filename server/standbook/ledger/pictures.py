"""Pictures from phones, drawn anew: nothing that a file can carry beside its picture reaches the shop's folder."""

import struct
from io import BytesIO
from typing import NamedTuple

from PIL import Image
from PIL.Image import Transpose

from standbook.errors import Problem

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_PIXELS = 40_000_000
# A camera's progressive JPEG has ten. Sixty bytes make one more, and each is a walk over the whole picture.
MOST_SCANS = 100
QUALITY = 88
SMALL_EDGE = 320
# What Pillow raises for bytes that are no whole picture.
BROKEN = (OSError, ValueError, SyntaxError, EOFError, KeyError, IndexError, TypeError, struct.error)
TOO_LARGE = Image.DecompressionBombError
# Exif 2.32, tag 274: how the picture has to be turned to stand upright.
ORIENTATION = 0x0112
SCAN, END = b"\xda", b"\xd9"
TURNS = {
    2: Transpose.FLIP_LEFT_RIGHT,
    3: Transpose.ROTATE_180,
    4: Transpose.FLIP_TOP_BOTTOM,
    5: Transpose.TRANSPOSE,
    6: Transpose.ROTATE_270,
    7: Transpose.TRANSVERSE,
    8: Transpose.ROTATE_90,
}


class Picture(NamedTuple):
    """JPEG bytes with their size in pixels."""

    data: bytes
    width: int
    height: int


def redrawn(data: bytes) -> Picture:
    """The picture alone, upright, as JPEG: no place, no camera, no name, nothing hidden behind its end.

    Raises Problem photo_unreadable, or photo_too_large before a small file can unfold into a large memory.
    """
    try:
        with Image.open(BytesIO(data), formats=FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise too_large()
            if opened.format == "JPEG" and scans(data) > MOST_SCANS:
                raise Problem("photo_unreadable")
            return written(flat(upright(opened)), QUALITY)
    except TOO_LARGE as error:
        raise too_large() from error
    except BROKEN as error:
        raise Problem("photo_unreadable") from error


def scans(data: bytes) -> int:
    """How many scans a JPEG has up to its end (ITU-T T.81, annex B), as far as it is whole."""
    found, at = 0, 2
    while (at := data.find(b"\xff", at)) != -1 and data[at + 1 : at + 2] != END:
        marker = data[at + 1 : at + 2]
        found += marker == SCAN
        # Fill bytes, a 255 among the picture's own bytes, and restart marks have no length behind them.
        alone = marker in (b"", b"\xff", b"\x00", b"\x01") or b"\xd0" <= marker <= b"\xd8"
        step = 1 if marker == b"\xff" else 2
        at += step if alone else 2 + int.from_bytes(data[at + 2 : at + 4])
    return found


def too_large() -> Problem:
    return Problem("photo_too_large", pixels=MOST_PIXELS // 1_000_000)


def upright(image: Image.Image) -> Image.Image:
    """Turned as its camera said. Broken words beside a whole picture do not spoil it: it stays as it lies."""
    try:
        turn = TURNS.get(image.getexif().get(ORIENTATION) or 1)
    except BROKEN:
        turn = None
    return image if turn is None else image.transpose(turn)


def flat(image: Image.Image) -> Image.Image:
    """Without what shows through: black lines on nothing would be black on black."""
    if not image.has_transparency_data:
        return image.convert("RGB")
    layer = image.convert("RGBA")
    ground = Image.new("RGB", image.size, "white")
    ground.paste(layer, mask=layer)
    return ground


def small(data: bytes) -> bytes:
    """A picture of the shop's folder for a list: its long edge 320 px at most."""
    with Image.open(BytesIO(data), formats=FORMATS) as opened:
        opened.draft("RGB", (SMALL_EDGE, SMALL_EDGE))
        opened.thumbnail((SMALL_EDGE, SMALL_EDGE))
        return written(opened.convert("RGB"), QUALITY).data


def written(image: Image.Image, quality: int) -> Picture:
    out = BytesIO()
    # Pillow writes again what it has read beside the picture, unless the image is told to know nothing.
    image.info.clear()
    image.save(out, "JPEG", quality=quality, optimize=True)
    return Picture(out.getvalue(), image.width, image.height)
