"""A working day that makes every write of both sides at least once; whoever dies in it starts again and goes on."""

import json
import random
from collections.abc import Callable

from tests.faults.machine import acts, disasters, shop
from tests.faults.machine.checks import check
from tests.faults.machine.healing import heal
from tests.faults.machine.network import Request
from tests.faults.machine.people import Phone
from tests.faults.machine.server import Reply
from tests.faults.machine.world import World
from tests.ledger.pictures import address, jpeg

MOST_TRIES = 5
#: What a server says of an act that went through before it died.
DONE_BEFORE = ("already_dealt",)
FIELD = f"{shop.BUILDS[0]}/journals/MJ1.F.0"
SHOWN = "what the screen showed"


class Day:
    """One phone, one desk, one server."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.luck = random.Random(1)
        for phone in (Phone("A", shop.BUILDER), Phone("D", shop.LEAD, mode="desk")):
            world.phones[phone.name] = phone
            world.tell({"do": "phone", "phone": phone.name, "seed": ord(phone.name)})

    def go(self) -> None:
        """The whole day, then everything that must hold at the end of one."""
        for part in PARTS:
            part(self)
        heal(self.world)
        check(self.world)

    def page(self, name: str) -> str:
        """The phone's page; opened again, with the server running, after a death."""
        self.world.start_server()
        phone = self.world.phones[name]
        for _ in range(MOST_TRIES):
            if phone.pages:
                return min(phone.pages)
            acts.open_page(self.world, phone)
            self.world.carry()
        raise AssertionError(f"{name} does not come up")

    def do(self, name: str, act: str, *words: object) -> None:
        """An act until somebody says that it is done: who dies in the middle of it does it again."""
        for _ in range(MOST_TRIES):
            tag = self.world.call(self.page(name), act, *words)
            self.world.carry()
            told = self.world.answers.pop(tag, None)
            if told and (told["ok"] or told["error"]["code"] in DONE_BEFORE):
                return
        self.world.fail(f"{act} on {name} never ends well")

    def record(self, name: str, kind: Callable[..., dict[str, object]], draft: str | None = None) -> None:
        """Until a screen says that an entry is saved."""
        for _ in range(MOST_TRIES):
            page = self.page(name)
            mark = acts.record_as(self.world, page, kind, self.luck, draft)
            self.world.carry()
            if any(promise.mark == mark for promise in self.world.promises.saved()):
                return
        self.world.fail(f"nothing can be recorded on {name}")

    def talk(self, name: str) -> None:
        """Until a talk has gone through: a server that died in one is started for the next."""
        for _ in range(MOST_TRIES):
            self.do(name, "talk")
            if self.world.ask(self.page(name), "strip")["online"]:
                return
        self.world.fail(f"{name} does not get through")

    def raw(self, method: str, url: str, headers: dict[str, str] | None = None, body: bytes = b"") -> Reply | None:
        """A request past the client; None where the server dies over it."""
        self.world.start_server()
        asked = Request(0, "A", method, url, {"x-standbook": "1", **(headers or {})}, body)
        return self.world.ask_server(asked, heard=False)


def half_typed(day: Day) -> None:
    day.do("A", "saveDraft", FIELD, "2.4")
    day.do("A", "dropDraft", FIELD)
    day.do("A", "saveDraft", FIELD, "2.44")


def at_the_stand(day: Day) -> None:
    day.record("A", shop.a_reading, FIELD)
    day.record("A", shop.signed_with_its_text)
    day.record("A", shop.by_a_stranger)
    day.do("A", "keepSummary", shop.BUILDS[0])
    day.talk("A")


def at_the_desk(day: Day) -> None:
    day.do("D", "signIn", shop.LEAD, shop.PASSWORD)
    day.record("D", shop.an_opened_build)
    day.talk("D")
    for promise in day.world.promises.saved():
        for sha256, _ in promise.blobs:
            day.do("D", "fetchText", sha256)


def what_was_held_back(day: Day) -> None:
    """Once at the desk, and once at the phone that it came from."""
    day.record("A", shop.by_a_stranger)
    day.talk("A")
    rows = day.world.server.rows("SELECT id, device, device_no FROM held_back ORDER BY device_no")
    day.do("D", "dealWith", rows[0][0], "written down by hand")
    url = f"/api/v1/devices/{rows[1][1]}/held/{rows[1][2]}/dealt"
    words = json.dumps({"person": shop.BUILDER, "reason": "written down by hand"}).encode()
    while day.raw("POST", url, {"content-type": "application/json"}, words) is None:
        pass


def a_photo(day: Day) -> None:
    """In two pieces; who hears nothing asks how far it has come and goes on from there."""
    data = jpeg()
    url, half = f"/api/v1/photos/{address(data)}", len(data) // 2
    for _ in range(MOST_TRIES):
        told = day.raw("HEAD", url)
        if told is None:
            continue
        if told.headers.get("upload-complete") == "?1":
            return
        offset = int(told.headers.get("upload-offset", 0))
        last = offset >= half
        piece = data[offset:] if last else data[offset:half]
        headers = {"upload-offset": str(offset), "upload-complete": "?1" if last else "?0"}
        day.raw("PATCH", url, {**headers, "content-type": "application/partial-upload"}, piece)
    day.world.fail("a photo never gets through")


def yesterdays_book(day: Day) -> None:
    day.page("A")
    disasters.backup(day.world, day.world.phones["A"], day.luck)
    day.record("A", shop.signed_with_its_text)
    day.talk("A")
    day.page("A")
    disasters.restore(day.world, day.world.phones["A"], day.luck)
    day.talk("A")
    day.talk("D")


def closing_time(day: Day) -> None:
    day.do("D", "signOut")


PARTS: list[Callable[[Day], None]] = [
    half_typed,
    at_the_stand,
    at_the_desk,
    what_was_held_back,
    a_photo,
    yesterdays_book,
    closing_time,
]
