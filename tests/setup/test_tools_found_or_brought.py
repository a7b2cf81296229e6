"""Node and Chromium: which are taken, and what happens when there is none."""

import os
from pathlib import Path

import pytest

from bootstrap import chromium, node
from bootstrap.tools import Trouble


# Vite 8 accepts "^20.19.0 || >=22.12.0" (the field `engines` of its package).
@pytest.mark.parametrize("version", ["v20.19.0", "v20.20.2", "v22.12.0", "v22.20.0", "v24.0.0", "v26.1.3"])
def test_a_node_that_the_clients_bundler_accepts_is_accepted(version: str) -> None:
    assert node.accepted(version)


@pytest.mark.parametrize("version", ["v18.20.4", "v20.18.3", "v21.7.3", "v22.11.0", "", "20.19", "node"])
def test_any_other_node_is_passed_over(version: str) -> None:
    assert not node.accepted(version)


def program(folder: Path, name: str, says: str) -> Path:
    folder.mkdir(exist_ok=True)
    file = folder / name
    file.write_text(f"#!/bin/sh\necho {says}\n")
    file.chmod(0o755)
    return file


@pytest.fixture
def bin_of_venv(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(node, "venv_bin", lambda: tmp_path / "venv")
    return tmp_path / "venv"


def test_the_machines_node_is_taken_before_one_in_the_environment(
    bin_of_venv: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for folder in (bin_of_venv, tmp_path / "machine"):
        program(folder, "node", "v24.0.0")
        program(folder, "npm", "11")
    monkeypatch.setenv("PATH", str(tmp_path / "machine"))
    assert node.get_node().node == str(tmp_path / "machine" / "node")


def test_an_old_node_or_one_without_npm_is_replaced_by_one_from_a_package(
    bin_of_venv: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def install(name: str) -> None:
        assert name == "node"
        program(bin_of_venv, "node", "v24.0.0")
        program(bin_of_venv, "npm", "11")

    program(tmp_path / "machine", "node", "v18.0.0")
    program(tmp_path / "machine", "npm", "9")
    program(tmp_path / "bare", "node", "v24.0.0")
    monkeypatch.setenv("PATH", os.pathsep.join([str(tmp_path / "machine"), str(tmp_path / "bare")]))
    monkeypatch.setattr(node, "install", install)
    found = node.get_node()
    assert found.node == str(bin_of_venv / "node")
    assert found.path.startswith(str(bin_of_venv))
    assert "bringing one" in capsys.readouterr().out


def test_a_node_that_was_brought_and_does_not_run_is_told(bin_of_venv: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setattr(node, "install", lambda name: None)
    with pytest.raises(Trouble, match=r"install Node 22\.12 or newer"):
        node.get_node()


def test_the_browser_is_brought_by_the_next_way_when_one_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def by_playwright() -> None:
        raise Trouble("its source is out of reach")

    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.delenv("STANDBOOK_CHROMIUM", raising=False)
    monkeypatch.setattr(chromium, "ask", lambda command: "Chromium 150" if len(command) == 2 else "")
    monkeypatch.setattr(chromium, "by_playwright", by_playwright)
    monkeypatch.setattr(chromium, "by_apt", lambda: program(tmp_path / "bin", "chromium", "Chromium 150"))
    assert chromium.get_chromium() == str(tmp_path / "bin" / "chromium")


def test_the_tests_take_a_browser_without_windows_before_a_whole_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("chromium", chromium.WINDOWLESS):
        program(tmp_path / "bin", name, "Chromium 150")
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.delenv("STANDBOOK_CHROMIUM", raising=False)
    assert chromium.get_windowless() == str(tmp_path / "bin" / chromium.WINDOWLESS)
    assert chromium.get_chromium() == str(tmp_path / "bin" / "chromium")


@pytest.mark.parametrize(("system", "taken"), [("debian", chromium.WINDOWLESS), ("ubuntu", "chromium")])
def test_debian_brings_a_browser_without_windows_and_elsewhere_a_whole_one_will_do(
    system: str, taken: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program(tmp_path / "bin", "chromium", "Chromium 150")
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.delenv("STANDBOOK_CHROMIUM", raising=False)
    monkeypatch.setattr(chromium.platform, "freedesktop_os_release", lambda: {"ID": system})
    monkeypatch.setattr(chromium.apt, "install", lambda what, name: program(tmp_path / "bin", name, "Chromium 150"))
    assert chromium.get_windowless() == str(tmp_path / "bin" / taken)


def test_a_program_that_only_says_how_to_install_a_browser_is_no_browser(tmp_path: Path) -> None:
    pretender = tmp_path / "chromium-browser"
    pretender.write_text("#!/bin/sh\necho 'install it with snap' >&2\nexit 1\n")
    pretender.chmod(0o755)
    assert not chromium.runs(str(pretender))


def test_no_browser_by_any_way_is_told_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chromium, "find_chromium", lambda: None)
    monkeypatch.setattr(chromium, "by_playwright", lambda: None)
    monkeypatch.setattr(chromium, "by_apt", lambda: None)
    with pytest.raises(Trouble, match="install Chromium"):
        chromium.get_chromium()
