"""Programs of Debian and its kin, where we may install them."""

import os
import shutil

from bootstrap.paths import WINDOWS
from bootstrap.tools import run


def install(what: str, package: str) -> None:
    """Nothing happens on another system, or for somebody who is not its administrator. Raises Trouble."""
    apt = shutil.which("apt-get")
    if WINDOWS or not apt or os.geteuid() != 0:
        return
    run("Reading the system's package lists", [apt, "update"])
    run(f"Installing {what}", [apt, "install", "--yes", "--no-install-recommends", package])
