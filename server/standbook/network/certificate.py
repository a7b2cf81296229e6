"""The server's certificate: for its name and today's addresses, issued anew when they change or it grows old."""

import ipaddress
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePublicKey, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from standbook import clock
from standbook.network import private
from standbook.network.authority import PRIVATE_NETWORKS, Authority

KEY, CERTIFICATE = "server.key", "server.crt"
#: Phones take no certificate of a server for longer than 825 days; browsers' own authorities give 398.
KEEPS = timedelta(days=397)
#: A server that runs for months issues the next one in time.
LEFT = timedelta(days=60)
#: A phone's clock may be behind by some hours.
EARLIER = timedelta(days=1)
OWN_NAMES, OWN_ADDRESSES = ("localhost",), ("127.0.0.1", "::1")


class Pair(NamedTuple):
    """Files of a server's certificate and key."""

    certificate: Path
    key: Path


def pair_in(folder: Path) -> Pair:
    return Pair(folder / CERTIFICATE, folder / KEY)


def certificate(pair: Pair, signer: Authority, name: str, addresses: list[str]) -> Pair:
    """The pair for name and addresses: as it is where it fits, else issued anew."""
    if not fits(pair, signer, name, addresses):
        issue(pair, signer, name, addresses)
    return pair


def fits(pair: Pair, signer: Authority, name: str, addresses: list[str]) -> bool:
    try:
        there = x509.load_pem_x509_certificate(pair.certificate.read_bytes())
        key = private.read_key(pair.key)
        there.verify_directly_issued_by(signer.certificate)
    except Exception:  # noqa: BLE001 - whatever is wrong with what is there, a new one takes its place
        return False
    said = there.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    fresh = there.not_valid_before_utc <= clock.now() <= there.not_valid_after_utc - LEFT
    return fresh and there.public_key() == key.public_key() and set(said) == set(alternatives(name, addresses))


def issue(pair: Pair, signer: Authority, name: str, addresses: list[str]) -> None:
    """Key first: a certificate without its key would keep the server from starting."""
    private.folder(pair.key.parent)
    key = generate_private_key(SECP256R1())
    made = signed(key.public_key(), signer, name, addresses)
    private.write_key(pair.key, key)
    private.write(pair.certificate, made.public_bytes(Encoding.PEM))


def signed(key: EllipticCurvePublicKey, signer: Authority, name: str, addresses: list[str]) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:64])])
    start = clock.now() - EARLIER
    issuer = signer.certificate
    known = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    usage = x509.KeyUsage(True, False, False, False, False, False, False, False, False)
    return (
        x509.CertificateBuilder(issuer.subject, subject, key, x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(min(start + KEEPS, issuer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives(name, addresses)), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(known), critical=False)
        .sign(signer.key, SHA256())
    )


def alternatives(name: str, addresses: list[str]) -> list[x509.GeneralName]:
    """Names and addresses that the certificate is for, in an order that does not depend on the network's."""
    names = dict.fromkeys((name, *OWN_NAMES))
    numbers = sorted({ipaddress.ip_address(one) for one in (*addresses, *OWN_ADDRESSES)}, key=str)
    vouched = [one for one in numbers if any(one in network for network in PRIVATE_NETWORKS)]
    return [*(x509.DNSName(one) for one in names), *(x509.IPAddress(one) for one in vouched)]
