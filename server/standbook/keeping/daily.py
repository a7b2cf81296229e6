"""A backup a day by itself while the shop is served, and no more of them than are of use."""

import logging
import threading
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from standbook import clock
from standbook.keeping.backup import ENDING, new_name
from standbook.keeping.trouble import Trouble
from standbook.writing import FileLock

DAY = timedelta(days=1)
#: Whoever has just started the server waits for a page; the backup does not press.
FIRST_LOOK = 60.0
#: A failed one, or a day that has come, is noticed within so many seconds.
LOOK_EVERY = 600.0
#: So much stays free for the book itself when a backup lies on the same disk.
SPARE = 500 * 10**6
NAME_FORMAT = f"book-%Y-%m-%dT%H-%M-%S-%f{ENDING}"

log = logging.getLogger(__name__)


class Kept(NamedTuple):
    """How many are kept: of days and of weeks."""

    days: int = 7
    weeks: int = 4


USUAL = Kept()


def made_at(file: Path) -> datetime | None:
    try:
        return datetime.strptime(file.name, NAME_FORMAT).replace(tzinfo=UTC)
    except ValueError:
        return None


def backups(folder: Path) -> list[tuple[datetime, Path]]:
    """Backups in the folder, the newest first; files with other names are not ours to touch. One from the future (a
    clock was wrong) does not count, so that it can neither stop the daily one nor take the place of a real one."""
    now = clock.now()
    found = [(moment, file) for file in folder.glob(f"book-*{ENDING}") if (moment := made_at(file)) is not None]
    return sorted(((moment, file) for moment, file in found if moment <= now), reverse=True)


def is_due(folder: Path) -> bool:
    """No backup of the last day."""
    newest = next(iter(backups(folder)), None)
    return newest is None or newest[0] <= clock.now() - DAY


def superfluous(folder: Path, kept: Kept = USUAL) -> list[Path]:
    """All but the newest of each of the last days and of the last weeks that have one; never the newest of all."""
    found = backups(folder)
    days: dict[object, Path] = {}
    weeks: dict[object, Path] = {}
    for moment, file in found:
        days.setdefault(moment.date(), file)
        weeks.setdefault(moment.isocalendar()[:2], file)
    stay = {*list(days.values())[: kept.days], *list(weeks.values())[: kept.weeks], *(file for _, file in found[:1])}
    return [file for _, file in found if file not in stay]


def cut_short(folder: Path) -> Iterator[Path]:
    """What a killed process left of a backup; younger ones may be somebody's who is still writing."""
    old = time.time() - DAY.total_seconds()
    return (file for file in folder.glob(f".book-*{ENDING}.*.part") if file.stat().st_mtime < old)


class Daily:
    """Makes the day's backup in a thread of its own. `make`: writes one to a path, or raises."""

    def __init__(self, folder: Path, make: Callable[[Path], object], kept: Kept = USUAL) -> None:
        self._folder = folder
        self._make = make
        self._kept = kept
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="daily backup", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def stop(self) -> None:
        self._stop.set()

    def _run(self) -> None:
        wait = FIRST_LOOK
        while not self._stop.wait(wait):
            self.look()
            wait = LOOK_EVERY

    def look(self) -> bool:
        """Makes a backup when one is due; a failure is told and tried again at the next look."""
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            # Two servers on one folder make one backup a day between them.
            with FileLock(self._folder / "daily.lock"):
                return self._make_due()
        except (Trouble, OSError) as trouble:
            log.error("The daily backup failed, and is tried again in %d minutes: %s", LOOK_EVERY // 60, trouble)
        except Exception:
            # Whatever it was, the next look may fare better; a thread that ended would never look again.
            log.exception("The daily backup failed, and is tried again in %d minutes", LOOK_EVERY // 60)
        return False

    def _make_due(self) -> bool:
        if not is_due(self._folder):
            return False
        self._make(new_name(self._folder))
        for file in [*superfluous(self._folder, self._kept), *cut_short(self._folder)]:
            file.unlink(missing_ok=True)
        return True
