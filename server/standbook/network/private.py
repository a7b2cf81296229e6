"""Files that only their owner may read: private keys."""

import os
from pathlib import Path


def folder(path: Path) -> Path:
    """Makes it, for its owner alone."""
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    if os.name == "posix":
        path.chmod(0o700)
    return path


def write(path: Path, data: bytes) -> None:
    """Whole or not at all, and at no moment anybody else's to read."""
    half = path.with_name(f"{path.name}.{os.getpid()}.half")
    half.unlink(missing_ok=True)
    with open(half, "xb", opener=private) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    half.replace(path)


def private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
