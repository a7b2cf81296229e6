"""A backup a day by itself while the shop is served, and no more of them than are of use."""

import logging
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from standbook import clock
from standbook.keeping.backup import ENDING, file_name
from standbook.keeping.trouble import Trouble
from standbook.writing import FileLock

DAY = timedelta(days=1)
#: A failed one, or a day that has come, is noticed within so many seconds.
LOOK_EVERY = 600.0
DAYS_KEPT, WEEKS_KEPT = 7, 4
NAME_FORMAT = f"book-%Y-%m-%dT%H-%M-%S-%f{ENDING}"

log = logging.getLogger(__name__)


def made_at(file: Path) -> datetime | None:
    try:
        return datetime.strptime(file.name, NAME_FORMAT).replace(tzinfo=UTC)
    except ValueError:
        return None


def backups(folder: Path) -> list[tuple[datetime, Path]]:
    """Backups in the folder, the newest first; files with other names are not ours to touch."""
    found = [(moment, file) for file in folder.glob(f"book-*{ENDING}") if (moment := made_at(file)) is not None]
    return sorted(found, reverse=True)


def is_due(folder: Path) -> bool:
    """No backup of the last day. One from the future (a clock was wrong) does not count."""
    now = clock.now()
    return not any(now - DAY < moment <= now for moment, _ in backups(folder))


def superfluous(folder: Path) -> list[Path]:
    """All but the newest of each of the last seven days and of the last four weeks."""
    days: dict[object, Path] = {}
    weeks: dict[object, Path] = {}
    for moment, file in backups(folder):
        days.setdefault(moment.date(), file)
        weeks.setdefault(moment.isocalendar()[:2], file)
    kept = {*list(days.values())[:DAYS_KEPT], *list(weeks.values())[:WEEKS_KEPT]}
    return [file for _, file in backups(folder) if file not in kept]


def cut_short(folder: Path) -> list[Path]:
    """What a stopped process left of a backup; younger ones may be somebody's who is still writing."""
    old = time.time() - DAY.total_seconds()
    return [file for pattern in ("*.part", ".*.part") for file in folder.glob(pattern) if file.stat().st_mtime < old]


class Daily:
    """Makes the day's backup in a thread of its own. `make`: writes one to a path."""

    def __init__(self, folder: Path, make: Callable[[Path], object]) -> None:
        self._folder = folder
        self._make = make
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="daily backup", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def stop(self) -> None:
        self._stop.set()

    def _run(self) -> None:
        while True:
            self.look()
            if self._stop.wait(LOOK_EVERY):
                return

    def look(self) -> bool:
        """Makes a backup when one is due; a failure is told and tried again at the next look."""
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            # Two servers on one folder make one backup a day between them.
            with FileLock(self._folder / "daily.lock"):
                return self._make_due()
        except (Trouble, OSError) as trouble:
            log.error("the daily backup failed: %s", trouble)
            return False

    def _make_due(self) -> bool:
        if not is_due(self._folder):
            return False
        self._make(self._folder / file_name())
        for file in [*superfluous(self._folder), *cut_short(self._folder)]:
            file.unlink(missing_ok=True)
        return True
