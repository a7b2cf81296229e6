"""What the routes work with: one set of services per application."""

from typing import NamedTuple, cast

from flask import current_app

from standbook.config import Settings
from standbook.ledger.projections import Builds
from standbook.ledger.pulls import Pulls
from standbook.ledger.service import Ledger
from standbook.network.whereabouts import Whereabouts
from standbook.writing import Writer

KEY = "standbook"


class Services(NamedTuple):
    settings: Settings
    writer: Writer
    ledger: Ledger
    builds: Builds
    pulls: Pulls
    #: None where the shop is served on this machine alone.
    whereabouts: Whereabouts | None = None


def services() -> Services:
    return cast(Services, current_app.extensions[KEY])
