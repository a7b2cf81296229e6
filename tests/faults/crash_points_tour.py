"""A working day that makes every write of both sides at least once; whoever dies in it starts again and goes on."""

import json
import random
from collections.abc import Callable
from typing import Any

from tests.faults.machine import acts, disasters, shop
from tests.faults.machine.checks import check
from tests.faults.machine.healing import heal
from tests.faults.machine.people import Phone
from tests.faults.machine.server import Killed
from tests.faults.machine.world import World

MOST_TRIES = 5
#: What a server says of an act that went through before it died.
DONE_BEFORE = ("already_dealt", "no_such_person")
FEELERS = {
    "kind": "feeler_gauges",
    "name": "Feelers",
    "step": {"text": "0.001", "unit": "in"},
    "trust": {"text": "0.0005", "unit": "in"},
}
FIELD = f"{shop.BUILDS[0]}/journals/MJ1.F.0"
SHOWN = "what the screen showed"
FIRST_PASSWORD, OWN_PASSWORD = "given by the lead", "chosen by oneself"
#: How many entries the book has of who is new, and how many of them are proven.
PROVEN = (
    "SELECT count(*), count(pin_proofs.entry) FROM entries LEFT JOIN pin_proofs ON pin_proofs.entry = entries.id "
    f"WHERE entries.person = '{shop.NEW_ONE}'"
)


