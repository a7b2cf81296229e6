"""The built client: one page, its hashed assets, its service worker."""

import mimetypes
from functools import lru_cache
from pathlib import Path

from flask import Blueprint, Response, request
from werkzeug.exceptions import NotFound
from werkzeug.security import safe_join

from standbook.api.services import services
from standbook.errors import Problem

blueprint = Blueprint("client", __name__)
FOR_EVER = "public, max-age=31536000, immutable"
ASK = "no-cache"
KINDS = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".pack": "application/octet-stream",
}


@blueprint.get("/")
@blueprint.get("/first")
@blueprint.get("/desk")
@blueprint.get("/desk/<path:_view>")
@blueprint.get("/build/<path:_view>")
@blueprint.get("/join")
@blueprint.get("/first")
def page(_view: str = "") -> Response:
    """Every screen is the same page; the client finds its view by the address."""
    return file("index.html", ASK) or missing()


@blueprint.get("/assets/<path:name>")
def asset(name: str) -> Response:
    """A hashed file may be kept for ever. One of another version is gone: never the page in its place."""
    found = file(name, FOR_EVER, "assets")
    if found is None:
        raise NotFound
    return found


@blueprint.get("/<path:name>")
def plain_file(name: str) -> Response:
    """The service worker, the manifest, icons: small, and asked for anew each time."""
    found = file(name, ASK)
    if found is None:
        raise NotFound
    return found


def missing() -> Response:
    raise Problem("client_missing")


def file(name: str, cache: str, folder: str = "") -> Response | None:
    """A file of the built client; None when there is none by this name inside its folder."""
    path = safe_join(str(services().settings.web), folder, name)
    if path is None or not Path(path).is_file():
        return None
    response = Response(content(path, Path(path).stat().st_mtime_ns), content_type=kind_of(Path(path)))
    response.headers["Cache-Control"] = cache
    response.add_etag(weak=True)
    response.make_conditional(request)
    return response


@lru_cache(maxsize=64)
def content(path: str, _changed: int) -> bytes:
    return Path(path).read_bytes()


def kind_of(path: Path) -> str:
    return KINDS.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
