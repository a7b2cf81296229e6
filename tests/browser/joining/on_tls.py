"""The demo shop as `standbook serve` serves it, on a machine whose addresses stand in a file.

`python -m tests.browser.joining.on_tls FILE DOOR HERE --port N`
"""

import argparse
import sys
from pathlib import Path

from standbook import served
from standbook.api.serving import leave
from standbook.config import settings
from standbook.network.origin import Origin
from tests.browser.server import OPEN

NAME = "standbook.local"


def main(addresses: Path, port: int, door: int, here: int) -> None:
    served.LOOK_EVERY = 0.2
    origin = Origin(NAME, port, door)
    network = served.Network(settings(), origin, lambda: addresses.read_text().split())
    app = served.create_network_app(settings(), network)
    served.serve_network(app, settings(), network, here, lambda: opened(origin.address))


def opened(address: str) -> None:
    sys.stdout.write(f"{OPEN} {address}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    words = argparse.ArgumentParser()
    words.add_argument("addresses", type=Path)
    words.add_argument("door", type=int)
    words.add_argument("here", type=int)
    words.add_argument("--port", type=int, required=True)
    given = words.parse_args()
    main(given.addresses, given.port, given.door, given.here)
    leave()
