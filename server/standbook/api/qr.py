"""Addresses as QR codes (ISO/IEC 18004), in a form that a page can draw by itself."""

import segno


def rows(text: str) -> list[str]:
    """The modules line by line, "1" for a dark one; without the quiet zone, which whoever draws leaves around them.

    Level M: a thumbprint or a torn corner of some 15 % still reads.
    """
    code = segno.make_qr(text, error="m")
    return ["".join("1" if module else "0" for module in line) for line in code.matrix]
