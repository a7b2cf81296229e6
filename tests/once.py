"""What a run makes once, for all of the processes that it works in."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standbook.writing import FileLock

WORKER = "popen-"


def once(folders: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """The path at which whoever came first has made it; nobody changes it. `make` gets a path where nothing is."""
    own = folders.getbasetemp()
    whole = (own.parent if own.name.startswith(WORKER) else own) / f"once-{name}"
    with FileLock(whole.with_suffix(".lock")):
        if not whole.exists():
            half = whole.with_suffix(".half")
            make(half)
            half.rename(whole)
    return whole
