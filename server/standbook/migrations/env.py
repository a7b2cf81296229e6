"""How Alembic reaches the database: the app's own engine, each migration one transaction."""

from alembic import context
from flask import current_app

from standbook.ledger import models as _ledger
from standbook.people import models as _people

TABLES = (_ledger.Shop, _people.Person)


def run() -> None:
    migrate = current_app.extensions["migrate"]
    with migrate.db.engine.connect() as connection:
        context.configure(
            connection=connection,
            target_metadata=migrate.db.metadata,
            render_as_batch=True,
            # SQLite can take back a change of tables too, as long as it is told to begin.
            transactional_ddl=True,
            transaction_per_migration=True,
        )
        with context.begin_transaction():
            context.run_migrations()


run()
