"""Writes the lock lists in `server/requirements` anew from the pins in `pyproject.toml`.

    .venv/bin/python -m bootstrap.lock

Run it after changing a pin, look at the difference, commit both. A list holds names and versions only: where
packages come from is the business of the machine that installs them.
"""

import json
import re
import subprocess
import sys
import tomllib

from bootstrap.paths import REQUIREMENTS, ROOT

# What only other platforms need; a resolver running on this one does not see it.
ELSEWHERE = {"run": ['colorama==0.4.6 ; sys_platform == "win32"']}

Project = dict[str, dict[str, list[str]]]


def main() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted = {"run": project["dependencies"] + extras["build"]}
    wanted["tests"] = wanted["run"] + extras["tests"]
    wanted["node"] = extras["node"]
    run = resolve(wanted["run"])
    write("run", run)
    write("tests", [line for line in resolve(wanted["tests"]) if line not in run])
    write("node", resolve(wanted["node"]))


def resolve(wanted: list[str]) -> list[str]:
    """All packages that `wanted` comes to on this machine, as sorted `name==version` lines."""
    pip = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--dry-run",
        "--ignore-installed",
        "--quiet",
        "--report",
        "-",
    ]
    report = json.loads(subprocess.run([*pip, *wanted], check=True, capture_output=True).stdout)
    found = {normal(package["metadata"]["name"]): package["metadata"]["version"] for package in report["install"]}
    # An environment has its own pip; one that replaces itself while it installs the rest is asking for trouble.
    return sorted(f"{name}=={version}" for name, version in found.items() if name != "pip")


def normal(name: str) -> str:
    """A package's name as every index knows it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def write(name: str, lines: list[str]) -> None:
    text = "\n".join(lines + ELSEWHERE.get(name, [])) + "\n"
    (REQUIREMENTS / f"{name}.txt").write_text(text, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
