"""A small picture, served by name and by address, with TLS and without: a phone that can show it has found the shop."""

from flask import Response

PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="8" height="8"><circle cx="4" cy="4" r="4"/></svg>'


def here() -> Response:
    response = Response(PICTURE, content_type="image/svg+xml")
    response.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    response.headers["Cache-Control"] = "no-store"
    return response
