"""`python3 server` in a checkout that is set up, as a person starts it."""

import contextlib
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from bootstrap.packages import ENVIRONMENT
from bootstrap.paths import ROOT

MACHINES_PYTHON = Path(sys.base_prefix) / "bin" / "python3"


@pytest.fixture
def port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        number: int = free.getsockname()[1]
        return number


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty data folder, beside a set-up that is done."""
    assert ENVIRONMENT.done(), "set up first: python3 tests"  # else it would be made anew under this very test
    subprocess.run([MACHINES_PYTHON, "server", "--help"], cwd=ROOT, stdout=subprocess.DEVNULL, check=True)
    monkeypatch.setenv("STANDBOOK_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


@contextlib.contextmanager
def started(port: int) -> Iterator[list[str]]:
    """The lines that `python3 server demo` prints until it says how to stop it; stopped afterwards."""
    words = [MACHINES_PYTHON, "server", "demo", "--port", str(port)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout
            lines: list[str] = []
            for line in process.stdout:
                lines.append(line.rstrip())
                if "Ctrl+C" in line:
                    break
            yield lines
        finally:
            process.terminate()


def first_page(port: int) -> bytes:
    """The page, once the server answers; the address is printed a moment before it does."""
    address = ("127.0.0.1", port)
    for _ in range(100):
        with contextlib.suppress(ConnectionRefusedError), socket.create_connection(address, timeout=5):
            break
        time.sleep(0.02)
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10) as page:
        body: bytes = page.read()
        return body


def test_the_demo_says_its_address_its_sign_in_and_how_to_open_the_stand(port: int, data: Path) -> None:
    with started(port) as lines:
        said = "\n".join(lines)
        assert f"http://127.0.0.1:{port}/desk" in said
        assert "password" in said
        assert "Stand" in said
        assert b"<script" in first_page(port)


def test_a_second_start_sets_nothing_up_seeds_nothing_and_takes_under_three_seconds(port: int, data: Path) -> None:
    with started(port) as first:
        assert any(line.startswith("Seeding") for line in first)
    begun = time.monotonic()
    with started(port) as second:
        first_page(port)
        assert time.monotonic() - begun < 3
    assert [line for line in second if line.endswith(("...", "…"))] == []


def test_stopping_the_command_stops_the_server(port: int, data: Path) -> None:
    with started(port):
        pass
    with socket.socket() as again:
        again.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        again.bind(("127.0.0.1", port))


def test_a_taken_port_is_told_in_a_sentence_that_names_another(port: int, data: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", port))
        other.listen()
        done = subprocess.run(
            [MACHINES_PYTHON, "server", "demo", "--port", str(port)],
            cwd=ROOT,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
    (told,) = done.stderr.splitlines()
    assert done.returncode
    assert f"Port {port} is taken" in told
    assert "--port" in told


def test_other_words_go_to_the_command_line_where_the_caller_stands(tmp_path: Path) -> None:
    words = [MACHINES_PYTHON, ROOT / "server", "check", "--help"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert "standbook check" in done.stdout
