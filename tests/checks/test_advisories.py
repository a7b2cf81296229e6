"""No package that a shop runs has a published fault, as far as an advisory service can be asked from here.

A machine may have none: no network, or a mirror that has packages and no advisories. Then nothing can be said about the
packages; the test says so and passes, since the code is not at fault. The tools ask their own usual services.
"""

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bootstrap.node import get_node
from bootstrap.paths import CLIENT, REQUIREMENTS, ROOT, venv_bin
from bootstrap.tools import with_path

#: Published faults of this old version are in every advisory database (CVE-2019-10906 among them).
FAULTY = "jinja2==2.10"
PIP_AUDIT = ("--no-deps", "--disable-pip", "--progress-spinner", "off", "--timeout", "5", "--format", "json")
NPM_AUDIT = ("audit", "--omit", "dev", "--json", "--fetch-retries", "0", "--fetch-timeout", "5000")


class NoAnswer(Exception):
    """There is no advisory service to ask from here, and why."""


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Any:
    """Into the run's own output, where a person reads it."""

    def aloud(words: str) -> None:
        with capsys.disabled():
            print(f"\n{words}", flush=True)  # noqa: T201 this is for who runs the tests

    return aloud


def told(command: list[str | Path], cwd: Path = ROOT, path: str | None = None) -> Any:
    """The tool's JSON. Raises NoAnswer with its last words where it has none."""
    try:
        done = subprocess.run(
            command, cwd=cwd, env=with_path(path), capture_output=True, text=True, timeout=90, check=False
        )
        return json.loads(done.stdout)
    except subprocess.TimeoutExpired as error:
        raise NoAnswer("it did not answer in time") from error
    except ValueError as error:
        raise NoAnswer((done.stderr.strip().splitlines() or ["no words"])[-1][:200]) from error


def pip_audit(requirements: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = told([venv_bin() / "pip-audit", *PIP_AUDIT, "-r", requirements])["dependencies"]
    return found


def faults(packages: list[dict[str, Any]]) -> Iterator[str]:
    for package in packages:
        yield from (f"{package['name']} {package['version']}: {fault['id']}" for fault in package.get("vulns", ()))
        if "skip_reason" in package:
            yield f"{package['name']}: {package['skip_reason']}"


def advisories_of_python(requirements: Path, folder: Path) -> list[str]:
    """Raises NoAnswer where the service does not know even what everybody knows."""
    probe = folder / "probe.txt"
    probe.write_text(FAULTY + "\n")
    if not any(package.get("vulns") for package in pip_audit(probe)):
        raise NoAnswer("it knows of no fault even in a package that has some")
    return list(faults(pip_audit(requirements)))


def advisories_of_npm() -> dict[str, Any]:
    node = get_node()
    said = told([node.npm, *NPM_AUDIT], CLIENT, node.path)
    if "auditReportVersion" not in said:
        raise NoAnswer(str(said.get("message", said))[:200].partition(" http")[0])
    found: dict[str, Any] = said["vulnerabilities"]
    return found


def test_no_python_package_of_a_shop_has_a_published_fault(tmp_path: Path, say: Any) -> None:
    try:
        found = advisories_of_python(REQUIREMENTS / "run.txt", tmp_path)
    except NoAnswer as reason:
        say(f"Python packages were not looked up: the advisory service cannot be asked from here ({reason}).")
        found = []
    assert found == []


def test_no_package_of_the_phones_app_has_a_published_fault(say: Any) -> None:
    try:
        found = advisories_of_npm()
    except NoAnswer as reason:
        say(f"The app's packages were not looked up: the advisory service cannot be asked from here ({reason}).")
        found = {}
    assert found == {}


def test_a_published_fault_and_a_package_that_nobody_looked_at_are_both_told() -> None:
    """What the two above would say, on what the tool writes (pip-audit's JSON format)."""
    said = [
        {"name": "a", "version": "1", "vulns": [{"id": "CVE-1"}]},
        {"name": "b", "version": "2", "vulns": []},
        {"name": "c", "skip_reason": "not found"},
    ]
    assert list(faults(said)) == ["a 1: CVE-1", "c: not found"]
