"""Backup, restore, check and the daily backup of one shop: keeping's tools on this shop's database and folder."""

import logging
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import Connection, Engine, make_url

from standbook import clock, migrations
from standbook.api.first_lead import has_shop
from standbook.api.services import KEY, Services
from standbook.app import without_routes
from standbook.config import Settings, prepare, sqlite_url
from standbook.errors import Problem
from standbook.keeping import package, places
from standbook.keeping.archive import Manifest, Reading
from standbook.keeping.aside import START, put_aside
from standbook.keeping.backup import Made, backup, new_folder, new_name, refuse_without_room
from standbook.keeping.daily import SPARE, Daily, Kept
from standbook.keeping.erasing import Erased, erase, remembered
from standbook.keeping.open_shop import alone
from standbook.keeping.progress import Progress, silent
from standbook.keeping.restore import add_files, check, fill, missing_files
from standbook.keeping.restore import refuse_without_room as refuse_without_room_here
from standbook.keeping.snapshot import snapshot
from standbook.keeping.trouble import Trouble, Unreadable
from standbook.keeping.unpacking import Package
from standbook.keeping.whole import Whole
from standbook.keeping.whole import check as check_whole
from standbook.ledger.blobs import BlobStore
from standbook.ledger.chain_check import DAMAGED
from standbook.people.customers import erase_again

log = logging.getLogger(__name__)


class Restored(NamedTuple):
    """`before`: where the earlier book lies now; `missing`: files that neither the backup nor the folder has."""

    manifest: Manifest
    before: Path | None
    missing: list[str]


class Exported(NamedTuple):
    """`lacking`: files that were missing or damaged in the shop."""

    folder: Path
    last_seq: int
    lacking: list[str]


class Caretaker:
    def __init__(self, services: Services) -> None:
        self._services = services
        self._settings = services.settings
        self._ledger = services.ledger
        self._builds = services.builds

    def backup(self, target: Path | None = None, progress: Progress = silent, spare: int = 0) -> Made:
        """Writes a backup to a file; usually under a name of its own among the shop's backups. Raises Trouble."""
        path = target or new_name(self._settings.backups)
        return backup(self._ledger.engine, self._ledger.store, migrations.newest(), path, progress, spare)

    def export(self, folder: Path, progress: Progress = silent) -> Exported:
        """The whole shop as a data package in a new folder. Raises Trouble; nothing of it is left then."""
        about = {"made_at": clock.now_stamp(), "revision": migrations.newest()}
        with new_folder(folder) as beside, snapshot(self._ledger.engine) as connection:
            refuse_without_room(connection, folder, what="the shop")
            builds = self._builds.whole(connection)
            said = package.write(connection, beside, about, self._ledger.store, builds, progress)
        return Exported(folder, said["last_seq"], said["lacking"])

    def erase(self, customer: str, by: str, reason: str, progress: Progress = silent) -> Erased:
        """See `keeping/erasing.py`. Raises Problem unknown_customer or reason_tells."""
        return erase(self._settings, self._ledger, customer, by, reason, progress=progress)

    def restore(self, path: Path, progress: Progress = silent) -> Restored:
        """See `restore`. This process's own database is closed by it."""
        self._ledger.engine.dispose()
        return restore(self._settings, path, progress)

    def check(self, progress: Progress = silent) -> Whole:
        with snapshot(self._ledger.engine) as connection:
            return check_whole(connection, self._ledger.store, progress)

    def daily(self) -> Daily:
        kept = Kept(self._settings.days_kept, self._settings.weeks_kept)
        return Daily(self._settings.backups, self._backup_of_the_day, kept)

    def _backup_of_the_day(self, path: Path) -> None:
        if not has_shop(self._services):
            return
        made = self.backup(path, spare=SPARE)
        if made.lacking:
            log.error("%d files of the shop are missing or damaged. Run: standbook check", len(made.lacking))


def restore(settings: Settings, path: Path, progress: Progress = silent) -> Restored:
    """Puts a backup in the place of what is here, which is put aside first. Raises Trouble; nothing was changed then.

    It needs no readable book: one that is broken is what a backup is for.
    """
    prepare(settings.data)
    with alone(settings.open_lock), reading(path) as archive:
        check(archive, migrations.newest(), progress)
        store = BlobStore(settings.blobs)
        refuse_without_room_here(archive, store, settings.data)

        def fill_in(connection: Connection) -> None:
            """An older copy of the book does not bring back whom this shop has erased since."""
            fill(archive, connection, progress)
            erase_again(connection, remembered(settings.erased))
            add_files(archive, store, progress)

        place = into_file if settings.on_sqlite else into_tables
        before = place(settings, fill_in, progress)
        return Restored(archive.manifest, before, missing_here(settings, store))


def missing_here(settings: Settings, store: BlobStore) -> list[str]:
    with database(settings) as engine, snapshot(engine) as connection:
        return list(missing_files(connection, store))


def restore_files(settings: Settings, path: Path, progress: Progress = silent) -> int:
    """Puts back only files that are missing or damaged here; gives how many. The book stays as it is."""
    with reading(path) as archive:
        check(archive, migrations.newest(), progress)
        return add_files(archive, BlobStore(settings.blobs), progress)


@contextmanager
def reading(path: Path) -> Iterator[Reading | Package]:
    """A backup, or a data package in its folder."""
    archive = Package(path) if (path / package.DESCRIPTOR).is_file() else Reading(path)
    try:
        yield archive
    finally:
        archive.close()


@contextmanager
def database(settings: Settings) -> Iterator[Engine]:
    engine = engine_of(settings)
    try:
        yield engine
    finally:
        engine.dispose()


def engine_of(settings: Settings) -> Engine:
    services: Services = without_routes(settings).extensions[KEY]
    return services.ledger.engine


def into_tables(settings: Settings, fill_in: places.Fill, progress: Progress) -> Path | None:
    kept: list[Path | None] = []

    def keep(connection: Connection) -> None:
        kept.append(put_aside(connection, settings.backups, migrations.newest(), progress))

    with database(settings) as engine:
        places.in_tables(engine, keep, fill_in)
    return kept[0]


def into_file(settings: Settings, fill_in: places.Fill, progress: Progress) -> Path | None:
    name = make_url(settings.database).database
    if not name or name == ":memory:":
        raise Trouble("This database lies in no file: there is nothing to restore into.")
    old = Path(name)
    beside = old.with_name("restoring")

    def fresh(folder: Path) -> Engine:
        return engine_of(Settings(folder, sqlite_url(folder)))

    try:
        new = places.made_beside(beside, fresh, fill_in)
        before = keep_old(settings, old, progress)
        places.take_place(new, old)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return before


def keep_old(settings: Settings, old: Path, progress: Progress) -> Path | None:
    """As a backup where the old book can be read, else its file as it is. Raises Trouble while somebody has it open."""
    if not old.exists():
        return None
    if places.readable(old):
        try:
            before = kept_as_backup(settings, progress)
            places.empty_log(old)
            return before
        except (Problem, Unreadable, *DAMAGED) as error:
            log.warning("The old book cannot be read (%s): its file is kept as it is.", error)
    return places.keep_raw(old, new_name(old.parent, START, ending=""))


def kept_as_backup(settings: Settings, progress: Progress) -> Path | None:
    with database(settings) as engine, snapshot(engine) as connection:
        return put_aside(connection, settings.backups, migrations.newest(), progress)
