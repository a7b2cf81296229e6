"""The virtual environment and the Python packages in it."""

import importlib.util
import sys
import threading
from pathlib import Path

from bootstrap.paths import REQUIREMENTS, ROOT, VENV, venv_python
from bootstrap.stages import STAMPS, Stage
from bootstrap.tools import Trouble, run

# Stands while pip writes. A package that was cut short looks installed to pip and is not, so where this is
# found again the environment is made anew.
WRITING = STAMPS / "writing"
ONE_WRITER = threading.Lock()


def sound() -> bool:
    return venv_python().exists() and not WRITING.exists()


def make_environment() -> None:
    if Path(sys.prefix) == VENV:
        raise Trouble("The environment .venv has to be made anew: run this with the machine's own Python.")
    for module in ("venv", "ensurepip"):
        if not importlib.util.find_spec(module):
            raise Trouble(
                f"This Python lacks its module {module}: install the package that brings it "
                "(on Debian and Ubuntu: sudo apt install python3-venv) and run the same command again."
            )
    run(f"Making .venv with Python {version()}", [sys.executable, "-m", "venv", "--clear", VENV])


def install(name: str) -> None:
    """Installs the list `name` of `server/requirements` at exactly its versions."""
    listed = REQUIREMENTS / f"{name}.txt"
    count = len(listed.read_text("utf-8").splitlines())
    pip(f"Installing {count} Python packages ({name})", "--requirement", listed)


def install_running() -> None:
    install("run")
    pip("Linking the project into .venv", "--no-deps", "--no-build-isolation", "--editable", ROOT)


def pip(doing: str, *words: str | Path) -> None:
    """One at a time: the client's build may want a Node of an environment that is still being filled."""
    with ONE_WRITER:
        WRITING.parent.mkdir(parents=True, exist_ok=True)
        WRITING.touch()
        options = ("--disable-pip-version-check", "--no-input", "--retries", "2")
        run(doing, [venv_python(), "-m", "pip", "install", *options, *words])
        WRITING.unlink()


def version() -> str:
    return ".".join(map(str, sys.version_info[:3]))


# An environment works with the Python that made it and in the folder where it was made.
ENVIRONMENT = Stage("environment", (), sound, make_environment, facts=(sys.version, sys.base_prefix, str(VENV)))
RUNNING = Stage(
    "running", (REQUIREMENTS / "run.txt", ROOT / "pyproject.toml"), sound, install_running, ENVIRONMENT.facts
)
TESTING = Stage("testing", (REQUIREMENTS / "tests.txt",), sound, lambda: install("tests"), ENVIRONMENT.facts)
