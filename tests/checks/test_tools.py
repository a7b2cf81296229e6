"""Linters, type checkers and the client's own tests, each run as one test so that one summary covers all."""

import subprocess
import sys
from pathlib import Path

import pytest

from bootstrap.node import get_node
from bootstrap.paths import CLIENT, ROOT, venv_bin
from bootstrap.tools import with_path


def passes(*command: str | Path, cwd: Path = ROOT, path: str | None = None) -> None:
    """Fails with everything that the tool said when it is not content."""
    done = subprocess.run(
        command,
        cwd=cwd,
        env=with_path(path),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        pytest.fail(f"{' '.join(map(str, command))}\n{done.stdout}", pytrace=False)


def client_passes(*words: str) -> None:
    node = get_node()
    passes(node.npm, *words, cwd=CLIENT, path=node.path)


def python_tool(name: str) -> Path:
    return venv_bin() / name


def test_the_python_code_satisfies_the_linter() -> None:
    passes(python_tool("ruff"), "check", "--no-fix")


def test_the_python_code_is_formatted() -> None:
    passes(python_tool("ruff"), "format", "--check")


def test_the_python_types_hold_strictly() -> None:
    passes(python_tool("mypy"))


def test_imports_point_only_where_the_design_lets_them() -> None:
    passes(python_tool("lint-imports"))


def test_the_trade_package_uses_nothing_that_the_phone_does_otherwise() -> None:
    passes(sys.executable, "-m", "tests.checks.trade_lint")


def test_the_clients_types_hold_strictly() -> None:
    client_passes("run", "check:types")


def test_the_client_code_satisfies_the_linter() -> None:
    client_passes("run", "check:lint")


def test_the_clients_own_tests_pass() -> None:
    client_passes("test")
