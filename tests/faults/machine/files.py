"""A hand on every change that the server makes to a file: the world may let it through, forbid it or die there.

The interpreter's own audit events tell of each; the product knows nothing of this.
"""

import os
import sys
from collections.abc import Callable
from typing import Any

WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
CHANGES = {"os.rename": "named", "os.remove": "removed", "os.mkdir": "folder made", "os.truncate": "cut short"}
Watcher = Callable[[str, str], None]


class Watch:
    """At most one watcher a process: an audit hook can never be taken away, so it is added once."""

    def __init__(self) -> None:
        self._watcher: Watcher | None = None
        self._hooked = False

    def set(self, watcher: Watcher | None) -> None:
        self._watcher = watcher
        if not self._hooked:
            self._hooked = True
            sys.addaudithook(self._hear)

    def _hear(self, event: str, words: tuple[Any, ...]) -> None:
        if self._watcher is None:
            return
        if event == "open" and isinstance(words[0], (str, os.PathLike)) and (words[2] or 0) & WRITING:
            self._watcher("opened", os.fspath(words[0]))
        elif event in CHANGES:
            self._watcher(CHANGES[event], os.fspath(words[1] if event == "os.rename" else words[0]))


WATCH = Watch()
