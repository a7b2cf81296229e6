"""The shop's authority and its server's certificate, held against OpenSSL and the `cryptography` verifier."""

import os
import shutil
import ssl
import stat
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.x509.oid import NameOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from standbook import clock
from standbook.network import authority as making
from standbook.network.authority import Authority, authority
from standbook.network.certificate import Pair, certificate, fits, pair_in, signed

NAME, ADDRESSES = "standbook.local", ["192.168.1.20", "fd00::20"]


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    return tmp_path / "keys"


@pytest.fixture
def shop(keys: Path) -> Authority:
    return authority(keys, NAME)


@pytest.fixture
def pair(keys: Path, shop: Authority) -> Pair:
    return certificate(pair_in(keys), shop, NAME, ADDRESSES)


def leaf(pair: Pair) -> x509.Certificate:
    return x509.load_pem_x509_certificate(pair.certificate.read_bytes())


def verify(shop: Authority, shown: x509.Certificate, name: x509.GeneralName) -> None:
    store = Store([shop.certificate])
    PolicyBuilder().store(store).time(clock.now()).build_server_verifier(name).verify(shown, [])


def test_openssl_takes_the_chain_for_name_and_address(keys: Path, pair: Pair) -> None:
    openssl = shutil.which("openssl")
    assert openssl, "OpenSSL's program is on every system that these tests run on."
    for check in (["-verify_hostname", NAME], ["-verify_ip", ADDRESSES[0]], ["-verify_ip", ADDRESSES[1]]):
        words = ["verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", keys / making.CERTIFICATE, *check]
        told = subprocess.run([openssl, *words, pair.certificate], capture_output=True, text=True, check=False)
        assert told.returncode == 0, told.stderr


def test_a_tls_client_that_trusts_the_authority_shakes_hands(keys: Path, pair: Pair) -> None:
    """Both ends in memory: Python's ssl module, over OpenSSL."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(pair.certificate, pair.key)
    client = ssl.create_default_context(cafile=str(keys / making.CERTIFICATE))
    to_client, to_server = ssl.MemoryBIO(), ssl.MemoryBIO()
    one = client.wrap_bio(to_client, to_server, server_hostname=NAME)
    other = server.wrap_bio(to_server, to_client, server_side=True)
    for _ in range(3):
        for end in (one, other):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
    assert one.version() == "TLSv1.3"


def test_it_is_made_once_and_kept(keys: Path, shop: Authority) -> None:
    assert authority(keys, NAME).fingerprint == shop.fingerprint
    assert authority(keys, "other.local").fingerprint == shop.fingerprint


@pytest.mark.skipif(os.name != "posix", reason="Windows keeps rights otherwise")
def test_keys_are_their_owners_alone(keys: Path, pair: Pair) -> None:
    assert stat.S_IMODE(keys.stat().st_mode) == 0o700
    for key in (keys / making.KEY, pair.key):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600


def test_a_stolen_authority_vouches_for_nothing_on_the_internet(shop: Authority) -> None:
    """Name constraints, RFC 5280 section 4.2.1.10."""
    assert shop.vouches_for(NAME)
    assert shop.vouches_for("stand.lan")
    assert not shop.vouches_for("example.org")
    assert not shop.vouches_for("notlocal")
    key = generate_private_key(SECP256R1())
    forged = signed(key.public_key(), shop, "bank.example", [])
    with pytest.raises(VerificationError):
        verify(shop, forged, x509.DNSName("bank.example"))


def test_it_signs_no_further_authority(shop: Authority) -> None:
    constraints = shop.certificate.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (constraints.critical, constraints.value.ca, constraints.value.path_length) == (True, True, 0)


def test_the_fingerprint_is_what_a_phone_shows(keys: Path, shop: Authority) -> None:
    openssl = shutil.which("openssl")
    assert openssl
    words = [openssl, "x509", "-noout", "-fingerprint", "-sha256", "-in", keys / making.CERTIFICATE]
    told = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    assert told.strip().partition("=")[2] == shop.fingerprint


def test_a_certificate_is_good_for_less_than_phones_refuse(pair: Pair) -> None:
    """Apple's published limit for certificates of authorities that a user has added: 825 days (from memory)."""
    shown = leaf(pair)
    assert shown.not_valid_after_utc - shown.not_valid_before_utc < timedelta(days=398)


def test_the_same_addresses_keep_the_certificate(keys: Path, shop: Authority, pair: Pair) -> None:
    before = pair.certificate.read_bytes()
    certificate(pair_in(keys), shop, NAME, list(reversed(ADDRESSES)))
    assert pair.certificate.read_bytes() == before


def test_an_address_that_changed_overnight_gets_a_new_certificate_by_the_same_authority(
    keys: Path, shop: Authority, pair: Pair
) -> None:
    before, moved = leaf(pair), ["192.168.1.99"]
    assert not fits(pair, shop, NAME, moved)
    certificate(pair_in(keys), authority(keys, NAME), NAME, moved)
    assert leaf(pair).serial_number != before.serial_number
    verify(shop, leaf(pair), x509.DNSName(NAME))
    names = leaf(pair).extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert "192.168.1.99" in map(str, names.get_values_for_type(x509.IPAddress))
    assert ADDRESSES[0] not in map(str, names.get_values_for_type(x509.IPAddress))


def test_an_address_of_the_internet_does_not_spoil_the_certificate(keys: Path, shop: Authority) -> None:
    certificate(pair_in(keys), shop, NAME, ["198.18.0.1", "8.8.4.4", "10.0.0.7"])
    verify(shop, leaf(pair_in(keys)), x509.DNSName(NAME))


def test_a_certificate_that_grows_old_is_followed_in_time(
    keys: Path, shop: Authority, pair: Pair, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = leaf(pair)
    later = datetime.now(UTC) + timedelta(days=340)
    monkeypatch.setattr(clock, "now", lambda: later)
    certificate(pair_in(keys), shop, NAME, ADDRESSES)
    assert leaf(pair).serial_number != before.serial_number
    assert later < before.not_valid_after_utc


@pytest.mark.parametrize("damage", ["key gone", "key of another", "no certificate in it", "by another authority"])
def test_what_is_damaged_or_does_not_belong_together_is_made_anew(
    keys: Path, shop: Authority, pair: Pair, damage: str, tmp_path: Path
) -> None:
    if damage == "key gone":
        pair.key.unlink()
    elif damage == "key of another":
        shutil.copy(keys / making.KEY, pair.key)
    elif damage == "no certificate in it":
        pair.certificate.write_text("gone")
    else:
        other = authority(tmp_path / "other", NAME)
        shutil.copy(certificate(pair_in(tmp_path / "other"), other, NAME, ADDRESSES).certificate, pair.certificate)
    certificate(pair_in(keys), shop, NAME, ADDRESSES)
    assert fits(pair, shop, NAME, ADDRESSES)
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(pair.certificate, pair.key)


def test_names_of_people_and_places_are_not_in_what_a_phone_installs(shop: Authority) -> None:
    (common,) = shop.certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    assert common.value == f"Standbook of {NAME}"
    assert shop.certificate.signature_hash_algorithm is not None
    assert shop.certificate.signature_hash_algorithm.name == SHA256.name
