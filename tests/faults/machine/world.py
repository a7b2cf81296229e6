"""The world: phones, server and network of one story, and what everybody was promised."""

import base64
import gzip
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from standbook import clock
from tests.faults.machine.network import Command, Fate, Request, away, fate_of, through
from tests.faults.machine.people import Phone
from tests.faults.machine.phones import Event, Phones
from tests.faults.machine.promises import Promise, Promises
from tests.faults.machine.server import Killed, Reply, Server
from tests.faults.machine.story import Fault, Story

#: The moment at which every story begins: milliseconds since 1970.
BEGIN = 1_795_000_000_000
MOST_ROUNDS = 400


class Recording(NamedTuple):
    """An entry that a page was given to record, and the half-typed field that it makes good."""

    page: str
    mark: str
    draft: str | None
    blobs: tuple[tuple[str, str], ...]


class HandedOn(NamedTuple):
    """A file with unsent entries: its text, and the marks and hashes in it."""

    text: str
    holds: frozenset[str]


PACKED = {"accept-encoding": "gzip"}


def unpacked(reply: Reply) -> Reply:
    """As the browser hands it on."""
    if reply.headers.get("content-encoding") != "gzip":
        return reply
    return reply._replace(body=gzip.decompress(reply.body))


def talkative(reply: Reply) -> Reply:
    """What a newer server might say: fields that nobody knows today, in every object of its own answers."""
    if reply.headers.get("content-type") != "application/json" or not reply.body.startswith(b"{"):
        return reply
    return reply._replace(body=msgspec.json.encode(with_more(msgspec.json.decode(reply.body))))


def with_more(value: Any) -> Any:
    if isinstance(value, list):
        return [with_more(item) for item in value]
    if not isinstance(value, dict):
        return value
    return {"mood": ["fine", None, 1.5], **{key: with_more(item) for key, item in value.items()}}


