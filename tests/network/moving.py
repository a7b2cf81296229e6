"""A shop whose machine's addresses stand in a file: `python -m tests.network.moving FILE PORT PORT PORT`."""

import sys
from pathlib import Path

from standbook import served
from standbook.api.serving import leave
from standbook.config import settings
from standbook.network.origin import Origin


def main(file: Path, https: int, door: int, here: int) -> None:
    served.LOOK_EVERY = 0.05
    network = served.Network(settings(), Origin("standbook.local", https, door), lambda: file.read_text().split())
    app = served.create_network_app(settings(), network)
    served.serve_network(app, settings(), network, here, opened)


def opened() -> None:
    sys.stdout.write("open\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:]))
    leave()
