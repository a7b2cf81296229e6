"""gzip both ways. What is unpacked is bounded, so that a small body cannot fill the memory."""

import gzip
import zlib
from io import BytesIO

from flask import Flask, Response, request

from standbook.api.limits import most
from standbook.config import MAX_BODY
from standbook.errors import Problem

SMALLEST = 600
# The app's files are worth some care: they go to a new phone and are packed once a version. The shop's answers are made
# while somebody waits; a sixth more bytes takes less than half the time.
LEVEL, ANSWER_LEVEL = 6, 1
WORTH_IT = (
    "application/json",
    "application/javascript",
    "application/wasm",
    "application/manifest+json",
    # The trade pack, 97 KB of which 55 travel, and texts kept by their hash.
    "application/octet-stream",
    "image/svg+xml",
)


def register(app: Flask) -> None:
    app.before_request(unpack_request)
    app.after_request(pack_response)


def unpack_request() -> None:
    """Replaces a gzip body by what is in it, before anything reads it."""
    encoding = request.headers.get("Content-Encoding", "").strip().lower()
    if encoding in ("", "identity"):
        return
    if encoding != "gzip":
        raise Problem("unsupported_media", wanted="gzip or as it is")
    data = unpacked(request.stream.read(), most(request.path))
    request.environ["CONTENT_LENGTH"] = str(len(data))
    request.environ["wsgi.input"] = BytesIO(data)
    # Flask made its stream of the packed body when that was read; the next look makes a new one.
    request.__dict__.pop("stream", None)
    request.__dict__.pop("content_length", None)


def unpacked(data: bytes, most: int = MAX_BODY) -> bytes:
    """Raises Problem bad_gzip or too_large."""
    packer = zlib.decompressobj(zlib.MAX_WBITS | 16)
    try:
        out = packer.decompress(data, most)
    except zlib.error as error:
        raise Problem("bad_gzip") from error
    if packer.unconsumed_tail:
        raise Problem("too_large", limit=most)
    if not packer.eof or packer.unused_data:
        raise Problem("bad_gzip")
    return out


def pack_response(response: Response) -> Response:
    kind = response.mimetype or ""
    if not (kind in WORTH_IT or kind.startswith("text/")) or response.direct_passthrough:
        return response
    response.vary.add("Accept-Encoding")
    if not takes_gzip() or "Content-Encoding" in response.headers:
        return response
    if (response.content_length or 0) < SMALLEST or response.status_code in (204, 206, 304):
        return response
    response.set_data(gzip.compress(response.get_data(), level_of(kind), mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    return response


def level_of(kind: str) -> int:
    return ANSWER_LEVEL if kind == "application/json" else LEVEL


def takes_gzip() -> bool:
    return request.accept_encodings.quality("gzip") > 0
