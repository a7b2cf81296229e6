"""What differs on Windows and macOS. These branches are held by these tests alone; Linux runs for real."""

import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from bootstrap import chromium, paths, stages, tools


def test_the_environments_python_lies_where_each_platform_puts_it() -> None:
    assert paths.venv_python(windows=False) == paths.VENV / "bin" / "python"
    assert paths.venv_python(windows=True) == paths.VENV / "Scripts" / "python.exe"


def test_windows_starts_the_server_as_a_child_and_passes_its_exit_code_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(tools, "WINDOWS", True)
    assert tools.hand_over([sys.executable, "-c", "raise SystemExit(7)"]) == 7


def test_elsewhere_the_server_takes_the_place_of_the_set_up() -> None:
    show = "import os; print(os.getpid())"
    hand = (
        "import os, sys; from bootstrap.tools import hand_over; print(os.getpid());"
        f"hand_over([sys.executable, '-c', {show!r}])"
    )
    done = subprocess.run([sys.executable, "-c", hand], cwd=paths.SERVER, capture_output=True, text=True, check=True)
    before, after = done.stdout.split()
    assert before == after


def test_windows_locks_a_set_up_in_its_own_way(monkeypatch: pytest.MonkeyPatch) -> None:
    held: set[int] = set()

    def locking(handle: int, mode: int, size: int) -> None:
        if held:
            raise PermissionError(13, "Permission denied")
        held.add(handle)

    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setitem(sys.modules, "msvcrt", SimpleNamespace(locking=locking, LK_NBLCK=2))
    assert stages.locked(3)
    assert not stages.locked(4)


@pytest.mark.parametrize(
    ("variable", "inside"),
    [
        ("PROGRAMFILES", "Google/Chrome/Application/chrome.exe"),
        ("LOCALAPPDATA", "Chromium/Application/chrome.exe"),
    ],
)
def test_windows_browsers_are_found_without_starting_them(
    variable: str, inside: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    browser = tmp_path / inside
    browser.parent.mkdir(parents=True)
    browser.write_text("not a program")
    monkeypatch.setattr(chromium, "WINDOWS", True)
    monkeypatch.delenv("STANDBOOK_CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", "")
    monkeypatch.setenv(variable, str(tmp_path))
    assert chromium.find_chromium() == str(browser)


def test_macos_browsers_are_looked_for_among_the_applications(monkeypatch: pytest.MonkeyPatch) -> None:
    looked_at: list[str] = []
    monkeypatch.setattr(chromium, "runs", looked_at.append)
    monkeypatch.setattr(chromium, "ask", lambda command: "")
    assert chromium.find_chromium() is None
    assert "/Applications/Chromium.app/Contents/MacOS/Chromium" in looked_at
