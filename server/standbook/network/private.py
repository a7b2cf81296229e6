"""Files that only their owner may read: private keys."""

import os
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)


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


def write_key(path: Path, key: EllipticCurvePrivateKey) -> None:
    write(path, key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))


def read_key(path: Path) -> EllipticCurvePrivateKey:
    """Raises ValueError for what is no P-256 key, OSError where it cannot be read."""
    key = load_pem_private_key(path.read_bytes(), None)
    if not isinstance(key, EllipticCurvePrivateKey):
        raise ValueError(f"{path.name} holds another sort of key")
    return key
