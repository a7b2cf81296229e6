"""The stand and the desk say the same: any book, asked on the phone's interpreter and on the server's.

Every answer must be the same text, figures included: a screen shows rounded text, and rounding has one home.
Only a figure that is sent as such (a bar's place for the eye) may differ by the last bits.
"""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from standbook.trade import calls
from tests.micropython import Brain
from tests.trade import books
from tests.trade.book_maker import BUILD
from tests.trade.checker_goes import ROLLERS, SHAFT, STAMPED, STEP, VALVES, Checker, ends, finished, one_go

ALIKE = 1e-12


@pytest.fixture(scope="module")
def phone() -> Iterator[Brain]:
    with Brain() as brain:
        yield brain


def questions(book: list[tuple[dict[str, Any], int | None]]) -> list[tuple[str, dict[str, Any]]]:
    """What screens ask of a book: open it, look at everything, preview at a few places, close it."""
    begun = [(data, seq) for seq, data in enumerate(books.opening(), 1)]
    entries = [{"text": json.dumps(data), "seq": seq} for data, seq in begun + book]
    steps = sorted({step for step, _ in books.PLACES})
    asked: list[tuple[str, dict[str, Any]]] = [("open", {"entries": entries}), ("state", {})]
    asked += [("step", {"step": step}) for step in steps]
    asked += [("guide", {"step": step}) for step in steps]
    for step, place in books.FEW_PLACES:
        typed = {"text": "2.3005", "unit": "in"} if place.units else {"text": "yes", "unit": None}
        more = {"typed": typed, "why": "first", "instrument": books.GAUGE}
        asked.append(("preview", {"step": step, "place": place.id, **more}))
    return [*asked, ("close", {})]


def assert_alike(here: Any, there: Any, path: str = "") -> None:
    """The same keys, texts and flags; figures to the last bits."""
    if isinstance(here, float) and isinstance(there, int | float):
        assert there == pytest.approx(here, rel=ALIKE, abs=ALIKE), path
    elif isinstance(here, dict) and isinstance(there, dict):
        assert sorted(here) == sorted(there), path
        for key in here:
            assert_alike(here[key], there[key], f"{path}.{key}")
    elif isinstance(here, list) and isinstance(there, list):
        assert len(here) == len(there), path
        for at, pair in enumerate(zip(here, there, strict=True)):
            assert_alike(*pair, f"{path}[{at}]")
    else:
        assert there == here, path


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books.books())
def test_any_book_reads_alike_at_the_stand_and_at_the_desk(
    phone: Brain, book: list[tuple[dict[str, Any], int | None]]
) -> None:
    for name, more in questions(book):
        text = json.dumps({"build": books.BUILD, **more})
        assert_alike(json.loads(calls.call(name, text)), json.loads(phone.call(name, text)), name)


BROKEN_CALLS = (
    ("state", {"build": "nobody"}),
    ("step", {"build": books.BUILD, "step": "nothing"}),
    ("nothing", {}),
    ("reckon", {"name": "nothing", "inputs": {}}),
    ("reckon", {"name": "bearing-clearance", "inputs": {}}),
    ("reckon", {"name": "bearing-clearance", "inputs": {"journal_diameter": "2.1 psi"}}),
    ("reckon", {"name": "cold-lash", "inputs": {"hot_lash": "0.02.2 in", "correction": "0 in"}}),
    ("reckon", {"name": "cold-lash", "inputs": {"hot_lash": "1_000 in", "correction": "0 in"}}),
    ("reckon", {"name": "setting-order", "inputs": {"firing_order": [1, 1, 2]}}),
    ("reckon", {"name": "displacement", "inputs": {"bore_diameter": "4 in", "stroke": "4 in", "cylinders": "7.5"}}),
    ("reckon", {"name": "rod-angle", "inputs": {"stroke": "3.75 in", "rod_length": "1.5 in"}}),
    ("reckon", {"name": "preload-turns", "inputs": {"depths": "0.02 in", "thread_pitch": 1.27, "rocker_ratio": 1.6}}),
    ("reckon", {"name": "preload-turns", "inputs": {"depths": [-1, "x"], "thread_pitch": 0, "rocker_ratio": 1.6}}),
    ("check_entry", {"text": "{"}),
    ("check_entry", {"text": "{}"}),
    ("check_engine", {"fields": {"bore": {"text": "40", "unit": "in"}}}),
    ("check_engine", {"fields": {"bore": {"text": "4.125", "unit": "psi"}}}),
    ("check_engine", {"fields": {"firing_order": [1, 2, 2]}}),
)


@pytest.mark.parametrize(
    "name_and_question", BROKEN_CALLS, ids=[f"{name} {json.dumps(more)[:60]}" for name, more in BROKEN_CALLS]
)
def test_bad_input_is_answered_alike_and_never_by_an_exception(
    phone: Brain, name_and_question: tuple[str, Any]
) -> None:
    name, question = name_and_question
    here, there = (json.loads(call(name, json.dumps(question))) for call in (calls.call, phone.call))
    assert there == here
    assert "error" in here or here["problems"]
    assert here.get("error", {}).get("code") != "call_failed"


@pytest.mark.parametrize("engine", [ROLLERS, STAMPED, SHAFT], ids=["stud", "stamped", "shaft"])
def test_goes_of_the_checking_pushrod_read_alike(phone: Brain, engine: dict[str, Any]) -> None:
    maker = Checker(engine).ready(base="6.800").size("1I.lift", "0.577")
    for go, closed, opened in ((1, -0.012, 0.014), (2, -0.003, 0.007)):
        maker.turned(f"1I.{go}", "14", str(go)).size(f"1I.{go}.shim", "0.010")
        one_go(maker, f"1I.{go}", f"7.{4 + go}126", closed, opened)
    ends(finished(maker, dict.fromkeys(VALVES[1:], "7.512")), "overall")
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]
    for name, more in (
        ("open", {"entries": entries}),
        ("step", {"step": STEP}),
        ("guide", {"step": STEP}),
        ("close", {}),
    ):
        text = json.dumps({"build": BUILD, **more})
        assert_alike(json.loads(calls.call(name, text)), json.loads(phone.call(name, text)), name)
