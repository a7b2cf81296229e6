"""A shop on its network, on this machine alone and without TLS: `python -m tests.browser.joining.networked --port N`.

A browser trusts 127.0.0.1 as it trusts a certificate, so that everything but the certificate is as it is in a shop.
"""

import argparse
import sys
from dataclasses import replace

from standbook.api.door import create_door
from standbook.api.serving import Listener, Serving, leave
from standbook.app import OWN_NAMES, create_app
from standbook.config import HOST, settings
from standbook.network.authority import authority
from standbook.network.whereabouts import Whereabouts
from tests.browser.server import OPEN, free_port

#: What the phones look for; a browser finds it on this machine without being told.
NAME = "localhost"
SHOP = "Test shop"


def main(port: int) -> None:
    given, door_port = replace(settings(), network=True), free_port()
    ours = authority(given.keys, NAME)
    where = Whereabouts(f"http://{HOST}:{port}", NAME, port, door_port, ours.fingerprint, [HOST])
    app = create_app(given, where)
    app.config["TRUSTED_HOSTS"] = [*OWN_NAMES, NAME]
    door = Listener(create_door(given, where, ours, SHOP), door_port, threads=2)
    Serving([Listener(app, port), door], lambda: opened(port)).run()


def opened(port: int) -> None:
    sys.stdout.write(f"{OPEN} http://{HOST}:{port}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    words = argparse.ArgumentParser()
    words.add_argument("--port", type=int, required=True)
    main(words.parse_args().port)
    leave()
