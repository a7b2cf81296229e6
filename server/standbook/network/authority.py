"""The shop's own certificate authority: made once, kept for good, since every phone trusts it by hand."""

import ipaddress
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import NameOID

from standbook import clock
from standbook.network import private

KEY, CERTIFICATE = "authority.key", "authority.crt"
YEARS = 20
#: Names that belong to no one on the internet: a stolen key of the shop vouches for nothing else.
PRIVATE_NAMES = ("local", "lan", "home", "internal", "home.arpa", "localhost")
PRIVATE_NETWORKS = tuple(
    ipaddress.ip_network(network)
    for network in (
        "127.0.0.0/8",
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",
        "100.64.0.0/10",
        "::1/128",
        "fc00::/7",
        "fe80::/10",
    )
)


class Authority(NamedTuple):
    key: EllipticCurvePrivateKey
    certificate: x509.Certificate

    @property
    def der(self) -> bytes:
        """As a phone installs it."""
        return self.certificate.public_bytes(Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate in pairs of hex digits, as a phone's own settings show it."""
        return ":".join(re.findall("..", self.certificate.fingerprint(SHA256()).hex().upper()))

    def vouches_for(self, name: str) -> bool:
        """Whether its constraints let it sign for this name."""
        constraints = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
        names = [one.value for one in constraints.permitted_subtrees or () if isinstance(one, x509.DNSName)]
        return any(name == one or name.endswith(f".{one}") for one in names)


def authority(folder: Path, name: str) -> Authority:
    """The shop's authority; made, for `name` and private names, where there is none yet."""
    if not (folder / CERTIFICATE).exists():
        make(private.folder(folder), name)
    key = private.read_key(folder / KEY)
    return Authority(key, x509.load_pem_x509_certificate((folder / CERTIFICATE).read_bytes()))


def make(folder: Path, name: str) -> None:
    """The certificate is written last: a key without one is not in use yet."""
    key = generate_private_key(SECP256R1())
    certificate = signed(key, name)
    private.write_key(folder / KEY, key)
    private.write(folder / CERTIFICATE, certificate.public_bytes(Encoding.PEM))


def signed(key: EllipticCurvePrivateKey, name: str) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Standbook of {name}"[:64])])
    public = key.public_key()
    start = clock.now() - timedelta(days=1)
    usage = x509.KeyUsage(False, False, False, False, False, True, True, False, False)
    return (
        x509.CertificateBuilder(subject, subject, public, x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(min(start + timedelta(days=365 * YEARS), datetime(2049, 12, 31, tzinfo=UTC)))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(constraints(name), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .sign(key, SHA256())
    )


def constraints(name: str) -> x509.NameConstraints:
    names = dict.fromkeys((name, *PRIVATE_NAMES))
    networks = [x509.IPAddress(network) for network in PRIVATE_NETWORKS]
    return x509.NameConstraints([*(x509.DNSName(one) for one in names), *networks], None)
