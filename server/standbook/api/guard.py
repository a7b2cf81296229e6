"""What holds for every request: our own header on changes, JSON bodies, and the headers of every answer."""

from flask import Flask, Response, request

from standbook.api import limits
from standbook.api.services import services
from standbook.errors import Problem

SAFE = ("GET", "HEAD", "OPTIONS")
PREFIX = limits.PREFIX
# Nothing of a phone is asked for but that its screen stays on; a camera's pictures come through the file chooser.
UNUSED = (
    *("accelerometer", "display-capture", "geolocation", "gyroscope", "hid", "magnetometer"),
    *("microphone", "midi", "payment", "serial", "usb", "xr-spatial-tracking"),
)
# Scripts from here only; WebAssembly for the brain, and nothing looser.
POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src 'self' blob:; object-src 'none'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Embedder-Policy": "require-corp",
}
#: Browsers hear this of a page alone (W3C Permissions Policy, section 5); an asset of a page that told it need not
#: say it again, and a phone fetches many.
OF_PAGES = {"Permissions-Policy": ", ".join(f"{name}=()" for name in UNUSED)}
ASSET = "client.asset"


def register(app: Flask) -> None:
    app.before_request(bound_body)
    app.before_request(refuse_nul)
    app.before_request(refuse_strangers)
    app.after_request(add_headers)


def bound_body() -> None:
    request.max_content_length = limits.most(request.path)


def refuse_nul() -> None:
    """An address can name a NUL; no id holds one, and not every database may even be asked for it."""
    if "\0" in request.path:
        raise Problem("not_found")
    if any("\0" in value for value in request.args.values()):
        raise Problem("invalid", fields="a NUL character in the address")


def refuse_strangers() -> None:
    """Another site's page can send a form with our cookie, but never this header."""
    if request.method in SAFE:
        return
    if request.headers.get("X-Standbook") != "1":
        raise Problem("header_missing")
    raw = request.blueprint in ("blobs", "photos")
    if request.content_length and not raw and not request.is_json:
        raise Problem("unsupported_media", wanted="application/json")


#: Once a browser has come by TLS it never comes without it again, for a year from each visit.
ONLY_SECURE = "max-age=31536000"


def add_headers(response: Response) -> Response:
    where = services().whereabouts
    if where and request.is_secure and request.headers.get("Host", "").partition(":")[0] == where.name:
        response.headers.setdefault("Strict-Transport-Security", ONLY_SECURE)
    for name, value in (HEADERS if request.endpoint == ASSET else HEADERS | OF_PAGES).items():
        response.headers.setdefault(name, value)
    if request.path.startswith(PREFIX):
        response.headers.setdefault("Cache-Control", "no-store")
    return response
