"""The first lead of a shop that does not exist yet: let in by a one-time link from the server's console.

A shop has to exist before anything of it can lie in the database, so the link's token lies (as its sha256) in a file
among the server's keys. A new one is made at each start, it is good for an hour, and it goes when it has been used.
"""

import hmac
import secrets
from pathlib import Path

import msgspec

from standbook import clock
from standbook.network import private
from standbook.people.misses import sha256

KEEPS = 3600.0
NAME = "first-lead.json"


class Kept(msgspec.Struct):
    token_sha256: str
    expires_at: str


def make(keys: Path) -> str:
    """A new token; one from before is worth nothing any more."""
    token = secrets.token_urlsafe(32)
    private.write(private.folder(keys) / NAME, msgspec.json.encode(Kept(sha256(token), clock.later(KEEPS))))
    return token


def fits(keys: Path, token: str) -> bool:
    try:
        kept = msgspec.json.decode((keys / NAME).read_bytes(), type=Kept)
    except (OSError, msgspec.MsgspecError):
        return False
    return hmac.compare_digest(kept.token_sha256, sha256(token)) and clock.now_stamp() < kept.expires_at


def forget(keys: Path) -> None:
    (keys / NAME).unlink(missing_ok=True)
