"""Passwords by argon2id (RFC 9106), with the library's own costs.

Which ones are taken: length alone and no rules of composition, none that anybody tries first and not one's own name
(OWASP ASVS 5, V6.2).
"""

import threading
import unicodedata
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from standbook.people.common_passwords import COMMON

FEWEST = 8
MOST = 200
_hasher = PasswordHasher()
# One at a time: each takes 64 MB, and a burst of guesses shall not take the memory of the shop's machine.
_one_at_a_time = threading.Lock()


@cache
def nobody() -> str:
    """What an unknown name is checked against, so that it takes as long as a known one."""
    return _hasher.hash("nobody has this password")


def hashed(password: str, name: str = "") -> str:
    """Raises ValueError when it cannot be one, or is too easy to guess. `name`: of whoever has it."""
    refuse_easy(password, name)
    with _one_at_a_time:
        return _hasher.hash(password)


def refuse_easy(password: str, name: str = "") -> None:
    if not FEWEST <= len(password) <= MOST:
        raise ValueError(f"a password has {FEWEST} to {MOST} characters")
    if password.casefold() in COMMON:
        raise ValueError("this password is one of those that anybody tries first")
    if letters(password) and letters(password) in (letters(name), letters(name) * 2):
        raise ValueError("a password is not one's own name")


def letters(text: str) -> str:
    """Letters alone: a name with a year or a dot behind it is still the name."""
    return "".join(sign for sign in unicodedata.normalize("NFKC", text).casefold() if sign.isalpha())


def fits(password: str, stored: str | None) -> bool:
    """Whether the password belongs to the stored hash; None (nobody, or no password) never fits, as slowly."""
    with _one_at_a_time:
        # Made at the first try of all, whoever it is for: nobody's first try is not the slow one.
        unknown = nobody()
        try:
            return _hasher.verify(stored or unknown, password[: MOST + 1]) and stored is not None
        except (VerificationError, InvalidHashError):
            return False
