"""QR codes as rows of modules, which a screen draws itself."""

import segno


def rows(text: str) -> list[str]:
    """The modules of a QR code (ISO/IEC 18004, level M), a row a text of 0 and 1, without the quiet zone."""
    matrix = segno.make(text, error="m", micro=False).matrix
    return ["".join("1" if module else "0" for module in row) for row in matrix]
