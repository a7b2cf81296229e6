"""Backup, restore, check and the daily backup of one shop: keeping's tools on this shop's database and folder."""

from pathlib import Path

from sqlalchemy import Engine, make_url

from standbook import migrations
from standbook.api.services import KEY, Services
from standbook.app import create_app
from standbook.config import Settings
from standbook.errors import Problem
from standbook.keeping import places
from standbook.keeping.archive import Reading
from standbook.keeping.backup import ENDING, backup, file_name
from standbook.keeping.daily import Daily
from standbook.keeping.open_shop import alone
from standbook.keeping.progress import Progress, silent
from standbook.keeping.restore import Place, restore
from standbook.keeping.trouble import Trouble
from standbook.keeping.whole import Whole, check
from standbook.ledger.counter import Counter


class Caretaker:
    def __init__(self, services: Services) -> None:
        self._settings = services.settings
        self._ledger = services.ledger

    def backup(self, target: Path | None = None, progress: Progress = silent) -> tuple[Path, Counter]:
        """Writes a backup to a file, or under a name of its own into a folder. Raises Trouble."""
        where = target or self._settings.backups
        path = where if where.name.endswith(ENDING) else where / file_name()
        return path, backup(self._ledger.engine, self._ledger.store, migrations.newest(), path, progress)

    def restore(self, path: Path, progress: Progress = silent) -> tuple[Reading, Path | None]:
        """Puts a backup in the place of what is here, which is backed up first. Raises Trouble.

        Gives what was restored, and where the earlier book lies now. This process's own database is closed after it.
        """
        with alone(self._settings.open_lock):
            before = self._put_aside(progress)
            return restore(path, migrations.newest(), self._ledger.store, self._place(), progress), before

    def _put_aside(self, progress: Progress) -> Path | None:
        """An empty database has nothing to put aside."""
        path = self._settings.backups / f"before-restore-{file_name().removeprefix('book-')}"
        try:
            return self.backup(path, progress)[0]
        except Problem as problem:
            if problem.code != "no_shop":
                raise
            return None

    def _place(self) -> Place:
        engine = self._ledger.engine
        if engine.dialect.name != "sqlite":
            return lambda fill: places.in_tables(engine, fill)
        file = make_url(self._settings.database).database
        if not file:
            raise Trouble("This database lies in no file: there is nothing to restore into.")
        engine.dispose()
        return lambda fill: places.in_file(Path(file), self._fresh, fill)

    def _fresh(self, file: Path) -> Engine:
        """A new file with the newest tables."""
        url = f"sqlite:///{file}"
        services: Services = create_app(Settings(self._settings.data, url)).extensions[KEY]
        return services.ledger.engine

    def check(self, progress: Progress = silent) -> Whole:
        with self._ledger.reading() as connection:
            return check(connection, self._ledger.store, progress)

    def daily(self) -> Daily:
        return Daily(self._settings.backups, self.backup)
