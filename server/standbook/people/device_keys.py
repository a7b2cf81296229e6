"""Keys of devices: P-256 as WebCrypto makes them (FIPS 186-5 ECDSA with SHA-256), told as SPKI (RFC 5280) in base64."""

import base64
import binascii
from functools import lru_cache

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ec import ECDSA, SECP256R1, EllipticCurvePublicKey
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import load_der_public_key

#: r and s, 32 bytes each (IEEE P1363), the form in which WebCrypto signs.
HALF = 32


@lru_cache(maxsize=256)
def key_of(spki: str) -> EllipticCurvePublicKey:
    """Raises ValueError for what is no P-256 public key."""
    try:
        key = load_der_public_key(base64.b64decode(spki, validate=True))
    except (binascii.Error, UnsupportedAlgorithm) as error:
        raise ValueError("no public key") from error
    if not isinstance(key, EllipticCurvePublicKey) or not isinstance(key.curve, SECP256R1):
        raise ValueError("no P-256 key")
    return key


def fits(spki: str, signature: str, message: bytes) -> bool:
    """Whether `signature` (base64) over `message` is by the private half of the key."""
    try:
        raw = base64.b64decode(signature, validate=True)
        if len(raw) != 2 * HALF:
            return False
        both = encode_dss_signature(int.from_bytes(raw[:HALF]), int.from_bytes(raw[HALF:]))
        key_of(spki).verify(both, message, ECDSA(SHA256()))
    except (ValueError, InvalidSignature):
        return False
    return True
