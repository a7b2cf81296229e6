"""The shop of the stories: its people, its engines, and what its people write."""

import base64
import hashlib
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import update

from standbook.people.models import Person
from tests.cheap import CHEAP
from tests.ledger.kit import APPRENTICE, BODIES, BUILDER, LEAD, PASSWORD, Book, people_in, reading
from tests.ledger.pictures import jpeg

BUILDS = ["01936b00-0000-7000-8000-0000000000b1", "01936b00-0000-7000-8000-0000000000b2"]
#: Whom a lead takes on during the day, and the PIN that this person gets.
NEW_ONE, NEW_NAME, PIN = "ned-b", "Ned B.", "402718"
PLACES = [f"MJ{journal}.{end}.{angle}" for journal in range(1, 6) for end in "FR" for angle in (0, 90)]
#: A small picture; the phones write a mark into each copy, so that no two are alike.
PICTURE = base64.b64encode(jpeg()).decode()


def shop_folder(folder: Path) -> Path:
    """A shop with its people and no entry."""
    book = Book(folder)
    people_in(book)
    with book.services.writer.writing() as connection:
        connection.execute(update(Person).where(Person.id == LEAD).values(password_hash=CHEAP.hash(PASSWORD)))
    book.close()
    return folder


def entry(mark: str, person: str, luck: random.Random, kind: str = "reading", **fields: Any) -> dict[str, Any]:
    """What a screen gives the store to record; the mark tells it apart from every other entry of the story."""
    usual = {"step": None, "place": None, "why": None} if kind in WHOLE_BUILD else AT_A_PLACE
    return {
        "build": luck.choice(BUILDS),
        "kind": kind,
        **usual,
        "body": BODIES.get(kind) or {"v": 1},
        "person": person,
        "trade_version": mark,
        **fields,
    }


#: A code for a phone, as the desk makes one.
CODE = (
    "INSERT INTO one_time_codes (code_sha256, shop, purpose, made_at, made_by, expires_at) "
    "SELECT ?, id, 'phone', ?, ?, ? FROM shops"
)
CUT_OFF = "UPDATE joined_devices SET cut_off_at = ?, cut_off_by = ?, cut_off_reason = 'lost' WHERE device = ?"
LET_GO = "DELETE FROM device_sessions WHERE device = ?"

WHOLE_BUILD = ("build_opened", "limits_frozen", "engine_value", "photo")
AT_A_PLACE = {"step": "journals", "place": "MJ1.F.0", "why": "first"}


Kind = Callable[[str, str, random.Random], dict[str, Any]]


def a_reading(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    value = f"2.{luck.randrange(4470, 4490)}"
    return entry(mark, person, luck, body=reading(value, note=""), place=luck.choice(PLACES))


def signed_with_its_text(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """A signature travels with the text that it showed, as a blob (LG13)."""
    text = canonical({"shown": mark, "verdict": "in", "dash": "\u2013"})
    sha256 = hashlib.sha256(text.encode()).hexdigest()
    body = {"v": 1, "shown": sha256, "uses": [], "note": ""}
    made = entry(mark, BUILDER, luck, "step_signed", place=None, why=None, body=body)
    return {**made, "blobs": [{"sha256": sha256, "text": text}]}


def signed_by_the_new_one(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """By somebody with a PIN, who does not give it."""
    return entry(mark, NEW_ONE, luck, "step_signed", place=None, why=None)


def proven_by_the_new_one(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    return {**signed_by_the_new_one(mark, person, luck), "pin": PIN}


def by_a_stranger(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Held back: nobody of the shop has this name."""
    return {**a_reading(mark, person, luck), "person": "nobody-here"}


def signed_by_an_apprentice(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Held back: an apprentice signs nothing."""
    return entry(mark, APPRENTICE, luck, "step_signed", place=None, why=None)


def a_decision(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Waits until the lead is signed in; from anybody else it is held back."""
    return entry(mark, LEAD if luck.random() < 0.8 else person, luck, "decision", place=None, why=None)


def an_opened_build(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    return entry(mark, LEAD, luck, "build_opened")


def of_an_unknown_kind(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Held back today, kept byte for byte: a kind that only a newer server knows (LG12)."""
    return entry(mark, person, luck, "oil_sampled", body={"v": 3, "iron": [1, 2.0, 1e16]})


def too_long(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """The phone itself refuses it."""
    return entry(mark, person, luck, body=reading(note="x" * 40_000))


def unstorable(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Half a character: the phone itself refuses it."""
    return entry(mark, person, luck, body=reading(note="a\0b"))


WRITTEN = [
    (a_reading, 80),
    (signed_with_its_text, 6),
    (by_a_stranger, 2),
    (signed_by_an_apprentice, 2),
    (a_decision, 4),
    (an_opened_build, 2),
    (of_an_unknown_kind, 2),
    (too_long, 1),
    (unstorable, 1),
]


def something(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    kinds, parts = zip(*WRITTEN, strict=True)
    return dict(luck.choices(kinds, parts)[0](mark, person, luck))


def canonical(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


__all__ = ["APPRENTICE", "BUILDER", "BUILDS", "LEAD", "PASSWORD", "a_reading", "canonical", "shop_folder", "something"]
