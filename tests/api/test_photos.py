"""Photos over the wire: in pieces, taken up again after a cut, checked, drawn anew (LG13)."""

from io import BytesIO

import pytest
from flask.testing import FlaskClient
from PIL import Image
from werkzeug.test import TestResponse

from standbook.ledger import photos
from tests.ledger.kit import Book
from tests.ledger.pictures import GPS, MAKE, address, jpeg, with_place, written

PICTURE = jpeg(400, 300)
ADDRESS = address(PICTURE)
PIECE = {"Content-Type": "application/partial-upload", "X-Standbook": "1"}


@pytest.fixture
def client(book: Book) -> FlaskClient:
    return book.app.test_client()


def url(sha256: str) -> str:
    return f"/api/v1/photos/{sha256}"


def send(client: FlaskClient, data: bytes, offset: int, last: bool, sha256: str = ADDRESS) -> TestResponse:
    headers = {**PIECE, "Upload-Offset": str(offset), "Upload-Complete": "?1" if last else "?0"}
    return client.patch(url(sha256), data=data, headers=headers)


def code(answer: TestResponse) -> str:
    return str(answer.get_json()["error"]["code"])


def keep(client: FlaskClient, data: bytes) -> str:
    sha256 = address(data)
    assert send(client, data, 0, True, sha256).status_code == 204
    return sha256


def shown(client: FlaskClient, sha256: str, query: str = "") -> Image.Image:
    answer = client.get(url(sha256) + query)
    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    return Image.open(BytesIO(answer.data))


def test_lg13_a_photo_in_pieces_is_kept_when_the_last_one_has_come(client: FlaskClient) -> None:
    half = len(PICTURE) // 2
    first = send(client, PICTURE[:half], 0, False)
    assert (first.headers["Upload-Offset"], first.headers["Upload-Complete"]) == (str(half), "?0")
    assert client.get(url(ADDRESS)).status_code == 404
    last = send(client, PICTURE[half:], half, True)
    assert (last.status_code, last.headers["Upload-Complete"]) == (204, "?1")
    assert shown(client, ADDRESS).size == (400, 300)


def test_lg13_after_a_cut_the_shop_says_how_much_it_has_and_goes_on_from_there(client: FlaskClient) -> None:
    assert client.head(url(ADDRESS)).headers["Upload-Offset"] == "0"
    send(client, PICTURE[:100], 0, False)
    asked = client.head(url(ADDRESS))
    assert (asked.status_code, asked.headers["Upload-Offset"], asked.headers["Upload-Complete"]) == (200, "100", "?0")
    send(client, PICTURE[100:], 100, True)
    assert client.head(url(ADDRESS)).headers["Upload-Complete"] == "?1"


def test_lg13_a_piece_that_came_before_changes_nothing_and_is_told_where_to_go_on(client: FlaskClient) -> None:
    send(client, PICTURE[:100], 0, False)
    again = send(client, PICTURE[:100], 0, False)
    assert (again.status_code, code(again)) == (409, "wrong_offset")
    assert again.get_json()["error"]["details"] == {"offset": 100}


def test_lg13_all_bytes_there_and_the_last_answer_lost_it_takes_an_empty_last_piece(client: FlaskClient) -> None:
    send(client, PICTURE, 0, False)
    assert send(client, b"", len(PICTURE), True).status_code == 204
    assert shown(client, ADDRESS).size == (400, 300)


def test_lg13_a_kept_photo_sent_again_changes_nothing(client: FlaskClient, book: Book) -> None:
    keep(client, PICTURE)
    again = send(client, PICTURE[:10], 0, False)
    assert (again.status_code, again.headers["Upload-Complete"]) == (204, "?1")
    assert book.sql("SELECT count(*) FROM photos") == [(1,)]
    assert list(book.settings.uploads.iterdir()) == []


def test_lg13_bytes_that_are_not_those_of_the_address_are_thrown_away_and_told(client: FlaskClient) -> None:
    wrong = jpeg(400, 300, (0, 0, 0))
    answer = send(client, wrong, 0, True)
    assert (answer.status_code, code(answer)) == (422, "hash_mismatch")
    assert client.head(url(ADDRESS)).headers["Upload-Offset"] == "0"
    assert send(client, PICTURE, 0, True).status_code == 204


def test_what_a_camera_hides_beside_the_picture_does_not_reach_the_shop(client: FlaskClient, book: Book) -> None:
    sha256 = keep(client, with_place())
    image = shown(client, sha256)
    assert image.size == (48, 64), "turned upright"
    assert dict(image.getexif()) == {}
    kept = b"".join(path.read_bytes() for path in book.settings.blobs.rglob("*") if path.is_file())
    assert b"a camera" not in kept
    assert b"who was there" not in kept
    original = Image.open(BytesIO(with_place())).getexif()
    assert original[MAKE] == "a camera"
    assert original.get_ifd(GPS)[1] == "N"


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_of_picture_are_drawn_anew_as_jpeg(client: FlaskClient, kind: str) -> None:
    sha256 = keep(client, written(Image.new("RGBA", (30, 20), (1, 2, 3, 128)), kind))
    assert (shown(client, sha256).format, shown(client, sha256).size) == ("JPEG", (30, 20))


def test_a_list_gets_small_copies(client: FlaskClient) -> None:
    assert max(shown(client, keep(client, jpeg(1600, 1200)), "?small=1").size) == 320


@pytest.mark.parametrize(
    "data",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>",
        b"",
        PICTURE[: len(PICTURE) // 2],
        b"GIF89a" + b"\0" * 30,
    ],
    ids=["a drawing with a script", "nothing", "half a picture", "a kind that is not taken"],
)
def test_what_is_no_whole_picture_is_refused_by_name(client: FlaskClient, data: bytes) -> None:
    answer = send(client, data, 0, True, address(data))
    assert (answer.status_code, code(answer)) == (422, "photo_unreadable")
    assert client.head(url(address(data))).headers["Upload-Offset"] == "0"


def test_a_small_file_that_unfolds_into_a_giant_picture_is_refused_before_it_does(client: FlaskClient) -> None:
    bomb = written(Image.new("1", (9000, 9000)), "PNG")
    assert len(bomb) < 40_000
    assert code(send(client, bomb, 0, True, address(bomb))) == "photo_too_large"


def test_a_photo_beyond_the_limit_of_bytes_is_refused(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "MOST_BYTES", 500)
    answer = send(client, PICTURE, 0, True)
    assert (answer.status_code, code(answer)) == (413, "too_large")
    assert client.head(url(ADDRESS)).headers["Upload-Offset"] == "0"


@pytest.mark.parametrize(
    ("headers", "expected"),
    [
        ({"Upload-Offset": "-1"}, "invalid"),
        ({"Upload-Offset": "x"}, "invalid"),
        ({}, "invalid"),
        ({"Upload-Offset": "0", "Content-Type": "image/jpeg"}, "unsupported_media"),
    ],
)
def test_a_piece_that_does_not_say_where_it_belongs_is_refused(
    client: FlaskClient, headers: dict[str, str], expected: str
) -> None:
    assert code(client.patch(url(ADDRESS), data=PICTURE, headers={**PIECE, **headers})) == expected


def test_an_address_that_is_no_hash_finds_nothing(client: FlaskClient) -> None:
    assert code(client.get(url("..%2f..%2fstandbook.db"))) in ("not_found", "unknown_blob")
    assert code(send(client, b"x", 0, False, "a" * 63)) == "unknown_blob"
    assert code(client.get(url("a" * 64))) == "unknown_blob"