class World:
    """`template`: a shop's folder without entries. Everything that happens is decided by the caller or by `luck`."""

    def __init__(self, phones: Phones, template: Path, folder: Path, seed: int, network: bool = False) -> None:
        self.node = phones
        self.folder = folder
        self.seed = seed
        #: The shop is served beyond its machine: who has not joined is not let in.
        self.network = network
        self.story = Story()
        self.promises = Promises()
        self.luck = random.Random(seed)
        self.badness = 0.0
        self.now = BEGIN
        self.server_skew = 0
        #: The server says more than the clients know.
        self.talkative = False
        #: A phone has been copied.
        self.twins = False
        self.phones: dict[str, Phone] = {}
        self.waiting: dict[int, Request] = {}
        self.held_up: set[int] = set()
        #: What shall become of the next request with these letters in its address.
        self.forced: list[tuple[str, Fate]] = []
        self.stragglers: list[Request] = []
        self.answers: dict[Any, Event] = {}
        self.backups: list[Path] = []
        self.files: list[HandedOn] = []
        self.troubles: list[str] = []
        #: Records under way, by their tag.
        self.recording: dict[int, Recording] = {}
        #: What shall happen to every page that is opened, until it has happened to one.
        self.page_dooms: list[Command] = []
        #: Told of each write of a page by its name, when names are wanted.
        self.heard_write: Callable[[str], None] = lambda name: None
        self._tag = 0
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(template, folder / "shop")
        self.server = Server(folder / "shop", network)
        clock.now = self._server_now  # type: ignore[assignment]
        self.server.start()
        self.node.tell({"do": "reset"}, {"do": "now", "at": self.now})

    def end(self) -> None:
        """Leaves nothing behind."""
        if self.server.up:
            self.server.stop()
        clock.now = NATIVE_NOW
        shutil.rmtree(self.folder, ignore_errors=True)

    def _server_now(self) -> Any:
        return clock.datetime.fromtimestamp((self.now + self.server_skew) / 1000, clock.UTC)

    def fail(self, words: str) -> None:
        raise Fault(words, self.story)

    # Phones

    def tell(self, *commands: Command) -> Event:
        """Has the phones do something and takes in what came of it."""
        told = self.node.tell(*commands)
        self.now = told["now"]
        self.story.count("phone commits", told["counts"]["commits"])
        self.story.count("phone texts", told["counts"]["witness"])
        for event in told["events"]:
            HEARD[event["e"]](self, event)
        return told

    def tag(self) -> int:
        self._tag += 1
        return self._tag

    def call(self, page: str, act: str, *words: Any) -> int:
        """Begins an act on a page; its end is in `answers` when it comes."""
        tag = self.tag()
        self.tell({"do": "call", "page": page, "act": act, "words": words, "tag": tag})
        return tag

    def ask(self, page: str, act: str, *words: Any) -> Any:
        """An act that needs no network, to its end."""
        tag = self.call(page, act, *words)
        answer = self.answers.pop(tag, None)
        if answer is None or not answer["ok"]:
            self.fail(f"{page} does not answer to {act}: {answer}")
        assert answer
        return answer["value"]

    # What phones tell

    def hear_fetch(self, event: Event) -> None:
        raw = event["body"]
        body = base64.b64decode(raw) if event.get("packed") else raw.encode()
        asked = Request(event["id"], event["page"], event["method"], event["url"], event["headers"], body)
        self.waiting[asked.id] = asked

    def hear_done(self, event: Event) -> None:
        if event["act"] == "record":
            self._keep_promise(self.recording.pop(event["tag"]), event)
        elif event["act"] == "takePhoto":
            self._keep_photo(self.recording.pop(event["tag"]), event)
        elif event["tag"] != "start":
            self.answers[event["tag"]] = event
        elif not event["ok"]:
            self.story.tell(f"{event['page']} cannot start: {event['error']['message']}")

    def _keep_promise(self, recorded: "Recording", event: Event) -> None:
        mark, page = recorded.mark, event["page"]
        if not event["ok"]:
            self.promises.keep(Promise(mark, "refused"))
            self.story.tell(f"{page} says of {mark}: {event['error']['code']}")
            return
        if recorded.draft:
            self.phones[page[0]].drafts[recorded.draft] = None
        said = event["value"]
        client = self.phones[page[0]].client
        kept = Promise(mark, "saved", page, said["device_no"], said["text"], recorded.blobs, client=client)
        self.promises.keep(kept)

    def _keep_photo(self, recorded: "Recording", event: Event) -> None:
        """A picture that could not be entered at once may be entered at the next start."""
        if event["ok"]:
            photo = event["value"]["sha256"]
            self.promises.keep(Promise(recorded.mark, "saved", event["page"], photo=photo))
        else:
            self.story.tell(f"{event['page']} says of photo {recorded.mark}: {event['error']['code']}")

    def hear_killed(self, event: Event) -> None:
        self.story.tell(f"{event['page']}: {event['why']}")
        self.story.count("kills")
        phone = self.phones[event["page"][0]]
        phone.pages.discard(event["page"])
        self._forget_recordings(event["page"])
        # What it had sent may still be on its way.
        for asked in [one for one in self.waiting.values() if one.page == event["page"]]:
            self._leave_on_its_way(asked.id)

    def _forget_recordings(self, page: str) -> None:
        """Nobody was told: the entry may be there or not, and its half-typed field with it."""
        for tag, recorded in [*self.recording.items()]:
            if recorded.page == page:
                del self.recording[tag]
                self.phones[page[0]].drafts.pop(recorded.draft or "", None)

    def hear_given_up(self, event: Event) -> None:
        self._leave_on_its_way(event["id"])

    def _leave_on_its_way(self, number: int) -> None:
        asked = self.waiting.pop(number, None)
        self.held_up.discard(number)
        if asked is not None and self.luck.random() < 0.5:
            self.stragglers.append(asked)

    def hear_doomed(self, event: Event) -> None:
        met = (event["on"], event["how"], event.get("purpose"))
        self.page_dooms = [doom for doom in self.page_dooms if met != (doom["on"], doom["how"], doom.get("purpose"))]
        self.story.tell(f"fate meets {event['page']}: {event['how']} at {event.get('purpose') or event['on']}")

    def hear_unheard(self, event: Event) -> None:
        self.troubles.append(event["words"])

    def hear_rows(self, event: Event) -> None:
        self.answers[event["tag"]] = event

    def hear_write(self, event: Event) -> None:
        self.heard_write(event["purpose"])

    # The server

    def ask_server(self, asked: Request, heard: bool = True, size: int | None = None) -> Reply | None:
        """What the server says; None where it is down or dies over it."""
        if not self.server.up:
            return None
        phone = self.phones[asked.page[0]]
        headers = {**asked.headers, **phone.cookie_header(), **(PACKED if phone.packs else {})}
        self.story.count("requests at the server")
        try:
            reply = self.server.ask(asked.method, asked.url, headers, asked.body, size)
        except Killed:
            self.story.tell("the server is dead")
            reply = None
        self.story.count("server commits", self.server.steps)
        self.server.steps = 0
        if reply is not None and heard:
            phone.take_cookie(reply.headers.get("set-cookie"))
        if reply is not None:
            reply = unpacked(talkative(reply) if self.talkative else reply)
        if reply is not None and reply.status == 500:
            self.troubles.append(f"the server has a fault at {asked.words}: {reply.body[:300]!r}")
        return reply

    def kill_server(self, words: str) -> None:
        self.story.tell(f"the server is killed: {words}")
        self.story.count("kills")
        self.server.stop()

    def start_server(self) -> None:
        if not self.server.up:
            self.server.start()
            self.story.tell("the server is started again")

    # The network

    def carry(self, badness: float | None = None, luck: random.Random | None = None) -> None:
        """Decides what becomes of the requests on their way, until none is left but those held up."""
        chance = luck or self.luck
        for _ in range(MOST_ROUNDS):
            open_now = [number for number in self.waiting if number not in self.held_up]
            if not open_now:
                return
            self._carry_one(self.waiting.pop(chance.choice(open_now)), badness, chance)
        self.fail("the phones and the server talk without end")

    def _carry_one(self, asked: Request, badness: float | None, luck: random.Random) -> None:
        phone = self.phones[asked.page[0]]
        bad = self.badness if badness is None else badness
        fate = (self._forced_for(asked) or fate_of(bad, luck)) if phone.in_reach else away
        self.story.count("fates of requests")
        self.tell(*fate(self, asked, luck))

    def _forced_for(self, asked: Request) -> Fate | None:
        """The fate that a told story has in store for the next request to this address."""
        found = next((one for one in self.forced if one[0] in asked.url), None)
        if found:
            self.forced.remove(found)
        return found[1] if found else None

    def let_held_up_go(self) -> None:
        """Requests that were held up go on, whether or not somebody still waits for them."""
        self.held_up.clear()

    def pass_time(self, name: str, ms: float) -> None:
        """Time passes on one phone and in the world; what its timers begin is carried."""
        left = ms
        for _ in range(MOST_ROUNDS):
            if left <= 0:
                return
            left = self.tell({"do": "pass", "phone": name, "ms": left})["left"]
            self.carry()
        self.fail(f"{name} finds no rest")

    def through(self, asked: Request) -> None:
        self.tell(*through(self, asked, self.luck))


NATIVE_NOW = clock.now
HEARD = {
    "fetch": World.hear_fetch,
    "done": World.hear_done,
    "killed": World.hear_killed,
    "given up": World.hear_given_up,
    "unheard": World.hear_unheard,
    "rows": World.hear_rows,
    "doomed": World.hear_doomed,
    "write": World.hear_write,
}
