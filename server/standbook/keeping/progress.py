"""How far a long piece of work has come, for whoever waits."""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

Item = TypeVar("Item")
#: Called with what is being done, how much of it is done, and how much there is.
Progress = Callable[[str, int, int], None]
EVERY = 500


def silent(_what: str, _done: int, _of: int) -> None:
    """Nobody waits."""


def told(items: Iterable[Item], what: str, of: int, progress: Progress) -> Iterator[Item]:
    """The items, telling now and then how many have gone by."""
    done = 0
    for item in items:
        yield item
        done += 1
        if done % EVERY == 0 and done < of:
            progress(what, done, of)
    progress(what, done, max(of, done))
