"""Passwords by argon2id (RFC 9106), with the library's own costs."""

import threading
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

FEWEST = 8
MOST = 200
_hasher = PasswordHasher()
# One at a time: each takes 64 MB, and a burst of guesses shall not take the memory of the shop's machine.
_one_at_a_time = threading.Lock()


@cache
def nobody() -> str:
    """What an unknown name is checked against, so that it takes as long as a known one."""
    return _hasher.hash("nobody has this password")


def hashed(password: str) -> str:
    """Raises ValueError when it is too short or too long to be one."""
    if not FEWEST <= len(password) <= MOST:
        raise ValueError(f"a password has {FEWEST} to {MOST} characters")
    with _one_at_a_time:
        return _hasher.hash(password)


def fits(password: str, stored: str | None) -> bool:
    """Whether the password belongs to the stored hash; None (nobody, or no password) never fits, as slowly."""
    with _one_at_a_time:
        try:
            return _hasher.verify(stored or nobody(), password[: MOST + 1]) and stored is not None
        except (VerificationError, InvalidHashError):
            return False
