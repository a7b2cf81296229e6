"""Where things lie in a checkout, on each platform.

Shown on Linux. What differs on Windows and macOS is held by the tests of `tests/setup` alone.
"""

import os
import sysconfig
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
SERVER = ROOT / "server"
REQUIREMENTS = SERVER / "requirements"
CLIENT = ROOT / "webclient"
WEB = SERVER / "standbook" / "web"

WINDOWS = os.name == "nt"


def venv_bin(windows: bool = WINDOWS) -> Path:
    """The folder of the virtual environment's programs."""
    scheme = "nt_venv" if windows else "posix_venv"
    return Path(sysconfig.get_path("scripts", scheme, {"base": str(VENV)}))


def venv_python(windows: bool = WINDOWS) -> Path:
    return venv_bin(windows) / ("python.exe" if windows else "python")
