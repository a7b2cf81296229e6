"""The built client: one page, its hashed assets, its service worker."""

import mimetypes
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from posixpath import normpath

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
@blueprint.get("/join")
@blueprint.get("/desk")
@blueprint.get("/desk/<path:_view>")
@blueprint.get("/build/<path:_view>")
@blueprint.get("/calculators")
@blueprint.get("/calculators/<path:_view>")
def page(_view: str = "") -> Response:
    """Every screen is the same page; the client finds its view by the address."""
    return file("index.html", ASK) or missing()


@blueprint.get("/assets/<path:name>")
def asset(name: str) -> Response:
    """A hashed file may be kept for ever. One of another version is gone: never the page in its place."""
    found = packed(name) or file(name, FOR_EVER, "assets")
    if found is None:
        raise NotFound
    return found


@blueprint.get("/<path:name>")
def plain_file(name: str) -> Response:
    """The service worker, the manifest, icons: small, and asked for anew each time."""
    found = None if of_the_door(name) else file(name, ASK)
    if found is None:
        raise NotFound
    return found


def of_the_door(name: str) -> bool:
    """What a phone sees before it has joined is served apart, by address and without a certificate."""
    return normpath(name).split("/")[0] == "door"


def missing() -> Response:
    raise Problem("client_missing")


def file(name: str, cache: str, folder: str = "") -> Response | None:
    """A file of the built client; None when there is none by this name inside its folder."""
    path = inside(services().settings.web / folder, name)
    if path is None:
        return None
    response = Response(content(str(path), path.stat().st_mtime_ns), content_type=kind_of(path))
    response.headers["Cache-Control"] = cache
    response.add_etag(weak=True)
    # A date beyond every calendar names no version of ours.
    with suppress(OverflowError):
        response.make_conditional(request)
    return response


def packed(name: str) -> Response | None:
    """A hashed file as the build has packed it, for who takes that; None else."""
    if request.accept_encodings.quality("br") <= 0 or kind_of(Path(name)) not in KINDS.values():
        return None
    found = file(f"{name}.br", FOR_EVER, "assets")
    if found is not None:
        found.content_type = kind_of(Path(name))
        found.headers["Content-Encoding"] = "br"
        found.vary.add("Accept-Encoding")
    return found


def inside(folder: Path, name: str) -> Path | None:
    """A file of this folder; None where there is none, and for a name that no system could even look for."""
    path = safe_join(str(folder), name)
    try:
        return Path(path) if path is not None and Path(path).is_file() else None
    except OSError:
        return None


@lru_cache(maxsize=64)
def content(path: str, _changed: int) -> bytes:
    return Path(path).read_bytes()


def kind_of(path: Path) -> str:
    return KINDS.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
