"""Files that travel apart from their entry, by the sha256 of their bytes (LG13)."""

from flask import Response, jsonify, request

from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services

blueprint = Routes("blobs", __name__, url_prefix=f"{PREFIX}/blobs", description="Files by their sha256")
BYTES = {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}
KEPT = {
    "application/json": {
        "schema": {
            "type": "object",
            "required": ["sha256", "size"],
            "properties": {"sha256": {"type": "string"}, "size": {"type": "integer"}},
        }
    }
}


@blueprint.on("GET", "/<sha256>")
@blueprint.says(responses={"200": {"description": "The bytes", "content": BYTES}})
def show(sha256: str) -> Response:
    """The bytes of a file. They can never change, so they may be kept for ever."""
    response = Response(services().ledger.blob(sha256), mimetype="application/octet-stream")
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Content-Disposition"] = f'attachment; filename="{sha256}.bin"'
    return response


@blueprint.on("PUT", "/<sha256>")
@blueprint.says(
    requestBody={"required": True, "content": BYTES},
    responses={
        "200": {"description": "Was here already", "content": KEPT},
        "201": {"description": "Kept", "content": KEPT},
    },
)
def keep(sha256: str) -> Response:
    """Keeps a file of at most 1 MB, when its bytes fit the address. The same again changes nothing."""
    data = request.get_data()
    new = services().ledger.keep_blob(sha256, data)
    response = jsonify({"sha256": sha256, "size": len(data)})
    response.status_code = 201 if new else 200
    return response
