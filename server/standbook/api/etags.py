"""Answers that cost nothing when nothing is new (the desk asks every three seconds)."""

import hashlib
from typing import Any

import msgspec
from flask import Response, request

from standbook.errors import Problem


def tag_of(*parts: Any) -> str:
    """A tag of what decides an answer; the program's version belongs to it, since it decides the form."""
    return hashlib.sha256(msgspec.json.encode(parts)).hexdigest()[:32]


def named_in(head: dict[str, str]) -> str:
    """The version that a change names. Raises Problem version_missing."""
    if "if_match" not in head:
        raise Problem("version_missing")
    return head["if_match"].strip().removeprefix("W/").strip('"')


def unchanged(tag: str) -> Response | None:
    """304 when the client already has the answer with this tag."""
    if not request.if_none_match.contains_weak(tag):
        return None
    return marked(Response(status=304), tag)


def marked(response: Response, tag: str) -> Response:
    """Weak, because gzip may or may not be around the same answer."""
    response.set_etag(tag, weak=True)
    response.headers["Cache-Control"] = "no-cache"
    return response
