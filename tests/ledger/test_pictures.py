"""What becomes of a picture's bytes: the picture alone, upright, or a named refusal (LG13)."""

import random
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps

from standbook.errors import Problem
from standbook.ledger.pictures import redrawn
from tests.ledger.pictures import ORIENTATION, jpeg, with_place, written

CORNERS = {(0, 0): "red", (1, 0): "lime", (0, 1): "blue", (1, 1): "white"}


def four_colours(turn: int) -> bytes:
    """A picture with a colour of its own in each quarter, and a wish to be turned."""
    image = Image.new("RGB", (64, 32))
    for (right, down), colour in CORNERS.items():
        image.paste(colour, (32 * right, 16 * down, 32 * right + 32, 16 * down + 16))
    exif = Image.Exif()
    exif[ORIENTATION] = turn
    return written(image, "JPEG", quality=95, exif=exif)


def quarters(image: Image.Image) -> list[tuple[bool, ...]]:
    """The middle of each quarter, each colour part as on or off."""
    places = [(x * image.width // 4, y * image.height // 4) for y in (1, 3) for x in (1, 3)]
    return [tuple(part > 127 for part in image.getpixel(place)) for place in places]  # type: ignore[union-attr]


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


@pytest.mark.parametrize("turn", range(10))
def test_a_picture_is_turned_as_its_camera_said(turn: int) -> None:
    """Against Pillow's own reading of the tag (Exif 2.32, orientation); values that mean nothing turn nothing."""
    data = four_colours(turn)
    expected = ImageOps.exif_transpose(opened(data))
    picture = redrawn(data)
    assert (picture.width, picture.height) == expected.size
    assert quarters(opened(picture.data)) == quarters(expected)


# Pillow's remarks about what it skips are for a log, and no errors in a running server.
@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(
    ("words", "broken", "size"),
    [
        # Exif 2.32: tag 271 is a text, tag 256 a number; then a directory that is cut off, and one that leads nowhere.
        (b"\x01\x0f\x00\x02", b"\x01\x00\x00\x02", (48, 64)),
        (b"\x00\x00\x00\x08\x00\x03", b"\x00\x00\x00\x08\xff\xff", (48, 64)),
        (b"\x00\x00\x00\x08\x00\x03", b"\x7f\x00\x00\x08\x00\x03", (64, 48)),
    ],
    ids=["a text where a number belongs", "more words than there are", "words that are elsewhere"],
)
def test_broken_words_beside_a_whole_picture_do_not_spoil_it(
    words: bytes, broken: bytes, size: tuple[int, int]
) -> None:
    data = with_place()
    assert data.count(words) == 1
    picture = redrawn(data.replace(words, broken))
    assert (picture.width, picture.height) == size


def test_lines_on_nothing_stand_on_white() -> None:
    image = Image.new("RGBA", (64, 64), (0, 0, 0, 0))
    image.paste((0, 0, 0, 255), (0, 0, 32, 64))
    shown = opened(redrawn(written(image, "PNG")).data)
    assert shown.getpixel((8, 32)) == (0, 0, 0)
    assert shown.getpixel((56, 32)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "CMYK", "I;16"])
def test_every_way_to_hold_colours_is_read(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert opened(redrawn(written(Image.new(mode, (30, 20)), kind)).data).mode == "RGB"


def test_a_second_picture_behind_the_first_does_not_travel_along() -> None:
    out = BytesIO()
    second = Image.new("RGB", (64, 48), "lime")
    Image.new("RGB", (64, 48), "red").save(out, "MPO", save_all=True, append_images=[second])
    picture = redrawn(out.getvalue())
    assert opened(picture.data).format == "JPEG"
    assert picture.data.count(b"\xff\xd8\xff") == 1
    assert redrawn(jpeg() + b"a note behind the end").data == redrawn(jpeg()).data


def test_a_frame_that_says_it_is_a_wall_is_refused_before_it_is_drawn() -> None:
    """An animated WebP names its canvas apart from its frames (RFC 9649: width and height less one)."""
    image = Image.new("RGBA", (16, 16), (1, 2, 3, 100))
    data = bytearray(written(image, "WEBP", save_all=True, append_images=[Image.new("RGBA", (16, 16))], duration=9))
    at = data.index(b"VP8X") + 12
    data[at : at + 6] = (15_999).to_bytes(3, "little") * 2
    with pytest.raises(Problem) as told:
        redrawn(bytes(data))
    assert told.value.code == "photo_too_large"


SOUND = (
    with_place(),
    four_colours(6),
    written(Image.radial_gradient("L").resize((40, 30)), "JPEG", progressive=True),
    written(Image.radial_gradient("L").resize((40, 30)), "PNG"),
    written(Image.radial_gradient("L").resize((40, 30)).convert("RGBA"), "WEBP"),
)


def damaged(data: bytes, luck: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(luck.randint(1, 6)):
        at = luck.randrange(min(len(changed), luck.choice((60, 300, 10_000))))
        if luck.random() < 0.8:
            changed[at] = luck.choice((luck.randrange(256), 0, 255))
        else:
            changed[at : at + luck.randint(0, 9)] = luck.randbytes(luck.randint(0, 9))
    return bytes(changed)


def told(data: bytes) -> str:
    """The refusal's name, or "" when the picture was drawn and is of the size that was said."""
    try:
        picture = redrawn(data)
    except Problem as problem:
        return problem.code
    return "" if opened(picture.data).size == (picture.width, picture.height) else "of another size"


@pytest.mark.filterwarnings("ignore")
@given(st.sampled_from(SOUND), st.integers(0, 2**32))
def test_whatever_bytes_come_the_answer_is_a_picture_or_a_name(data: bytes, seed: int) -> None:
    assert told(damaged(data, random.Random(seed))) in ("", "photo_unreadable", "photo_too_large")
