"""The built client, and a later version of it: the same sources under another version, through the same build."""

import shutil
import subprocess
from pathlib import Path

from bootstrap.node import get_node
from bootstrap.tools import with_path
from standbook.config import CHECKOUT, PACKAGE

BUILT = PACKAGE / "web"
LATER = "later-than-now"
#: No module of its own: the workers of the build would take that over, and are none.
SCRIPT = """
const [outDir, version] = process.argv.slice(1)
const define = { __APP_VERSION__: JSON.stringify(version) }
import('vite').then(({ build }) => build({ define, build: { outDir, emptyOutDir: true }, logLevel: 'warn' }))
"""


def copy_of_today(folder: Path) -> Path:
    return Path(shutil.copytree(BUILT, folder))


def build_later(folder: Path) -> Path:
    """Builds the version LATER into `folder`: other bytes, so another content hash and another worker."""
    node = get_node()
    words = [node.node, "-e", SCRIPT, str(folder), LATER]
    done = subprocess.run(
        words, cwd=CHECKOUT / "webclient", env=with_path(node.path), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return folder


def put_in_place_of(today: Path, later: Path) -> None:
    """An update as a server's files see it: one folder is swapped for the other."""
    today.rename(today.with_name("gone"))
    later.rename(today)
