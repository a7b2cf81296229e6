"""Where a story's files lie."""

from pathlib import Path


def memory() -> Path | None:
    """A folder in memory, where there is one: nothing in a story has to outlive the machine."""
    shared = Path("/dev/shm")
    return shared if shared.is_dir() else None