class Day:
    """One phone, one desk, one server."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.cookie = ""
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

    def do(self, name: str, act: str, *words: object) -> Any:
        """An act until somebody says that it is done: who dies in the middle of it does it again."""
        for _ in range(MOST_TRIES):
            tag = self.world.call(self.page(name), act, *words)
            self.world.carry()
            told = self.world.answers.pop(tag, None)
            if told and (told["ok"] or told["error"]["code"] in DONE_BEFORE):
                return told.get("value")
        return self.world.fail(f"{act} on {name} never ends well")

    def record(self, name: str, kind: Callable[..., dict[str, object]], draft: str | None = None) -> None:
        """Until a screen says that an entry is saved."""
        for _ in range(MOST_TRIES):
            page = self.page(name)
            mark = acts.record_as(self.world, page, kind, self.luck, draft)
            self.world.carry()
            if any(promise.mark == mark for promise in self.world.promises.saved()):
                return
        self.world.fail(f"nothing can be recorded on {name}")

    def photo(self, name: str, room: int) -> None:
        """Until a screen says that a picture is in the book."""
        for _ in range(MOST_TRIES):
            mark = acts.photo_on(self.world, self.page(name), room)
            self.world.carry()
            if any(promise.mark == mark for promise in self.world.promises.saved()):
                return
        self.world.fail(f"no photo can be taken on {name}")

    def talk(self, name: str) -> None:
        """Until a talk has gone through: a server that died in one is started for the next."""
        for _ in range(MOST_TRIES):
            self.do(name, "talk")
            if self.world.ask(self.page(name), "strip")["online"]:
                return
        self.world.fail(f"{name} does not get through")

    def ask(
        self, method: str, path: str, body: object = None, refused: str | None = None, match: str | None = None
    ) -> Any:
        """Somebody at another browser: asked again until somebody answers who lives. Gives the answer's JSON.

        `refused`: with this code the shop may refuse it; then there is None.
        """
        sent = {"X-Standbook": "1", "Content-Type": "application/json", "Cookie": self.cookie}
        if match is not None:
            sent["If-Match"] = match
        for _ in range(MOST_TRIES):
            self.world.start_server()
            try:
                reply = self.world.server.ask(method, f"/api/v1{path}", sent, json.dumps(body).encode())
            except Killed:
                continue
            self.cookie = reply.headers.get("set-cookie", self.cookie).split(";")[0]
            told = json.loads(reply.body) if reply.body else None
            if reply.status < 400:
                return told
            if told["error"]["code"] == refused:
                return None
            self.world.fail(f"{method} {path} is refused: {told}")
        return self.world.fail(f"{path} is never answered")

    def until(self, done: Callable[[], bool], act: Callable[[], object]) -> None:
        for _ in range(MOST_TRIES):
            if done():
                return
            act()
        self.world.fail("it is never done")

    def join(self, name: str) -> None:
        """Until the shop knows the phone: a code whose answer was lost is used up."""
        for _ in range(MOST_TRIES):
            self.do("D", "signIn", shop.LEAD, shop.PASSWORD)
            code = self.do("D", "makeCode")
            tag = self.world.call(self.page(name), "join", code)
            self.world.carry()
            told = self.world.answers.pop(tag, None)
            if told and told["ok"]:
                return
        self.world.fail(f"{name} cannot join")


def who_is_let_in(day: Day) -> None:
    """The lead signs in at the desk, which is trusted by that; the phone joins by a code."""
    if day.world.network:
        day.do("D", "signIn", shop.LEAD, shop.PASSWORD)
        day.talk("D")
        day.join("A")


def a_lost_phone(day: Day) -> None:
    """It is found again: first only its cookies were gone, then it was cut off, with an entry that nobody had."""
    if not day.world.network:
        return
    day.world.phones["A"].cookies.clear()
    day.talk("A")
    day.record("A", shop.a_reading)
    day.do("D", "cutOff", day.world.ask(day.page("A"), "identity")["device"])
    day.do("A", "talk")
    assert day.world.ask(day.page("A"), "strip")["trust"] == "cut off"
    day.join("A")
    day.talk("A")


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


def the_first_build_opened(mark: str, person: str, luck: random.Random) -> dict[str, Any]:
    """Whatever died before: this is the build that the day goes on with."""
    return {**shop.an_opened_build(mark, person, luck), "build": shop.BUILDS[0]}


def at_the_desk(day: Day) -> None:
    day.do("D", "signIn", shop.LEAD, shop.PASSWORD)
    day.record("D", the_first_build_opened)
    day.talk("D")
    for promise in day.world.promises.saved():
        for sha256, _ in promise.blobs:
            day.do("D", "fetchText", sha256)


def signs_in(day: Day, person: str, password: str) -> bool:
    """At the other browser."""
    return day.ask("POST", "/session", {"person": person, "password": password}, "sign_in_failed") is not None


def whose_engine(day: Day) -> None:
    """A customer from the first word to the erasing, and a sign-in from a miss to its end on all browsers."""
    assert not signs_in(day, shop.LEAD, "not this one")
    assert signs_in(day, shop.LEAD, shop.PASSWORD)
    who = {"name": "A customer", "phone": "555"}
    added = day.ask("POST", "/customers", who)
    which = added["id"]
    day.ask("PUT", f"/customers/{which}", {**who, "phone": "556"}, match=added["version"])
    day.ask("PUT", f"/builds/{shop.BUILDS[0]}/customer", {"customer": which}, match="nobody")
    day.ask("POST", f"/customers/{which}/erase", {"reason": "asked for it"})
    (found,) = [one for one in day.ask("GET", "/customers")["customers"] if one["id"] == which]
    assert (found["name"], found["phone"], found["builds"]) == (None, None, [shop.BUILDS[0]])
    day.ask("DELETE", "/session?everywhere=1")
    day.do("D", "signIn", shop.LEAD, shop.PASSWORD)


def the_shops_gauges(day: Day) -> None:
    """A gauge is added, renamed and taken out of use."""
    assert signs_in(day, shop.LEAD, shop.PASSWORD)
    added = day.ask("POST", "/instruments", FEELERS)
    at = f"/instruments/{added['id']}"
    renamed = day.ask("PUT", at, {**FEELERS, "name": "Feelers, bench"}, match=str(added["version"]))
    gone = day.ask("POST", f"{at}/retired", {"reason": "bent"}, match=str(renamed["version"]))
    assert (gone["name"], gone["retired_because"]) == ("Feelers, bench", "bent")


def somebody_new(day: Day) -> None:
    """Taken on at the desk with a role, a password and a PIN; soon the password is one that only this person knows."""
    day.until(lambda: shop.NEW_ONE in people_at(day, "D"), lambda: day.do("D", "takeOn", shop.NEW_NAME, "apprentice"))
    day.do("D", "changePerson", shop.NEW_ONE, {"role": "builder"})
    day.do("D", "givePassword", shop.NEW_ONE, FIRST_PASSWORD)
    day.do("D", "givePin", shop.NEW_ONE, shop.PIN)
    assert people_at(day, "D")[shop.NEW_ONE]["role"] == "builder"
    day.until(lambda: signs_in(day, shop.NEW_ONE, OWN_PASSWORD), lambda: own_password(day))


def own_password(day: Day) -> None:
    assert signs_in(day, shop.NEW_ONE, FIRST_PASSWORD)
    # Whose answer was lost is signed out by the new one.
    day.ask("POST", "/me/password", {"old": FIRST_PASSWORD, "password": OWN_PASSWORD}, "sign_in_needed")


def people_at(day: Day, name: str) -> dict[str, dict[str, Any]]:
    """As the shop tells them to this phone now, by id."""
    return {person["id"]: person for person in day.do(name, "people")}


def pins_at_the_stand(day: Day) -> None:
    """A wrong one and the right one; a signature with its proof, and one for which the shop has to ask."""
    # By a talk; where its disk refuses the list, by one of the next.
    day.until(lambda: day.do("A", "hasPin", shop.NEW_ONE), lambda: day.talk("A"))
    assert 0 < day.do("A", "tryPin", shop.NEW_ONE, "402719") < MOST_TRIES
    assert day.do("A", "tryPin", shop.NEW_ONE, shop.PIN) is None
    day.record("A", shop.proven_by_the_new_one)
    day.record("A", shop.signed_by_the_new_one)
    day.talk("A")
    assert day.world.server.rows(PROVEN) == [(1, 1)]
    day.do("A", "proveWanted", shop.NEW_ONE, shop.PIN)
    day.talk("A")
    assert day.world.server.rows(PROVEN) == [(2, 2)]


def somebody_leaves(day: Day) -> None:
    day.do("D", "personLeft", shop.NEW_ONE)
    day.talk("D")
    assert not signs_in(day, shop.NEW_ONE, OWN_PASSWORD)
    assert shop.NEW_ONE not in people_at(day, "D")


def what_was_held_back(day: Day) -> None:
    """Once at the desk, and once at the phone that it came from."""
    day.record("A", shop.by_a_stranger)
    day.talk("A")
    ((aside, *_), *_) = day.world.server.rows("SELECT id FROM held_back ORDER BY device_no")
    day.do("D", "dealWith", aside, "written down by hand")
    day.talk("A")
    day.do("A", "dealWithOwn", shop.BUILDER, "written down by hand")


def photos(day: Day) -> None:
    """One in three pieces; and a file that is no picture."""
    day.photo("A", 600_000)
    day.do("A", "takeNoPicture", acts.where(day.world.promises.begin(), shop.BUILDER))
    day.talk("A")


def a_file(day: Day) -> None:
    """What A has not sent goes to the desk by file; one of it the shop keeps back, and the desk deals with it."""
    day.record("A", shop.signed_with_its_text)
    day.record("A", shop.by_a_stranger)
    day.photo("A", 0)
    file = day.do("A", "exportUnsent")
    day.do("D", "importFile", file["text"])
    day.talk("D")
    day.do("D", "dealWithOwn", shop.LEAD, "written down by hand")


def yesterdays_book(day: Day) -> None:
    """Everybody has pulled what the backup does not have; the phone that wrote it is cleared."""
    world, phone = day.world, day.world.phones["A"]
    disasters.backup(world, phone, day.luck)
    day.record("A", shop.signed_with_its_text)
    day.talk("A")
    day.talk("D")
    day.page("A")
    disasters.clear(world, phone, witness=True)
    disasters.restore(world, phone, day.luck)
    day.talk("D")
    if world.network:
        # Neither its key nor its cookie outlived both.
        day.join("A")
    day.record("A", shop.a_reading)
    day.talk("A")


def a_twin(day: Day) -> None:
    """A's storage is on a second phone; both go on."""
    before = set(day.world.phones)
    disasters.clone(day.world, day.world.phones["A"], day.luck)
    (twin,) = set(day.world.phones) - before
    for name in ("A", twin):
        day.record(name, shop.a_reading)
        day.talk(name)
    day.talk(twin)


def closing_time(day: Day) -> None:
    day.do("D", "signOut")


PARTS: list[Callable[[Day], None]] = [
    half_typed,
    who_is_let_in,
    at_the_stand,
    at_the_desk,
    whose_engine,
    the_shops_gauges,
    somebody_new,
    pins_at_the_stand,
    somebody_leaves,
    what_was_held_back,
    photos,
    a_file,
    a_lost_phone,
    yesterdays_book,
    a_twin,
    closing_time,
]
