"""The shop as a test asks it, past all screens: over the same API that phones and desks use."""

import hashlib
import json
import urllib.error
import urllib.request
import uuid
from collections import Counter
from http.cookiejar import CookieJar
from typing import Any

from seed_demo.shop import LEAD
from standbook import clock
from standbook.ids import uuid7
from standbook.ledger.brain import TABLE_SHA256, TABLE_TEXT, VERSION

ROOT = "/api/v1"
Entry = dict[str, Any]


class Shop:
    """A client of the server at `address`. It keeps its own cookies and its own device chain."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.device = str(uuid.uuid4())
        self.next_no = 1
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))

    def ask(self, path: str, method: str = "GET", body: object = None) -> Any:
        """JSON of an answer; None for an empty one. Raises HTTPError."""
        data = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
        headers = {"X-Standbook": "1"}
        if data is not None and not isinstance(body, bytes):
            headers["Content-Type"] = "application/json"
        request = urllib.request.Request(self.address + ROOT + path, data=data, method=method, headers=headers)
        with self.opener.open(request, timeout=30) as response:
            content = response.read()
        return json.loads(content) if content else None

    def file(self, path: str) -> tuple[bytes, dict[str, str]]:
        """Bytes and headers (names in lower case) of a file of the client."""
        with self.opener.open(self.address + path, timeout=30) as response:
            return response.read(), {name.lower(): value for name, value in response.headers.items()}

    def text(self, path: str) -> str:
        return self.file(path)[0].decode()

    def keep_photo(self, data: bytes) -> dict[str, Any]:
        """Hands a JPEG over in one piece; gives what an entry names it by, without its size in pixels."""
        address = hashlib.sha256(data).hexdigest()
        headers = {"X-Standbook": "1", "Content-Type": "application/partial-upload"}
        headers |= {"Upload-Offset": "0", "Upload-Complete": "?1"}
        url = f"{self.address}{ROOT}/photos/{address}"
        with self.opener.open(urllib.request.Request(url, data=data, method="PATCH", headers=headers), timeout=30):
            return {"sha256": address, "size": len(data), "type": "image/jpeg"}

    def photo(self, build: str, person: str, data: bytes, size: tuple[int, int], **where: Any) -> Entry:
        """The entry of a picture that the shop has; `where`: step and place."""
        width, height = size
        body = {"photo": {**self.keep_photo(data), "width": width, "height": height}, "caption": ""}
        return self.entry(build, person, "photo", body, **where)

    def people(self) -> dict[str, str]:
        """Ids of the shop's people by name."""
        return {person["name"]: person["id"] for person in self.ask("/shop")["people"]}

    def sign_in(self) -> str:
        """As the demo's lead; gives the person's id."""
        name, _, password = LEAD
        person = self.people()[name]
        self.ask("/session", "POST", {"person": person, "password": password})
        return person

    def entries(self) -> list[Entry]:
        """The whole book in the shop's order, each entry with its `seq` and `received_at`."""
        found: list[Entry] = []
        more, epoch = True, ""
        while more:
            answer = self.ask(f"/sync/pull?after={len(found)}&limit=500&epoch={epoch}")
            epoch = answer["epoch"]
            found += [{**json.loads(line["text"]), **order_of(line)} for line in answer["entries"]]
            more = answer["more"]
        return found

    def of_build(self, build: str) -> list[Entry]:
        return [entry for entry in self.entries() if entry["build"] == build]

    def state(self, build: str) -> dict[str, Any]:
        state: dict[str, Any] = self.ask(f"/builds/{build}")
        return state

    def step(self, build: str, step: str) -> dict[str, Any]:
        view: dict[str, Any] = self.ask(f"/builds/{build}/steps/{step}")
        return view

    def hold(self, build: str, hold: str) -> dict[str, Any]:
        view: dict[str, Any] = self.ask(f"/builds/{build}/holds/{hold}")
        return view

    def sign_step(self, build: str, person: str, step: str) -> None:
        """For what the step shows now; whoever signs is signed in."""
        sign = self.step(build, step)["sign"]
        shown = sign["shown"].encode()
        address = hashlib.sha256(shown).hexdigest()
        self.ask(f"/blobs/{address}", "PUT", shown)
        body = {"shown": address, "uses": sign["uses"], "note": ""}
        self.push([self.entry(build, person, "step_signed", body, step=step)])

    def open_build(self, job: str, title: str, engine: dict[str, Any], card: dict[str, Any]) -> str:
        """A build with its limits frozen and nothing measured, opened by the lead; gives its id."""
        person, build = self.sign_in(), uuid7()
        self.ask(f"/blobs/{TABLE_SHA256}", "PUT", TABLE_TEXT.encode())
        bodies = [
            ("build_opened", {"job": job, "title": title, "note": ""}),
            ("limits_frozen", {"defaults": TABLE_SHA256, "cards": [card]}),
            *(("engine_value", {"field": f, "value": v, "basis": "nominal"}) for f, v in engine.items()),
        ]
        self.push([self.entry(build, person, kind, body) for kind, body in bodies])
        return build

    def entry(self, build: str, person: str, kind: str, body: dict[str, Any], **more: Any) -> Entry:
        """The next entry of this client's own chain."""
        number, self.next_no = self.next_no, self.next_no + 1
        empty = {"step": None, "place": None, "why": None, "seen": 0}
        return {
            "id": uuid7(),
            "build": build,
            "kind": kind,
            **empty,
            "body": {"v": 1, **body},
            "person": person,
            "device": self.device,
            "device_no": number,
            "made_at": clock.now_stamp(),
            "trade_version": VERSION,
            **more,
        }

    def reading(self, build: str, person: str, step: str, place: str, text: str, unit: str | None) -> Entry:
        """A first reading as the stand writes it, without a gauge."""
        empty = {"not_measured": None, "instrument": None, "note": "", "corrects": None}
        body = {"value": {"text": text, "unit": unit}, **empty, "confirmed": [], "cautions": []}
        return self.entry(build, person, "reading", body, step=step, place=place, why="first")

    def send_what_is_held_back(self) -> None:
        """An entry in the name of nobody in this shop: it uses up its number and waits for the lead (LG6)."""
        stranger = self.entry(uuid7(), str(uuid.uuid4()), "reading", {}, step="journals", place="MJ1.F.0", why="first")
        assert self.send([stranger]) == ["held"]

    def push(self, entries: list[Entry]) -> None:
        """Sends entries of this client's chain; every one has to be taken."""
        assert self.send(entries) == ["stored"] * len(entries)

    def send(self, entries: list[Entry], **more: Any) -> list[str]:
        """Sends entries of this client's chain; gives what became of each. `more`: what else a phone says of itself."""
        texts = [json.dumps(entry, ensure_ascii=False) for entry in entries]
        about = {"device": self.device, "device_name": "test", "app_version": "test", "now": clock.now_stamp(), **more}
        answer = self.ask("/sync/push", "POST", {**about, "from_no": entries[0]["device_no"], "entries": texts})
        return [line["result"] for line in answer["answers"]]


def order_of(line: Entry) -> Entry:
    """What the shop added to an entry, of which a test wants something."""
    return {name: line[name] for name in ("seq", "received_at")}


def chain_of(entries: list[Entry], device: str) -> list[int]:
    """The numbers of a device's entries, in the shop's order."""
    return [entry["device_no"] for entry in entries if entry["device"] == device]


def assert_whole(entries: list[Entry]) -> None:
    """Nothing twice, no gap: seq over the shop, numbers over each device, ids over all."""
    assert [entry["seq"] for entry in entries] == list(range(1, len(entries) + 1))
    assert [id for id, count in Counter(entry["id"] for entry in entries).items() if count > 1] == []
    for device in {entry["device"] for entry in entries}:
        numbers = chain_of(entries, device)
        assert numbers == list(range(1, len(numbers) + 1)), device
