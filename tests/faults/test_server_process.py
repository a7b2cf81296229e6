"""The server as a process: its port, its stop, its data folder."""

import itertools
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

import pytest

from bootstrap.paths import ROOT
from standbook.api.serving import THREADS
from tests.faults.process import free_port, server
from tests.ledger.kit import Book


def standbook(*words: str, data: Path, **more: Any) -> "subprocess.CompletedProcess[str]":
    environ = {**os.environ, "STANDBOOK_DATA": str(data)}
    command = [sys.executable, "-m", "standbook", *words]
    return subprocess.run(
        command, cwd=ROOT, env=environ, capture_output=True, text=True, timeout=60, check=False, **more
    )


def one_sentence(told: "subprocess.CompletedProcess[str]") -> str:
    """What a person reads when a command cannot do its work: one line, no traceback, exit code 2."""
    assert told.returncode == 2
    (line,) = told.stderr.splitlines()
    return line


def test_a_taken_port_gets_one_sentence_that_names_another(book: Book) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        told = one_sentence(standbook("serve", "--only-here", "--port", str(port), data=book.settings.data))
    assert told == f"standbook: Port {port} is taken by another program. Try another one: --port {port + 1}"


def test_a_second_server_does_not_share_the_port_of_the_first(book: Book) -> None:
    with server(book.settings.data) as first:
        told = standbook("serve", "--only-here", "--port", str(first.port), data=book.settings.data)
        assert "is taken by another program" in one_sentence(told)
        assert first.ask("GET", "/api/v1/health")[0] == 200


@pytest.mark.parametrize("port", ["0", "65536", "http", "-1"])
def test_a_port_that_is_none_is_told(tmp_path: Path, port: str) -> None:
    told = standbook("serve", "--only-here", f"--port={port}", data=tmp_path)
    assert told.returncode == 2
    assert "a port is a number from 1 to 65535" in told.stderr


def test_a_folder_that_cannot_be_made_gets_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    told = one_sentence(standbook("serve", "--only-here", data=tmp_path / "file" / "data"))
    assert "cannot write its book" in told
    assert "file" in told


