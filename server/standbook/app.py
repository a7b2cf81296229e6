"""The Flask application: settings, database, ledger, routes."""

from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask
from sqlalchemy import Engine

from standbook import migrations
from standbook.api import client, compression, document, first_lead, guard, problems, trust, whence
from standbook.api.here import here
from standbook.api.rule import Route
from standbook.api.services import KEY, Services
from standbook.config import MAX_BODY, Settings, prepare
from standbook.database import db, open_sqlite_safely
from standbook.ledger.blobs import BlobStore
from standbook.ledger.projections import Builds
from standbook.ledger.pulls import Pulls
from standbook.ledger.service import Ledger
from standbook.ledger.uploads import Uploads
from standbook.network.seal import Seal
from standbook.network.whereabouts import Whereabouts
from standbook.people import models as people_models
from standbook.writing import Writer, named_errors

# Named so that every table is known before the first query, whichever routes are used.
TABLES = (people_models.Person, people_models.Instrument)
# Nothing listens beyond this machine; a page elsewhere that points its name at us is refused by name.
OWN_NAMES = ["127.0.0.1", "localhost"]


def create_app(settings: Settings, whereabouts: Whereabouts | None = None) -> Flask:
    """An application on this data folder, its database brought up to date. `whereabouts`: beyond this machine.

    Raises Problem disk_trouble or disk_full when the folder cannot be written.
    """
    app = without_routes(settings, whereabouts)
    add_routes(app)
    return app


def without_routes(settings: Settings, whereabouts: Whereabouts | None = None) -> Flask:
    """The same for whoever wants its services and answers no request."""
    app = Flask("standbook", static_folder=None)
    app.url_rule_class = Route
    app.config.update(SQLALCHEMY_DATABASE_URI=settings.database, MAX_CONTENT_LENGTH=MAX_BODY, TRUSTED_HOSTS=OWN_NAMES)
    # What was to be written stays out of the words of an error: they go to the log.
    # The connection that was used last is taken again: it has the pages of the book at hand.
    app.config["SQLALCHEMY_ENGINE_OPTIONS"] = {"hide_parameters": True, "pool_use_lifo": True}
    # Keys in the order in which they are meant to be read.
    app.json.sort_keys = False  # type: ignore[attr-defined]
    with named_errors():
        prepare(settings.data)
        open_database(app, settings, whereabouts)
    return app


def open_database(app: Flask, settings: Settings, whereabouts: Whereabouts | None) -> None:
    db.init_app(app)
    with app.app_context():
        engine = db.engine
        open_sqlite_safely(engine)
        with let_go_on_failure(engine):
            migrations.bring_up_to_date(app, settings.write_lock)
    writer = Writer(engine, settings.write_lock)
    store = BlobStore(settings.blobs)
    uploads, seal = Uploads(settings.uploads), Seal(settings.keys)
    ledger = Ledger(engine, writer, store, uploads, seal, network=settings.network)
    app.extensions[KEY] = Services(settings, writer, ledger, Builds(store), Pulls(), whereabouts)


@contextmanager
def let_go_on_failure(engine: Engine) -> Iterator[None]:
    """Nobody gets hold of the application then, to close its connections."""
    try:
        yield
    except BaseException:
        engine.dispose()
        raise


def add_routes(app: Flask) -> None:
    for part in (problems, guard, first_lead, trust, whence, compression, document):
        part.register(app)
    app.add_url_rule("/here.svg", view_func=here)
    app.register_blueprint(client.blueprint)
