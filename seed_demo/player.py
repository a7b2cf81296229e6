"""Plays a demo engine into the book the way a shop does: the lead's desk opens it, a phone at the stand records."""

import hashlib
import json
from datetime import datetime, timedelta
from typing import Any

import msgspec

from seed_demo import shop
from seed_demo.script import Build, Reading, Stretch
from standbook import clock
from standbook.ids import uuid7
from standbook.ledger.brain import TABLE_SHA256, TABLE_TEXT, VERSION, new_build
from standbook.ledger.pull import Cursor
from standbook.ledger.service import Ledger
from standbook.ledger.wire import Push

BETWEEN = timedelta(seconds=37)


class Device:
    """A device of the demo: numbers its entries from 1 (LG5) and pushes them as its app would."""

    def __init__(self, ledger: Ledger, name: str, person: str, at: datetime) -> None:
        self.ledger = ledger
        self.name = name
        self.person = person
        self.id = uuid7()
        self.at = at
        self.texts: list[str] = []
        self.sent = 0

    def write(self, kind: str, build: str, body: dict[str, Any], **more: Any) -> str:
        """Writes one entry; gives its id."""
        self.at += BETWEEN
        entry = {
            "id": uuid7(),
            "build": build,
            "kind": kind,
            "step": None,
            "place": None,
            "why": None,
            "body": {"v": 1, **body},
            "person": self.person,
            "device": self.id,
            "device_no": len(self.texts) + 1,
            "made_at": clock.stamp(self.at),
            "seen": self.ledger.standing(Cursor("", 0, 1, None)).counter.last_seq,
            "trade_version": VERSION,
            **more,
        }
        self.texts.append(json.dumps(entry, ensure_ascii=False))
        return str(entry["id"])

    def send(self, signed_in: str | None) -> None:
        """Everything not sent yet. The demo must go in whole: anything else than stored is a fault of the demo."""
        entries = [msgspec.Raw(msgspec.json.encode(text)) for text in self.texts[self.sent :]]
        push = Push(self.id, self.sent + 1, entries, clock.now_stamp(), self.name, "demo")
        for answer in self.ledger.push(push, signed_in).answers:
            if answer.result != "stored":
                raise RuntimeError(f"the demo's entry {answer.device_no} of {self.name}: {answer.message}")
        self.sent = len(self.texts)


class Player:
    def __init__(self, ledger: Ledger, people: dict[str, str]) -> None:
        self.ledger = ledger
        self.people = people
        self.gauges = {gauge["id"]: gauge for gauge in shop.instruments()}
        self.keys: dict[str, str] = {}
        self.desk = Device(ledger, "Desk", people[shop.LEAD[0]], clock.now())

    def play(self, build: Build) -> None:
        start = clock.now() - timedelta(hours=build.age_hours)
        id = self.open(build, start)
        phone = Device(self.ledger, build.phone, "", start + timedelta(hours=2))
        for stretch in build.work:
            self.work(phone, id, stretch)

    def open(self, build: Build, at: datetime) -> str:
        """At the desk: the build, the limits frozen with the card in force, the engine's specification."""
        desk, id = self.desk, uuid7()
        desk.at = at
        desk.write("build_opened", id, {"job": build.job, "title": build.title, "note": build.note})
        self.ledger.keep_blob(TABLE_SHA256, TABLE_TEXT.encode())
        desk.write("limits_frozen", id, {"defaults": TABLE_SHA256, "cards": [build.card]})
        for field, value in build.engine.items():
            desk.write("engine_value", id, {"field": field, "value": value, "basis": "nominal"})
        desk.send(desk.person)
        return id

    def work(self, phone: Device, build: str, stretch: Stretch) -> None:
        """At the stand: one spell of work on one step, sent when the phone sees the office again."""
        phone.person = self.people[stretch.person]
        for reading in stretch.readings:
            entry = phone.write(
                "reading", build, self.body(reading), step=stretch.step, place=reading.place, why=reading.why
            )
            if reading.key:
                self.keys[reading.key] = entry
        phone.send(None)
        if stretch.signed is not None:
            self.sign(phone, build, stretch.step, stretch.signed)

    def body(self, reading: Reading) -> dict[str, Any]:
        return {
            "value": reading.value,
            "not_measured": None,
            "instrument": self.gauges.get(reading.instrument or ""),
            "note": reading.note,
            "corrects": self.keys.get(reading.corrects),
            "confirmed": list(reading.confirmed),
            "cautions": [],
            **({} if reading.pulls is None else {"pulls": reading.pulls}),
        }

    def sign(self, phone: Device, build: str, step: str, note: str) -> None:
        """Signs what the phone shows: its text as a blob, its hash and the readings it rests on in the entry."""
        brain = new_build(build, {})
        for entry in self.ledger.pull(Cursor("", 0, 1000, None)).entries:
            brain.add(entry.text, entry.seq)
        sign = brain.step(step)["sign"]
        shown = sign["shown"].encode()
        sha256 = hashlib.sha256(shown).hexdigest()
        self.ledger.keep_blob(sha256, shown)
        phone.write("step_signed", build, {"shown": sha256, "uses": sign["uses"], "note": note}, step=step)
        phone.send(None)