def test_an_empty_book_is_served_and_its_link_makes_the_shop_and_its_first_lead(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with served(data) as (port, said):
        (link,) = [line.split()[1] for line in said if line.startswith("  First")]
        address, token = link.split("#")
        assert address == f"http://127.0.0.1:{port}/first"
        assert asked(port, "GET", "/api/v1/health")[0] == 200
        assert asked(port, "GET", "/api/v1/builds")[1]["error"]["code"] == "no_shop"
        form = {"token": token, "shop": "Our Shop", "name": "Ann O.", "password": "a long enough password"}
        assert asked(port, "POST", "/api/v1/first-lead", form)[0] == 201
        assert asked(port, "POST", "/api/v1/first-lead", form)[1]["error"]["code"] == "code_wrong"
        assert asked(port, "GET", "/api/v1/shop")[1]["people"][0]["name"] == "Ann O."
    with served(data) as (port, said):
        assert not [line for line in said if "First" in line]


@contextmanager
def served(data: Path) -> Iterator[tuple[int, list[str]]]:
    """`standbook serve` with the lines that it printed."""
    port = free_port()
    environ = {**os.environ, "STANDBOOK_DATA": str(data)}
    command = [sys.executable, "-m", "standbook", "serve", "--only-here", "--port", str(port)]
    with subprocess.Popen(command, cwd=ROOT, env=environ, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout
            yield port, list(itertools.takewhile(lambda line: "Ctrl+C" not in line, process.stdout))
        finally:
            process.kill()


def asked(port: int, method: str, path: str, body: Any = None) -> tuple[int, Any]:
    with closing(HTTPConnection("127.0.0.1", port, timeout=20)) as connection:
        text = None if body is None else json.dumps(body)
        connection.request(method, path, text, {"X-Standbook": "1", "Content-Type": "application/json"})
        reply = connection.getresponse()
        return reply.status, json.loads(reply.read())


def test_a_request_under_way_is_answered_before_the_server_stops(book: Book, tmp_path: Path) -> None:
    started = tmp_path / "started"
    with server(book.settings.data, "slow") as slow:
        answers: list[int] = []
        asking = threading.Thread(
            target=lambda: answers.append(slow.ask("GET", "/api/v1/health", **{"X-Started": str(started)})[0])
        )
        asking.start()
        while not started.exists():
            time.sleep(0.01)
        slow.process.send_signal(signal.SIGTERM)
        asking.join(20)
        assert slow.process.wait(20) == 0
    assert answers == [200]


HALF = (
    b"POST /api/v1/sync/push HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Standbook: 1\r\n"
    b"Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{"
)


def half_sent(port: int) -> socket.socket:
    """A phone whose battery died in the middle of a push."""
    connection = socket.create_connection(("127.0.0.1", port), 20)
    connection.sendall(HALF)
    return connection


def test_phones_that_died_while_sending_keep_nobody_else_waiting(book: Book) -> None:
    with server(book.settings.data) as open_one, ExitStack() as dead:
        for _ in range(3 * THREADS):
            dead.enter_context(half_sent(open_one.port))
        assert open_one.ask("GET", "/api/v1/health")[0] == 200


def test_a_push_that_stopped_half_way_does_not_keep_the_server_from_stopping(book: Book) -> None:
    with server(book.settings.data) as open_one, half_sent(open_one.port) as dead:
        open_one.ask("GET", "/api/v1/health")
        open_one.process.send_signal(signal.SIGTERM)
        assert open_one.process.wait(15) == 0
        assert b"408" in dead.recv(200)


def test_every_stop_is_a_clean_one(book: Book) -> None:
    """Again and again: what goes wrong at the end of a process goes wrong only now and then."""
    ends = []
    for _ in range(12):
        with server(book.settings.data) as open_one:
            open_one.process.send_signal(signal.SIGINT)
            ends.append((open_one.process.wait(15), open_one.process.communicate()[0]))
    assert set(ends) == {(0, b"")}


def test_idle_connections_do_not_keep_the_server_from_stopping(book: Book) -> None:
    with server(book.settings.data) as open_one, closing(HTTPConnection("127.0.0.1", open_one.port)) as idle:
        idle.request("GET", "/api/v1/health")
        assert idle.getresponse().read()
        open_one.process.send_signal(signal.SIGTERM)
        assert open_one.process.wait(15) == 0


def test_the_units_registry_and_the_migrations_do_not_slow_a_second_start(book: Book) -> None:
    code = (
        "import sys; from standbook.cli import application; application();"
        "print(*sorted({'pint', 'alembic'} & {*sys.modules}))"
    )
    environ = {**os.environ, "STANDBOOK_DATA": str(book.settings.data)}
    told = subprocess.run([sys.executable, "-c", code], env=environ, capture_output=True, text=True, check=True)
    assert told.stdout == "\n"


def test_it_listens_on_this_machine_alone(book: Book) -> None:
    """The last of the four hexadecimal bytes that the system lists is the first of the address: 127.0.0.1."""
    with server(book.settings.data) as open_one:
        listening = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
        listening += [line.split() for line in Path("/proc/net/tcp6").read_text().splitlines()[1:]]
        port = f"{open_one.port:04X}"
        found = {local.split(":")[0] for _, local, _, state, *_ in listening if state == "0A" and local.endswith(port)}
    assert found == {"0100007F"}


def test_the_printed_address_comes_at_once(book: Book) -> None:
    port = free_port()
    environ = {**os.environ, "STANDBOOK_DATA": str(book.settings.data)}
    command = [sys.executable, "-m", "standbook", "serve", "--only-here", "--port", str(port)]
    with subprocess.Popen(command, cwd=ROOT, env=environ, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        assert process.stdout.readline() == f"Standbook is open at http://127.0.0.1:{port}\n"
        # What is printed is true at once.
        socket.create_connection(("127.0.0.1", port), 1).close()
        process.send_signal(signal.SIGINT)
        assert process.wait(20) == 0
