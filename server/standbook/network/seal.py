"""The shop's key pair for what only its server may read: a phone seals a PIN to the public half (RSA-OAEP, SHA-256).

The private half lies among the server's keys. A backup does not hold it: where it is lost a new one is made, and what
was sealed to the old one is asked for anew.
"""

import base64
import hashlib
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa
from cryptography.hazmat.primitives.asymmetric.types import PrivateKeyTypes

from standbook.network import private
from standbook.writing import FileLock

FILE = "seal.pem"
BITS = 3072
EXPONENT = 65537
OAEP = padding.OAEP(mgf=padding.MGF1(hashes.SHA256()), algorithm=hashes.SHA256(), label=None)


class Public(NamedTuple):
    """`key`: SPKI as base64. `id` tells one key from another."""

    key: str
    id: str


class Seal:
    """The key pair in a folder, made at first need."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    @cached_property
    def public(self) -> Public:
        form = serialization.PublicFormat.SubjectPublicKeyInfo
        spki = self._key.public_key().public_bytes(serialization.Encoding.DER, form)
        return Public(base64.b64encode(spki).decode(), hashlib.sha256(spki).hexdigest()[:16])

    def opened(self, sealed: str) -> bytes | None:
        """What was sealed; None where it was sealed to another key, or is no seal at all."""
        try:
            return self._key.decrypt(base64.b64decode(sealed, validate=True), OAEP)
        except ValueError:
            return None

    @cached_property
    def _key(self) -> rsa.RSAPrivateKey:
        path = private.folder(self._folder) / FILE
        # Two processes of one server may need it at the same moment, and must come to the same one.
        with FileLock(self._folder / "seal.lock"):
            if not path.exists():
                private.write(path, fresh())
        key = loaded(path.read_bytes())
        if not isinstance(key, rsa.RSAPrivateKey):
            raise ValueError(f"{path} holds no RSA key")
        return key


def loaded(pem: bytes) -> PrivateKeyTypes:
    """Takes a tenth of a second: its numbers are proven to be a key's."""
    return serialization.load_pem_private_key(pem, password=None)


def fresh() -> bytes:
    form, bare = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    return rsa.generate_private_key(EXPONENT, BITS).private_bytes(serialization.Encoding.PEM, form, bare)
