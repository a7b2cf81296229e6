"""The commands that serve a shop: for this machine alone, on its network, or behind a proxy of its own domain."""

import argparse
import gc
from collections.abc import Callable
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from flask import Flask

from standbook.api.first_lead import first_link
from standbook.api.services import KEY, Services
from standbook.api.serving import PortTaken, leave, serve
from standbook.app import create_app
from standbook.caretaker import Caretaker
from standbook.cli_words import Unable, port_number
from standbook.config import HOST, PORT, Settings, prepare, settings
from standbook.network.origin import DOOR_PORT, NAME, OtherOrigin, host_name, origin
from standbook.network.origin import PORT as HTTPS_PORT
from standbook.writing import named_errors

if TYPE_CHECKING:
    from standbook.served import Network

#: So many objects made and not let go of before the collector looks for rings among them: more than a push makes.
YOUNG = 50_000
#: How somebody signs in at the desk.
Words = Callable[[Services], str]


def add_words(parser: argparse.ArgumentParser, network: bool) -> None:
    """`network`: whether the command serves phones unless told otherwise."""
    usual = HTTPS_PORT if network else PORT
    parser.add_argument("--port", type=port_number, help=f"usually {usual}")
    if network:
        parser.add_argument("--only-here", action="store_true", help="for this machine alone, without TLS")
        parser.add_argument("--behind-proxy", type=proxied, metavar="ORIGIN", help=PROXY)
    else:
        parser.add_argument(
            "--network", action="store_true", help="for phones in the shop's network too, as serve does"
        )
    parser.add_argument("--name", type=name_of_host, help=f"the server's name in the shop's network, usually {NAME}")
    parser.add_argument("--door-port", type=port_number, help=f"of the page where phones join, usually {DOOR_PORT}")
    parser.add_argument("--here-port", type=port_number, help=f"of this machine's own desk, usually {PORT}")
    parser.add_argument("--move", action="store_true", help="to another name or port: every phone has to join anew")


PROXY = (
    "a proxy on this machine serves the shop's own domain, such as https://book.example, and passes requests on here"
)


def proxied(text: str) -> str:
    parts = urlsplit(text)
    if parts.scheme != "https" or not parts.hostname or parts.path not in ("", "/") or parts.query or parts.fragment:
        raise argparse.ArgumentTypeError("an address such as https://book.example, without a path")
    return f"https://{parts.netloc}"


