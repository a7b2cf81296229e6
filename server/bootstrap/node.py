"""Node and its npm, which build the client: the machine's, or one brought by pip."""

import os
import re
import shutil
from typing import NamedTuple

from bootstrap.packages import install
from bootstrap.paths import venv_bin
from bootstrap.tools import Trouble, ask, say


class Node(NamedTuple):
    """Programs by full path, and the PATH on which scripts find them under their own names."""

    node: str
    npm: str
    path: str


def get_node() -> Node:
    """A Node that the client's build accepts; installs one into `.venv` when there is none."""
    found = find_node()
    if found:
        return found
    say("No Node that builds the client was found (20.19 and up, or 22.12 and up); bringing one.")
    install("node")
    found = find_node()
    if not found:
        raise Trouble("Node was installed into .venv but does not run here: install Node 22.12 or newer.")
    return found


def find_node() -> Node | None:
    machine = os.environ.get("PATH", os.defpath)
    for path in (machine, os.pathsep.join([str(venv_bin()), machine])):
        node, npm = shutil.which("node", path=path), shutil.which("npm", path=path)
        if node and npm and accepted(ask([node, "--version"])):
            return Node(node, npm, path)
    return None


def accepted(version: str) -> bool:
    """Whether the client's bundler runs on this Node: ^20.19.0 or >= 22.12.0, as its package says."""
    match = re.match(r"v(\d+)\.(\d+)\.", version)
    if not match:
        return False
    major, minor = int(match[1]), int(match[2])
    return (major == 20 and minor >= 19) or (major, minor) >= (22, 12)
