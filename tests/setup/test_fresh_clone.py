"""The set-up as a person meets it: a copy of the checkout without its environment, and a machine that lacks
something. Each lack is one clear sentence, and the same command works once it is mended."""

import ast
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from bootstrap.paths import ROOT, SERVER

MACHINES_PYTHON = Path(sys.base_prefix) / "bin" / "python3"
SETTINGS = ("PYTHONPATH", "PIP_FIND_LINKS", "PIP_EXTRA_INDEX_URL")


@pytest.fixture
def clone() -> Iterator[Path]:
    """Only what the set-up itself reads: nothing here may need the rest."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "project"
        for name in ("server/bootstrap", "server/requirements"):
            shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("pyproject.toml", "server/__main__.py"):
            shutil.copy(ROOT / name, root / name)
        yield root


def start(root: Path, **settings: str) -> subprocess.CompletedProcess[str]:
    plain = {name: value for name, value in os.environ.items() if name not in SETTINGS}
    return subprocess.run(
        [MACHINES_PYTHON, "server", "demo"],
        cwd=root,
        env=plain | settings,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


def sentence(done: subprocess.CompletedProcess[str]) -> str:
    """The one line that a failed start tells."""
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    (line,) = done.stderr.splitlines()
    return line


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_a_python_without_its_environment_modules_names_the_package_to_install(
    module: str, clone: Path, tmp_path: Path
) -> None:
    (tmp_path / "sitecustomize.py").write_text(f"import sys; sys.modules[{module!r}] = None")
    told = sentence(start(clone, PYTHONPATH=str(tmp_path)))
    assert module in told
    assert "apt install python3-venv" in told


def test_no_network_is_told_and_the_half_made_environment_is_made_anew(clone: Path) -> None:
    # A port of this machine on which nothing listens stands for a package source out of reach.
    cut_off = {"PIP_INDEX_URL": "http://127.0.0.1:9/", "PIP_CONFIG_FILE": os.devnull, "PIP_NO_CACHE_DIR": "1"}
    for _ in range(2):
        done = start(clone, **cut_off)
        assert "no network" in sentence(done)
        assert "run the same command again" in done.stderr
        assert done.stdout.startswith("Making .venv")


def test_a_read_only_folder_is_told(clone: Path) -> None:
    clone.chmod(0o555)
    clone.parent.chmod(0o755)
    # A superuser may write anywhere, so the child becomes nobody in particular once it has read its code.
    code = (
        "import os, sys; sys.path.insert(0, 'server'); from bootstrap.commands import server, venv_python\n"
        "venv_python()\n"
        "if os.geteuid() == 0: os.seteuid(65534)\n"
        "sys.exit(server(['demo']))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=clone, capture_output=True, text=True, check=False)
    told = sentence(done)
    assert f"{clone} cannot be written to" in told
    assert "a folder of your own" in told


@pytest.mark.parametrize("command", [SERVER / "__main__.py", ROOT / "tests" / "__main__.py"])
def test_an_old_python_is_told_which_one_it_takes(command: Path) -> None:
    ast.parse(command.read_text("utf-8"), feature_version=(3, 4))
    old = "import runpy, sys; sys.version_info = (3, 9, 18); runpy.run_path(sys.argv[1], run_name='__main__')"
    done = subprocess.run([sys.executable, "-c", old, command], capture_output=True, text=True, check=False)
    assert "needs Python 3.11 or newer and this is Python 3.9" in sentence(done)
