"""Writes the lock lists in `server/requirements` anew from the pins in `pyproject.toml`.

    .venv/bin/python -m bootstrap.lock

Run it after changing a pin, look at the difference, commit both. A list holds names and versions only: where
packages come from is the business of the machine that installs them.
"""

import json
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
    found = (package["metadata"] for package in report["install"])
    return sorted(f"{one['name'].lower().replace('_', '-')}=={one['version']}" for one in found)


def write(name: str, lines: list[str]) -> None:
    text = "\n".join(lines + ELSEWHERE.get(name, [])) + "\n"
    (REQUIREMENTS / f"{name}.txt").write_text(text, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
