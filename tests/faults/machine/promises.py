"""What screens have said: which entries were called saved, which refused, and which nobody knows of."""

import re
from typing import Literal, NamedTuple

#: A photo's mark is its caption.
MARK = re.compile(r'"(?:trade_version|caption)":"(t-\d+)"')
Said = Literal["saved", "refused", "unknown"]


class Promise(NamedTuple):
    """`said`: what the person saw. Unknown: the page died before it could say anything."""

    mark: str
    said: Said
    page: str | None = None
    device_no: int | None = None
    text: str | None = None
    blobs: tuple[tuple[str, str], ...] = ()
    photo: str | None = None
    client: str = "today"


def mark_of(text: str) -> str | None:
    """An entry's mark, which the person who made it in this story gave it."""
    found = MARK.search(text)
    return found[1] if found else None


class Promises:
    def __init__(self) -> None:
        self._by_mark: dict[str, Promise] = {}
        #: Marks and hashes of files whose last copy the world itself destroyed, with what it did.
        self.destroyed: dict[str, str] = {}

    def begin(self) -> str:
        mark = f"t-{len(self._by_mark) + 1}"
        self._by_mark[mark] = Promise(mark, "unknown")
        return mark

    def keep(self, promise: Promise) -> None:
        self._by_mark[promise.mark] = promise

    def all(self) -> list[Promise]:
        return list(self._by_mark.values())

    def saved(self) -> list[Promise]:
        return [promise for promise in self._by_mark.values() if promise.said == "saved"]

    def known(self, mark: str) -> Promise | None:
        return self._by_mark.get(mark)
