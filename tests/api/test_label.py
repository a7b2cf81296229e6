"""The label of an engine: its address, and a picture of it that another program than ours reads."""

import numpy
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st

from standbook.api import qr
from tests.api.test_shop_and_builds import opened
from tests.ledger.kit import BUILD, Book

#: Modules of white around the code, and pixels to a module, as a screen or a printer draws it.
QUIET, SIZE = 4, 3
#: What stands in a QR code's alphanumeric and byte modes; line ends and the like are nobody's address.
ADDRESSES = st.text(st.characters(min_codepoint=0x21, max_codepoint=0x7E), min_size=1, max_size=300)


def read(rows: list[str]) -> str:
    """The text of a code, as ZXing reads it from a picture."""
    dark = numpy.array([[module == "1" for module in row] for row in rows])
    picture = numpy.where(numpy.pad(dark, QUIET), 0, 255).astype(numpy.uint8)
    found = zxingcpp.read_barcodes(numpy.kron(picture, numpy.ones((SIZE, SIZE), numpy.uint8)))
    assert [code.format.name for code in found] in (["QRCode"], ["QRCodeModel2"])
    return str(found[0].text)


@given(ADDRESSES)
def test_another_program_reads_from_the_rows_what_was_written(address: str) -> None:
    assert read(qr.rows(address)) == address


def test_a_code_still_reads_with_a_thumbprint_on_it() -> None:
    """Level M makes good some 15 % of the codewords (ISO/IEC 18004); this covers fewer, away from the corner marks."""
    address = "https://shop.local:8443/build/0190a5b2-7c1d-7e3f-8a4b-5c6d7e8f9a0b"
    rows = qr.rows(address)
    size = len(rows)
    low, high = size // 2 - 2, size // 2 + 3
    covered = [
        "".join("1" if low <= x < high and low <= y < high else module for x, module in enumerate(row))
        for y, row in enumerate(rows)
    ]
    assert covered != rows
    assert read(covered) == address


def test_the_rows_are_a_square_of_dark_and_light_without_a_margin() -> None:
    rows = qr.rows("https://shop.local:8443/build/x")
    assert {len(row) for row in rows} == {len(rows)}
    assert set("".join(rows)) == {"0", "1"}
    assert rows[0].startswith("1111111")


def test_a_label_leads_to_the_engines_page_at_the_address_that_was_asked(book: Book) -> None:
    opened(book)
    client = book.app.test_client()
    label = client.get(f"/api/v1/builds/{BUILD}/label", base_url="http://localhost:8765").json
    assert label["address"] == f"http://localhost:8765/build/{BUILD}"
    assert read(label["qr"]) == label["address"]


def test_there_is_no_label_of_an_engine_that_the_book_does_not_have(book: Book) -> None:
    answer = book.app.test_client().get("/api/v1/builds/nobody/label")
    assert (answer.status_code, answer.json["error"]["code"]) == (404, "unknown_build")
