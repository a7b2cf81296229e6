"""A backup and a restore killed at every change of a file that they make: one book or the other is there, whole."""

import itertools
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.crash_points_tour import Day, photos
from tests.faults.machine import healing, shop
from tests.faults.machine.checks import check
from tests.faults.machine.machine import Ground
from tests.faults.machine.server import Server
from tests.faults.machine.world import World

#: More changes than any of the two makes: a loop that comes so far never ends.
MOST = 200


@pytest.fixture
def day() -> Iterator[Day]:
    ground = Ground()
    world = World(ground.phones, ground.template, ground.folder / "day", seed=1)
    yield Day(world)
    world.end()
    ground.close()


def written(day: Day) -> None:
    day.record("A", shop.a_reading)
    day.record("A", shop.signed_with_its_text)
    day.record("A", shop.by_a_stranger)
    photos(day)


def epoch(day: Day) -> str:
    ((found,),) = day.world.server.rows("SELECT epoch FROM shops")
    return str(found)


def is_whole(day: Day) -> bool:
    day.world.start_server()
    findings = day.world.server.services.ledger.check().findings
    day.world.server.stop()
    return not findings


def test_a_restore_killed_at_any_of_its_changes_leaves_the_old_book_or_the_new_one_whole(day: Day) -> None:
    written(day)
    backup = day.world.folder / "yesterday.standbook.tar"
    day.world.server.backup(backup)
    written(day)
    day.world.server.stop()
    before, deaths = epoch(day), 0
    for after in range(MOST):
        day.world.now += 1_000
        lived = day.world.server.dying(lambda caretaker: caretaker.restore(backup), after)
        assert is_whole(day)
        if lived:
            break
        deaths += 1
    assert deaths > 5
    assert epoch(day) != before
    day.world.start_server()
    healing.heal(day.world)
    check(day.world)


def test_a_backup_killed_at_any_of_its_changes_has_no_backups_name_or_is_whole(day: Day) -> None:
    written(day)
    folder = day.world.folder / "backups"
    deaths = 0
    for after in itertools.count():
        target = folder / f"{after}.standbook.tar"
        lived = day.world.server.dying(lambda caretaker, to=target: caretaker.backup(to), after)  # type: ignore[misc]
        assert not target.exists() or can_be_restored(day, target)
        if lived:
            break
        deaths += 1
    assert deaths > 5
    assert [file.name for file in folder.glob("[!.]*")] == [target.name]
    healing.heal(day.world)
    check(day.world)


def can_be_restored(day: Day, file: Path) -> bool:
    """A backup that has its name brings a whole book to a machine without anything."""
    other = Server(day.world.folder / "other")
    other.folder.mkdir()
    other.restore(file, anew=True)
    other.start()
    findings = other.services.ledger.check().findings
    entries = other.rows("SELECT count(*) FROM entries")
    other.stop()
    shutil.rmtree(other.folder)
    return not findings and entries == day.world.server.rows("SELECT count(*) FROM entries")
