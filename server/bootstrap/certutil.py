"""NSS's certutil, which puts a certificate authority into the trust store of a Chromium on Linux."""

import contextlib
import shutil

from bootstrap import apt
from bootstrap.tools import Trouble


def get_certutil() -> str:
    """Its path; "" where there is none and none can be installed: the one test that wants it says so."""
    if not shutil.which("certutil"):
        with contextlib.suppress(Trouble):
            apt.install("certutil", "libnss3-tools")
    return shutil.which("certutil") or ""