def name_of_host(text: str) -> str:
    try:
        return host_name(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def serve_as_told(given: argparse.Namespace, ready: Callable[[Services], None], words: Words) -> None:
    """Serves until it is stopped. `ready`: looks whether there is something to serve, and may put it there."""
    here = settings()
    if getattr(given, "behind_proxy", None):
        serve_behind(given, here, ready, words)
    elif getattr(given, "network", not getattr(given, "only_here", False)):
        serve_on_network(given, here, ready, words)
    else:
        serve_here(given, here, ready, words)


def serve_here(given: argparse.Namespace, here: Settings, ready: Callable[[Services], None], words: Words) -> None:
    app, port = create_app(here), given.port or PORT
    services = began(app, ready)
    address = f"http://{HOST}:{port}"
    told = here_words(services, address, port, words(services))
    run(services, lambda: serve(app, port, lambda: say(told)), {port: "--port"})


def serve_on_network(
    given: argparse.Namespace, here: Settings, ready: Callable[[Services], None], words: Words
) -> None:
    from standbook.served import create_network_app, serve_network

    network = network_of(given, here)
    app, port = create_network_app(here, network), given.here_port or PORT
    services = began(app, ready)
    address = f"http://{HOST}:{port}"
    told = network_words(services, network, address, words(services))
    where = network.whereabouts
    flags = {where.port: "--port", where.door_port or 0: "--door-port", port: "--here-port"}
    run(services, lambda: serve_network(app, here, network, port, lambda: say(told)), flags)


def serve_behind(given: argparse.Namespace, here: Settings, ready: Callable[[Services], None], words: Words) -> None:
    from standbook.served import create_proxied_app

    app, port = create_proxied_app(here, given.behind_proxy), given.port or PORT
    services = began(app, ready)
    told = proxy_words(services, given.behind_proxy, f"http://{HOST}:{port}", words(services))
    run(services, lambda: serve(app, port, lambda: say(told)), {port: "--port"})


def network_of(given: argparse.Namespace, here: Settings) -> "Network":
    """Raises Unable where phones keep their book under another origin."""
    from standbook.served import Network, WrongName  # not for a start that needs no network

    with named_errors():
        prepare(here.data)
    wanted = {"name": given.name, "port": given.port, "door_port": given.door_port}
    try:
        return Network(here, origin(here.data, wanted, given.move))
    except OtherOrigin as other:
        raise Unable(f"The phones of this shop keep their book under {other}. {TO_MOVE}") from other
    except WrongName as wrong:
        raise Unable(
            f"The shop's certificate authority does not vouch for the name {wrong}. {NEW_AUTHORITY}"
        ) from wrong


TO_MOVE = (
    "Under another name or port each of them has to join anew: first write what is unsent on them to files, "
    "then say --move."
)
NEW_AUTHORITY = (
    "It vouches for names that end in .local, .lan, .home, .internal or .home.arpa. For a domain of your own put a "
    "proxy before it: --behind-proxy. For a new authority, which every phone has to install, put its two files "
    "authority.key and authority.crt out of the folder keys."
)


def began(app: Flask, ready: Callable[[Services], None]) -> Services:
    services: Services = app.extensions[KEY]
    ready(services)
    if services.settings.daily_backup:
        Caretaker(services).daily().start()
    return services


def run(services: Services, serving: Callable[[], None], flags: dict[int, str]) -> None:
    """`flags`: which word of the command line changes which port."""
    settle()
    try:
        serving()
    except PortTaken as taken:
        port = int(str(taken))
        other = port + 1 if port < 65535 else PORT
        words = f"Port {port} is taken by another program. Try another one: {flags[port]} {other}"
        raise Unable(words) from taken
    services.ledger.engine.dispose()
    leave()


def settle() -> None:
    """What was made until now stays to the end. The collector, left to itself, goes through all of it again while a
    phone waits: a fifth of the time of a push."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(YOUNG, 20, 20)


def say(words: str) -> None:
    print(words, flush=True)


def here_words(services: Services, address: str, port: int, words: str) -> str:
    return "\n".join(
        (
            f"Standbook is open at {address}",
            *first_words(services, address),
            f"  Desk   {address}/desk  ({words})",
            f"  Stand  {address}/  in a narrow window, or on an Android phone on a USB cable after:",
            f"         adb reverse tcp:{port} tcp:{port}",
            f"  Data   {services.settings.data}",
            "Ctrl+C stops it. The stand works on without it.",
        )
    )


def network_words(services: Services, network: "Network", address: str, words: str) -> str:
    where = network.whereabouts
    doors = ", ".join(where.join_addresses()) or "none: this machine has no address in a network yet"
    return "\n".join(
        (
            f"Standbook is open at {where.origin}",
            *first_words(services, address),
            f"  Desk   {address}/desk on this machine  ({words})",
            f"  Join   {doors}  (a lead makes the code at the desk, under Phones)",
            f"  Trust  {where.fingerprint}",
            f"  Data   {services.settings.data}",
            "Ctrl+C stops it. The stand works on without it.",
        )
    )


def proxy_words(services: Services, outside: str, address: str, words: str) -> str:
    return "\n".join(
        (
            f"Standbook is open at {outside}, as soon as the proxy passes requests on to {address}",
            *first_words(services, outside),
            f"  Desk   {outside}/desk  ({words})",
            f"  Data   {services.settings.data}",
            "Ctrl+C stops it. The stand works on without it.",
        )
    )


def first_words(services: Services, address: str) -> list[str]:
    """Where a shop begins: only whoever sees this terminal can."""
    link = first_link(services, address)
    if link is None:
        return []
    return [f"  First  {link}", "         opens the shop and makes its first lead; good for an hour, once"]
