"""Pictures from phones, drawn anew: nothing that a file can carry beside its picture reaches the shop's folder."""

from io import BytesIO
from typing import NamedTuple

from PIL import Image, ImageOps

from standbook.errors import Problem

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_PIXELS = 40_000_000
QUALITY = 88
SMALL_EDGE = 320
# What Pillow raises for bytes that are no whole picture.
BROKEN = (OSError, ValueError, SyntaxError, EOFError, KeyError, IndexError, Image.DecompressionBombError)


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
                raise Problem("photo_too_large", pixels=MOST_PIXELS // 1_000_000)
            return written(ImageOps.exif_transpose(opened).convert("RGB"), QUALITY)
    except BROKEN as error:
        raise Problem("photo_unreadable") from error


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
