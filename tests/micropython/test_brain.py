"""The harness itself, on a package of a few lines: a harness that hides a failure would hide it everywhere."""

import json
import shutil
from pathlib import Path

import pytest

from standbook import brainpack
from tests.micropython import Brain, BrainLost

CALLS = """
import json
from .deep.inside import depth

seen = []

def call(name, text):
    if name == "echo":
        return text
    if name == "count":
        seen.append(name)
        return json.dumps({"count": len(seen)})
    if name == "depth":
        return json.dumps({"depth": depth(json.loads(text)["n"])})
    raise ValueError("no call " + name)
"""

INSIDE = """
def depth(n):
    return 0 if n == 0 else 1 + depth(n - 1)
"""


@pytest.fixture
def package(tmp_path: Path) -> Path:
    folder = tmp_path / "trade"
    (folder / "deep").mkdir(parents=True)
    (folder / "__init__.py").write_text("")
    (folder / "calls.py").write_text(CALLS)
    (folder / "deep" / "__init__.py").write_text("")
    (folder / "deep" / "inside.py").write_text(INSIDE)
    return folder


def test_text_crosses_to_the_interpreter_and_back_unchanged(package: Path) -> None:
    text = json.dumps({"words": "0,0025 in · Ø 65 µm 😀 \\ \n \x01"}, ensure_ascii=False)
    with Brain(package) as brain:
        assert brain.call("echo", text) == text


def test_the_package_keeps_what_it_holds_between_calls(package: Path) -> None:
    with Brain(package) as brain:
        assert [brain.ask("count", {})["count"] for _ in range(3)] == [1, 2, 3]


def test_an_exception_inside_is_raised_here_and_the_interpreter_lives_on(package: Path) -> None:
    with Brain(package) as brain:
        with pytest.raises(BrainLost, match="ValueError: no call nonsense"):
            brain.call("nonsense", "{}")
        with pytest.raises(BrainLost, match="maximum recursion depth exceeded"):
            brain.ask("depth", {"n": 5000})
        assert brain.call("echo", "{}") == "{}"


def test_a_changed_source_is_packed_anew(package: Path) -> None:
    with Brain(package) as brain:
        assert brain.call("echo", "{}") == "{}"
        (package / "calls.py").write_text("def call(name, text):\n    return '[]'\n")
        brain.close()
        assert brain.call("echo", "{}") == "[]"


def test_a_package_that_cannot_start_says_why(package: Path) -> None:
    (package / "calls.py").write_text("import nowhere\n")
    with pytest.raises(BrainLost, match="no module named 'nowhere'"):
        Brain(package).start()


def test_source_that_the_interpreter_does_not_take_is_named(package: Path) -> None:
    (package / "calls.py").write_text("match 1:\n    case 1: pass\n")
    with pytest.raises(brainpack.PackFailure, match=r"trade/calls\.py"):
        Brain(package).start()


def test_closing_ends_the_process_at_once(package: Path) -> None:
    brain = Brain(package).start()
    process = brain.process
    assert process is not None
    brain.close()
    assert process.returncode == 0


def test_a_killed_process_is_told_and_the_next_call_starts_another(package: Path) -> None:
    brain = Brain(package).start()
    assert brain.process is not None
    brain.process.kill()
    brain.process.wait()
    with pytest.raises(BrainLost, match="Node ended with"):
        brain.call("echo", "{}")
    brain.close()
    with brain:
        assert brain.call("echo", "{}") == "{}"


def test_the_same_sources_give_the_same_pack_wherever_they_lie(package: Path, tmp_path: Path) -> None:
    elsewhere = Path(shutil.copytree(package, tmp_path / "elsewhere" / "trade"))
    pack = brainpack.pack(package)
    assert brainpack.pack(elsewhere) == pack
    assert str(tmp_path).encode() not in pack


def test_the_stand_answers_from_the_catalogue_that_the_server_has() -> None:
    with Brain() as brain:
        assert json.loads(brain.call("catalogue", "{}")) == json.loads(brainpack.catalogue())
