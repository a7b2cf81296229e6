"""Pictures of the engine, of a step and of a place: they prove, and no verdict hangs on them."""

import json
from typing import Any

import pytest

from standbook.trade import entries
from standbook.trade.plain import Refusal

from .book_maker import BookMaker

PICTURE = {"sha256": "ab" * 32, "size": 180_000, "type": "image/jpeg", "width": 1536, "height": 2048}
STEP, PLACE = "main_bearing_clearance", "MB1.V"


def take(maker: BookMaker, step: str | None = STEP, place: str | None = PLACE, caption: str = "") -> str:
    return maker.entry("photo", {"photo": PICTURE, "caption": caption}, step, place)


def test_a_picture_stands_with_its_step_place_and_maker() -> None:
    maker = BookMaker()
    entry = take(maker, caption="scored shell")
    assert maker.build.step(STEP)["photos"] == [
        {
            "entry": entry,
            "sha256": PICTURE["sha256"],
            "width": 1536,
            "height": 2048,
            "caption": "scored shell",
            "step": STEP,
            "place": PLACE,
            "person": "Mara K.",
            "made_at": "2026-11-25T08:00:00.000Z",
            "struck": None,
        }
    ]


def test_a_picture_of_the_engine_stands_with_the_build_and_each_step_counts_its_own() -> None:
    maker = BookMaker()
    whole = take(maker, None, None)
    take(maker)
    state = maker.build.state()
    assert [photo["entry"] for photo in state["photos"]] == [whole]
    counts = {step["id"]: step["photos"] for stage in state["stages"] for step in stage["steps"]}
    assert counts[STEP] == 1
    assert counts["journals"] == 0


def test_a_picture_struck_out_stays_as_ink_with_who_and_why() -> None:
    maker = BookMaker()
    maker.strike(take(maker), "the wrong engine")
    assert maker.build.step(STEP)["photos"][0]["struck"] == "struck out by Jon T.: the wrong engine"


def test_a_picture_changes_neither_verdict_nor_signature() -> None:
    maker = BookMaker()
    maker.journals()
    before = maker.build.step("journals")
    take(maker, "journals", "MJ1.F.0")
    after = maker.build.step("journals")
    assert after["sign"] == before["sign"]
    assert after["groups"] == before["groups"]


def photo_entry(**change: Any) -> dict[str, Any]:
    maker = BookMaker()
    take(maker)
    entry: dict[str, Any] = json.loads(maker.texts[-1])
    body = entry["body"]
    return entry | {"body": body | {"photo": body["photo"] | change}}


@pytest.mark.parametrize(
    "change",
    [{"sha256": "AB" * 32}, {"sha256": "ab"}, {"size": 0}, {"width": "1536"}, {"type": "image/svg+xml"}],
    ids=["capitals", "cut short", "empty", "a text for a width", "a drawing that can run scripts"],
)
def test_a_picture_that_is_named_wrongly_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(Refusal):
        entries.check(photo_entry(**change))


def test_a_picture_as_the_phone_makes_it_is_taken() -> None:
    entries.check(photo_entry())
