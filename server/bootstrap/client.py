"""The built client: its packages, the compiled trade package, and the bundle that the server hands out."""

from bootstrap.node import get_node
from bootstrap.paths import CLIENT, REQUIREMENTS, ROOT, SERVER, WEB, venv_python
from bootstrap.stages import Stage
from bootstrap.tools import run

LOCK = CLIENT / "package-lock.json"


def npm(doing: str, *words: str) -> None:
    node = get_node()
    run(doing, [node.npm, *words], cwd=CLIENT, path=node.path)


def fetch_packages() -> None:
    npm("Installing the client's packages", "ci", "--no-audit", "--no-fund", "--fetch-retry-mintimeout=1000")


def build() -> None:
    run("Compiling the trade package for the phone", [venv_python(), "-m", "standbook.brainpack"])
    npm("Building the client", "run", "build")


# npm writes its own list last.
FETCHED = Stage(
    "client-packages",
    (CLIENT / "package.json", LOCK),
    (CLIENT / "node_modules" / ".package-lock.json").is_file,
    fetch_packages,
    facts=(str(ROOT),),
)
#: What the trade package is and how it is packed.
PACKED_BY = ("trade", "brainpack.py", "packlayout.py")
BUILT = Stage(
    "client",
    (CLIENT, *(SERVER / "standbook" / name for name in PACKED_BY), REQUIREMENTS / "run.txt"),
    (WEB / "index.html").is_file,
    build,
)
