"""Alembic migrations, and bringing a database up to date when the server starts."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask import Flask
from sqlalchemy import Engine, func, inspect, select, text

from standbook.database import db
from standbook.errors import Problem
from standbook.writing import QUEUE, FileLock

FOLDER = Path(__file__).resolve().parent


def newest() -> str:
    """The newest revision, by the number that its file name begins with. Asking Alembic would cost the start 100 ms."""
    return max(file.name.partition("_")[0] for file in (FOLDER / "versions").glob("[0-9]*_*.py"))


def current(engine: Engine) -> str | None:
    """The revision that this database is at; None before the first."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one_or_none()


def bring_up_to_date(app: Flask, lock_file: Path) -> None:
    """Runs what is missing; servers that start at once do it one after the other. Raises Problem newer_book."""
    here = current(db.engine)
    if here is not None and here > newest():
        raise Problem("newer_book")
    if here != newest():
        with FileLock(lock_file), alone_on(db.engine):
            upgrade(app)


@contextmanager
def alone_on(engine: Engine) -> Iterator[None]:
    """Servers on several machines share a PostgreSQL, but no folder with a lock file."""
    if engine.dialect.name != "postgresql":
        yield
        return
    with engine.begin() as connection:
        connection.execute(select(func.pg_advisory_xact_lock(QUEUE)))
        yield


def upgrade(app: Flask) -> None:
    import flask_migrate  # type: ignore[import-untyped]

    flask_migrate.Migrate(app, db, directory=str(FOLDER), render_as_batch=True)
    with app.app_context():
        flask_migrate.upgrade()
