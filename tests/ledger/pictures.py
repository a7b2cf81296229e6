"""Pictures for tests, made here: colours, sizes, and what a camera hides beside a picture."""

import hashlib
from io import BytesIO

from PIL import Image

GPS, ORIENTATION, MAKE = 0x8825, 0x0112, 0x010F
TURNED_RIGHT = 6


def jpeg(width: int = 64, height: int = 48, colour: tuple[int, int, int] = (180, 60, 20), **more: object) -> bytes:
    return written(Image.new("RGB", (width, height), colour), "JPEG", **more)


def written(image: Image.Image, kind: str, **more: object) -> bytes:
    out = BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def with_place() -> bytes:
    """A picture that says where it was taken, by what, and that it wants turning."""
    exif = Image.Exif()
    exif[MAKE] = "a camera"
    exif[ORIENTATION] = TURNED_RIGHT
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (50.0, 7.0, 11.0)
    return jpeg(64, 48, exif=exif, comment=b"who was there")


def address(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
