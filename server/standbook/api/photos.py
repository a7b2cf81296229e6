"""Photos, in pieces and resumable (LG13). Header names and meaning: IETF draft "Resumable Uploads for HTTP"."""

from flask import Response, request

from standbook.api.blobs import BYTES
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.errors import Problem
from standbook.ledger.photos import MOST_BYTES, Piece

blueprint = Routes("photos", __name__, url_prefix=f"{PREFIX}/photos", description="Photos by their sha256")
PIECE = "application/partial-upload"
STATE = {
    "Upload-Offset": {"schema": {"type": "integer"}, "description": "Bytes that the shop has"},
    "Upload-Complete": {"schema": {"type": "string", "enum": ["?0", "?1"]}},
}


@blueprint.on("GET", "/<sha256>")
@blueprint.says(
    parameters=[{"name": "small", "in": "query", "schema": {"type": "string", "enum": ["1"]}}],
    responses={
        "200": {
            "description": "GET: the shop's copy, a JPEG without anything beside its picture. HEAD: how much has come",
            "content": {"image/jpeg": BYTES["application/octet-stream"]},
            "headers": STATE,
        }
    },
)
def show(sha256: str) -> Response:
    """The shop's copy, or (HEAD) how far its upload has come."""
    if request.method == "HEAD":
        return come_so_far(sha256)
    data = services().ledger.photo(sha256, request.args.get("small") == "1")
    response = Response(data, mimetype="image/jpeg")
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return response


def come_so_far(sha256: str) -> Response:
    """Nothing yet is no error: a phone that begins asks as well, and a browser would put it on its console."""
    offset, complete = services().ledger.photo_offset(sha256)
    response = state(offset, complete, 200)
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.on("PATCH", "/<sha256>")
@blueprint.says(
    parameters=[
        {"name": "Upload-Offset", "in": "header", "required": True, "schema": {"type": "integer"}},
        {"name": "Upload-Complete", "in": "header", "schema": {"type": "string", "enum": ["?0", "?1"]}},
    ],
    requestBody={"required": True, "content": {PIECE: BYTES["application/octet-stream"]}},
    responses={"204": {"description": "Taken in", "headers": STATE}},
)
def take(sha256: str) -> Response:
    """A piece of at most 1 MB, from an offset on; with the last one the whole is checked and kept."""
    if request.mimetype != PIECE:
        raise Problem("unsupported_media", wanted=PIECE)
    piece = Piece(offset_said(), request.get_data(), request.headers.get("Upload-Complete") == "?1")
    offset, complete = services().ledger.take_photo(sha256, piece)
    return state(offset, complete, 204)


def offset_said() -> int:
    said = request.headers.get("Upload-Offset", "")
    if not (said.isascii() and said.isdigit() and len(said) <= 15 and int(said) <= MOST_BYTES):
        raise Problem("invalid", fields="Upload-Offset has to be a whole number")
    return int(said)


def state(offset: int, complete: bool, status: int) -> Response:
    response = Response(status=status)
    response.headers["Upload-Offset"] = str(offset)
    response.headers["Upload-Complete"] = "?1" if complete else "?0"
    return response
