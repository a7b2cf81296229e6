"""Private copies of the sources: nobody else's tree ever has a fault in it."""

import shutil
from pathlib import Path

from bootstrap.paths import CLIENT, ROOT

CACHES = shutil.ignore_patterns("node_modules", "web", ".standbook", ".pytest_cache", "*.tsbuildinfo")
PYTHON = ("server", "seed_demo", "tests", "pyproject.toml")
CLIENTS = ("src", "build", "public", "generated", "package.json", "vite.config.ts", "index.html")


def python_copy(folder: Path) -> Path:
    """Everything that the tests of the server import. With the compiled files, whose sources keep their dates."""
    folder.mkdir(parents=True)
    for name in PYTHON:
        copy(ROOT / name, folder / name)
    return folder


def client_copy(folder: Path) -> Path:
    """The client's sources with their tests; its packages are looked up where they lie."""
    client = folder / CLIENT.name
    client.mkdir(parents=True)
    for name in (*CLIENTS, *(path.name for path in CLIENT.glob("tsconfig*.json"))):
        copy(CLIENT / name, client / name)
    (client / "node_modules").symlink_to(CLIENT / "node_modules", target_is_directory=True)
    return folder


def copy(source: Path, target: Path) -> None:
    if source.is_dir():
        shutil.copytree(source, target, ignore=CACHES)
    else:
        shutil.copy2(source, target)
