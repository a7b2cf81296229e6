"""Alembic migrations, and bringing a database up to date when the server starts."""

from pathlib import Path

from flask import Flask
from sqlalchemy import Engine, inspect, text

from standbook.database import db
from standbook.writing import FileLock

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
    """Runs what is missing; two servers that start at once do it one after the other."""
    if current(db.engine) == newest():
        return
    with FileLock(lock_file):
        upgrade(app)


def upgrade(app: Flask) -> None:
    import flask_migrate  # type: ignore[import-untyped]

    flask_migrate.Migrate(app, db, directory=str(FOLDER), render_as_batch=True)
    with app.app_context():
        flask_migrate.upgrade()
