"""The shop served on its network: HTTPS under the one origin, the join door, and this machine's own desk."""

import logging
import socket
import threading
from collections.abc import Callable
from dataclasses import replace
from urllib.parse import urlsplit

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from standbook.api.door import create_door
from standbook.api.services import KEY
from standbook.api.serving import Listener, Serving
from standbook.app import OWN_NAMES, create_app
from standbook.config import Settings
from standbook.errors import Problem
from standbook.ledger.shops import shop_name
from standbook.network.addresses import lan_addresses
from standbook.network.announcing import Announcer
from standbook.network.authority import Authority, authority
from standbook.network.certificate import Pair, certificate, fits, pair_in
from standbook.network.origin import Origin
from standbook.network.whereabouts import Whereabouts

log = logging.getLogger(__name__)
#: Every address of this machine; IPv6 along with IPv4 where the system has both in one.
ANYWHERE = "::" if socket.has_dualstack_ipv6() else "0.0.0.0"
LOOK_EVERY = 15.0
Find = Callable[[], list[str]]


class WrongName(Exception):
    """The shop's authority vouches for another name; phones would have to trust a new one."""


class Network:
    """The shop's place in its network, kept up to date while it is served."""

    def __init__(self, settings: Settings, origin: Origin, find: Find = lan_addresses) -> None:
        """Raises WrongName."""
        self._files = pair_in(settings.keys)
        self._find = find
        self.authority: Authority = authority(settings.keys, origin.name)
        if not self.authority.vouches_for(origin.name):
            raise WrongName(origin.name)
        self.whereabouts = Whereabouts(
            origin.address, origin.name, origin.port, origin.door_port, self.authority.fingerprint, find()
        )
        self._announcer = Announcer(origin.name, origin.port)

    def pair(self) -> Pair:
        """The server's certificate and key, which fit the addresses of this moment."""
        return certificate(self._files, self.authority, self.whereabouts.name, self.whereabouts.addresses)

    def look(self) -> bool:
        """Looks at the addresses anew. True where the certificate no longer fits them or has grown old."""
        found, where = self._find(), self.whereabouts
        if found != where.addresses:
            where.addresses = found
            self.announce()
        return not fits(self._files, self.authority, where.name, found)

    def announce(self) -> None:
        self._announcer.announce(self.whereabouts.addresses)

    def close(self) -> None:
        self._announcer.close()


class Watch(threading.Thread):
    """Looks again and again, and tells when the certificate was issued anew."""

    def __init__(self, network: Network, renewed: Callable[[], None]) -> None:
        super().__init__(name="network", daemon=True)
        self._network = network
        self._renewed = renewed
        self._ended = threading.Event()

    def run(self) -> None:
        self._network.announce()
        while not self._ended.wait(LOOK_EVERY):
            try:
                if self._network.look():
                    self._renewed()
            except OSError:
                # No list of addresses now, or no room for a certificate: the one that is there goes on.
                log.exception("the network cannot be looked at")

    def end(self) -> None:
        self._ended.set()
        self.join()
        self._network.close()


def create_network_app(settings: Settings, network: Network) -> Flask:
    """The application under the shop's origin and for this machine's own desk; strangers are turned away."""
    app = create_app(replace(settings, network=True), network.whereabouts)
    app.config["TRUSTED_HOSTS"] = [*OWN_NAMES, network.whereabouts.name]
    return app


def serve_network(app: Flask, settings: Settings, network: Network, here: int, when_open: Callable[[], None]) -> None:
    """Until Ctrl+C or a termination signal. Raises PortTaken."""
    where = network.whereabouts
    assert where.door_port is not None
    door = create_door(settings, where, network.authority, name_of_shop(app))
    secure = Listener(app, where.port, ANYWHERE, network.pair)
    listeners = [secure, Listener(door, where.door_port, ANYWHERE, threads=2), Listener(app, here)]
    serving = Serving(listeners, when_open)
    watch = Watch(network, lambda: serving.renew(secure))
    watch.start()
    try:
        serving.run()
    finally:
        watch.end()


def name_of_shop(app: Flask) -> str:
    ledger = app.extensions[KEY].ledger
    try:
        with ledger.reading() as connection:
            return shop_name(connection, ledger.shop())
    except Problem:
        return "Standbook"


def create_proxied_app(settings: Settings, origin: str) -> Flask:
    """What the proxy says of scheme, host and address is believed: nobody but it reaches this port."""
    name = urlsplit(origin).hostname or ""
    app = create_app(replace(settings, network=True), Whereabouts(origin, name=name))
    app.config["TRUSTED_HOSTS"] = [*OWN_NAMES, name]
    app.wsgi_app = ProxyFix(app.wsgi_app, x_for=1, x_proto=1, x_host=1)  # type: ignore[method-assign]
    return app
