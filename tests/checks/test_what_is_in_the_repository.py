"""The repository holds what we wrote and names no machine and no place that packages come from."""

import json
import re
import subprocess
from pathlib import Path

import pytest

from bootstrap.paths import CLIENT, REQUIREMENTS, ROOT

PINNED = re.compile(r'[a-z0-9-]+==[\w.]+( ; sys_platform == "\w+")?')


@pytest.mark.parametrize("name", ["run", "tests", "node"])
def test_every_python_package_is_pinned_by_name_and_version_alone(name: str) -> None:
    lines = (REQUIREMENTS / f"{name}.txt").read_text("utf-8").splitlines()
    assert lines
    assert [line for line in lines if not PINNED.fullmatch(line)] == []


@pytest.mark.parametrize("folder", [CLIENT, ROOT / "tests" / "benchmarks" / "anchors"], ids=lambda folder: folder.name)
def test_a_lock_of_npm_pins_versions_and_hashes_but_no_address(folder: Path) -> None:
    packages = json.loads((folder / "package-lock.json").read_text("utf-8"))["packages"]
    fetched = {name: entry for name, entry in packages.items() if name}
    assert fetched
    assert [name for name, entry in fetched.items() if "resolved" in entry] == []
    assert [name for name, entry in fetched.items() if "integrity" not in entry] == []


def test_nothing_in_the_repository_points_elsewhere_on_the_machine() -> None:
    """A link of the file system holds a path of the machine where it was made."""
    listed = subprocess.run(["git", "ls-files", "--stage"], cwd=ROOT, capture_output=True, text=True, check=True)
    lines = listed.stdout.splitlines()
    assert lines
    assert [line for line in lines if line.startswith("120000")] == []
