"""A backup a day by itself, and no more of them than are of use."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from standbook import clock
from standbook.caretaker import Caretaker
from standbook.keeping.daily import Daily, backups, is_due, superfluous
from standbook.keeping.trouble import Trouble

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def set_clock(monkeypatch: pytest.MonkeyPatch, moment: datetime) -> None:
    monkeypatch.setattr(clock, "now", lambda: moment)


def test_the_first_look_makes_one_and_the_next_day_another(
    caretaker: Caretaker, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    daily = Daily(tmp_path / "b", caretaker.backup)
    made = []
    for hours in (0, 1, 23, 25, 26):
        set_clock(monkeypatch, NOON + timedelta(hours=hours))
        made.append(daily.look())
    assert made == [True, False, False, True, False]
    assert len(backups(tmp_path / "b")) == 2


def test_seven_days_and_four_weeks_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    daily = Daily(tmp_path, lambda path: path.write_text("a backup"))
    for day in range(60):
        set_clock(monkeypatch, NOON + timedelta(days=day, minutes=day))
        daily.look()
    ages = [(NOON + timedelta(days=59)).date() - moment.date() for moment, _ in backups(tmp_path)]
    days = [age.days for age in ages]
    assert days[:7] == list(range(7))
    assert len(days) in (9, 10)
    assert max(days) < 28


def test_files_of_somebody_else_are_not_touched(tmp_path: Path) -> None:
    (tmp_path / "before-restore-2026-11-25T08-30-00-000.standbook.tar").write_text("kept")
    (tmp_path / "book-of-the-lead.standbook.tar").write_text("kept")
    assert superfluous(tmp_path) == []


def test_a_failed_one_is_told_and_tried_again(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    tries = []

    def fail(path: Path) -> None:
        tries.append(path)
        raise Trouble("The disk is full.")

    daily = Daily(tmp_path, fail)
    assert [daily.look(), daily.look()] == [False, False]
    assert len(tries) == 2
    assert "The disk is full." in caplog.text


def test_a_backup_from_a_clock_that_ran_ahead_does_not_stop_the_daily_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_clock(monkeypatch, NOON)
    (tmp_path / "book-2031-01-01T00-00-00-000.standbook.tar").write_text("from the future")
    assert is_due(tmp_path)
