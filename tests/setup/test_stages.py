"""Stamped stages: done once, repeated when something changed or when they were cut short."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from bootstrap import stages
from bootstrap.stages import Stage, alone, locked, set_up
from bootstrap.tools import Trouble


class Work:
    """A piece of set-up that counts how often it was done and can be cut short."""

    def __init__(self, root: Path) -> None:
        self.source = root / "source"
        self.source.mkdir()
        (self.source / "one.ts").write_text("1")
        self.result = root / "result"
        self.times = 0
        self.cut_short = False

    def do(self) -> None:
        self.times += 1
        self.result.write_text("built")
        if self.cut_short:
            raise KeyboardInterrupt

    def stage(self, *facts: str) -> Stage:
        return Stage("work", (self.source,), self.result.is_file, self.do, facts)


@pytest.fixture
def work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Work:
    monkeypatch.setattr(stages, "ROOT", tmp_path)
    monkeypatch.setattr(stages, "STAMPS", tmp_path / "stamps")
    return Work(tmp_path)


def test_a_second_set_up_does_nothing(work: Work) -> None:
    set_up([work.stage()])
    set_up([work.stage()])
    assert work.times == 1


def test_a_changed_new_or_renamed_source_repeats_the_stage(work: Work) -> None:
    set_up([work.stage()])
    (work.source / "one.ts").write_text("2")
    set_up([work.stage()])
    (work.source / "two.ts").write_text("")
    set_up([work.stage()])
    (work.source / "two.ts").rename(work.source / "three.ts")
    set_up([work.stage()])
    assert work.times == 4


def test_another_python_version_repeats_the_stage(work: Work) -> None:
    set_up([work.stage("3.11.7")])
    set_up([work.stage("3.12.1")])
    assert work.times == 2


def test_what_tools_leave_beside_the_sources_does_not_repeat_the_stage(work: Work) -> None:
    set_up([work.stage()])
    for made in ("node_modules", "__pycache__", "generated", ".cache"):
        (work.source / made).mkdir()
        (work.source / made / "x.js").write_text("")
    set_up([work.stage()])
    assert work.times == 1


def test_a_removed_result_repeats_the_stage(work: Work) -> None:
    set_up([work.stage()])
    work.result.unlink()
    set_up([work.stage()])
    assert work.times == 2


def test_an_interrupted_stage_repeats_itself_although_its_result_is_there(work: Work) -> None:
    work.cut_short = True
    with pytest.raises(KeyboardInterrupt):
        set_up([work.stage()])
    assert work.result.is_file()
    work.cut_short = False
    set_up([work.stage()])
    assert work.times == 2
    set_up([work.stage()])
    assert work.times == 2


def test_an_interrupted_repeat_is_not_taken_for_done_when_the_source_changes_back(work: Work) -> None:
    set_up([work.stage()])
    (work.source / "one.ts").write_text("2")
    work.cut_short = True
    with pytest.raises(KeyboardInterrupt):
        set_up([work.stage()])
    (work.source / "one.ts").write_text("1")
    work.cut_short = False
    set_up([work.stage()])
    assert work.times == 3


def test_a_stage_leaves_the_stages_before_it_alone(work: Work) -> None:
    packages = Stage("packages", (), lambda: True, lambda: done.append("packages"))
    done: list[str] = []
    set_up([packages, work.stage()])
    (work.source / "one.ts").write_text("2")
    set_up([packages, work.stage()])
    assert done == ["packages"]
    assert work.times == 2


def test_only_one_set_up_works_in_a_checkout_at_a_time(work: Work, tmp_path: Path) -> None:
    with (tmp_path / ".set-up.lock").open("a") as second:
        with alone():
            assert not locked(second.fileno())
        assert locked(second.fileno())


def test_a_folder_that_cannot_be_written_is_told_in_a_sentence(
    work: Work, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stages, "ROOT", tmp_path / "missing")
    with pytest.raises(Trouble, match=r"cannot be written to .* a folder of your own"):
        set_up([work.stage()])
    assert work.times == 0


def test_lanes_are_brought_up_side_by_side_after_what_they_stand_on(work: Work) -> None:
    """Each of the two waits for the other: one after the other they would never end."""
    done: list[str] = []
    both = threading.Barrier(2, timeout=20)

    def in_company(name: str) -> Callable[[], None]:
        def do() -> None:
            assert work.times == 1
            both.wait()
            done.append(name)

        return do

    set_up([work.stage()], *([Stage(name, (), lambda: True, in_company(name))] for name in ("pip", "npm")))
    assert sorted(done) == ["npm", "pip"]


def test_trouble_in_one_lane_is_told_and_the_other_comes_to_its_end(work: Work) -> None:
    def fail() -> None:
        raise Trouble("no network")

    with pytest.raises(Trouble, match="no network"):
        set_up([], [Stage("pip", (), lambda: True, fail)], [work.stage()])
    assert work.stage().done()
    assert not Stage("pip", (), lambda: True, fail).done()
