"""The shop's doors as a process: HTTPS under its name, the join door by address, this machine's own desk."""

import json
import os
import shutil
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing
from email.message import Message
from http.client import HTTPConnection
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from standbook.config import HOST
from standbook.network.authority import CERTIFICATE
from tests.browser.server import free_ports

NAME = "standbook.local"


class Answer(NamedTuple):
    status: int
    headers: Message
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


def answered(connection: HTTPConnection, path: str, host: str) -> Answer:
    with closing(connection):
        connection.request("GET", path, headers={"Host": host})
        answer = connection.getresponse()
        return Answer(answer.status, answer.headers, answer.read())


class Doors:
    """A served shop; how a client that trusts its authority comes in."""

    def __init__(self, data: Path, folder: Path) -> None:
        self.data = data
        self.addresses = folder / "addresses"
        self.addresses.write_text("192.168.1.20")
        ports = self.https, self.door, self.here = free_ports(3)
        words = [sys.executable, "-m", "tests.network.moving", self.addresses, *map(str, ports)]
        environment = {**os.environ, "STANDBOOK_DATA": str(data), "STANDBOOK_DAILY_BACKUP": "off"}
        self.process = subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        assert self.process.stdout.readline() == "open\n"

    def plain(self, port: int, path: str) -> Answer:
        return answered(HTTPConnection(HOST, port, timeout=10), path, f"{HOST}:{port}")

    def secure(self) -> ssl.SSLSocket:
        """A connection to the server's name by a client that trusts the shop's authority."""
        trusting = ssl.create_default_context(cafile=str(self.data / "keys" / CERTIFICATE))
        with ExitStack() as undone:
            plain = undone.enter_context(socket.create_connection((HOST, self.https), 10))
            secured = trusting.wrap_socket(plain, server_hostname=NAME)
            undone.pop_all()
        return secured

    def ask(self, path: str, host: str = NAME) -> Answer:
        connection = HTTPConnection(NAME, self.https)
        connection.sock = self.secure()
        return answered(connection, path, f"{host}:{self.https}")

    def numbers(self) -> set[str]:
        """Addresses that the certificate which is shown now is for."""
        with self.secure() as connection:
            said = connection.getpeercert() or {}
        return {str(value) for kind, value in said["subjectAltName"] if kind == "IP Address"}  # type: ignore[misc]

    def end(self) -> int:
        self.process.terminate()
        assert self.process.stdout is not None
        self.process.stdout.close()
        return self.process.wait(20)


@pytest.fixture
def doors(staff: Path, tmp_path: Path) -> Iterator[Doors]:
    running = Doors(Path(shutil.copytree(staff, tmp_path / "data")), tmp_path)
    yield running
    assert running.end() == 0


def code(answer: Answer) -> tuple[int, str]:
    return answer.status, answer.json["error"]["code"]


def test_each_door_gives_what_it_is_for(doors: Doors) -> None:
    where = doors.plain(doors.door, "/where").json
    assert where["origin"] == f"https://{NAME}:{doors.https}"
    certificate = doors.plain(doors.door, "/ca.crt")
    assert certificate.headers["Content-Type"] == "application/x-x509-ca-cert"
    assert ssl.DER_cert_to_PEM_cert(certificate.body).split() == (
        (doors.data / "keys" / CERTIFICATE).read_text().split()
    )
    assert doors.plain(doors.door, "/api/v1/health").status == 404
    assert doors.plain(doors.door, "/door/../door.html").status in (400, 404)
    assert doors.plain(doors.door, "/door/..%2f..%2fapp.py").status == 404
    assert doors.ask("/api/v1/health").status == 200
    assert doors.plain(doors.here, "/api/v1/health").status == 200


def test_strangers_are_turned_away_at_both_doors_of_the_app(doors: Doors) -> None:
    assert code(doors.ask("/api/v1/shop")) == (401, "not_joined")
    assert code(doors.plain(doors.here, "/api/v1/shop")) == (401, "not_joined")


def test_the_app_answers_to_its_one_name_alone(doors: Doors) -> None:
    """Storage and worker belong to an origin: by an address a phone would keep a second book."""
    assert code(doors.ask("/", host="192.168.1.20")) == (400, "unknown_host")
    assert code(doors.ask("/api/v1/health", host="evil.example")) == (400, "unknown_host")


def test_a_browser_that_came_by_tls_is_told_to_stay_there(doors: Doors) -> None:
    assert doors.ask("/api/v1/health").headers["Strict-Transport-Security"] == "max-age=31536000"
    assert doors.plain(doors.here, "/api/v1/health").headers["Strict-Transport-Security"] is None
    assert doors.plain(doors.door, "/where").headers["Strict-Transport-Security"] is None


def test_a_client_that_does_not_trust_the_authority_gets_nothing(doors: Doors) -> None:
    stranger = ssl.create_default_context()
    with (
        socket.create_connection((HOST, doors.https), 10) as connection,
        pytest.raises(ssl.SSLCertVerificationError),
    ):
        stranger.wrap_socket(connection, server_hostname=NAME)


def test_old_protocols_are_refused(doors: Doors) -> None:
    """OWASP ASVS 5: TLS 1.2 and 1.3 only (number from memory: 12.1.1)."""
    old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
    old.set_ciphers("ALL:@SECLEVEL=0")
    with pytest.warns(DeprecationWarning, match="TLSv1_1"):
        old.minimum_version = old.maximum_version = ssl.TLSVersion.TLSv1_1
    with socket.create_connection((HOST, doors.https), 10) as connection, pytest.raises(ssl.SSLError):
        old.wrap_socket(connection)


def test_an_address_that_changes_while_it_is_served_is_in_the_next_certificate(doors: Doors) -> None:
    """The same authority, the same name: a phone that has joined goes on; only the join door is elsewhere."""
    assert "192.168.1.20" in doors.numbers()
    before = doors.plain(doors.door, "/where").json["fingerprint"]
    doors.addresses.write_text("192.168.1.99")
    end = time.monotonic() + 10
    while "192.168.1.99" not in moved(doors):
        assert time.monotonic() < end, "the certificate was not issued anew"
        time.sleep(0.05)
    assert "192.168.1.20" not in doors.numbers()
    assert doors.ask("/api/v1/health").status == 200
    where = doors.plain(doors.door, "/where").json
    assert (where["addresses"], where["fingerprint"]) == (["192.168.1.99"], before)


def moved(doors: Doors) -> set[str]:
    """As a phone finds it: for the moment of the change it may find nobody, and tries again."""
    try:
        return doors.numbers()
    except OSError:
        return set()
