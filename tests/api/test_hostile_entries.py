"""Entries that no app of ours writes, by the push route: each gets its own answer, and the book stays one to work with.

Whatever is taken in, every view of it, the check of the book and the export still come; nobody behind it waits.
"""

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standbook.caretaker import Caretaker
from standbook.trade.entries import KINDS
from standbook.trade.steps import STEPS
from tests.api.roles import signed_in_as, staffed
from tests.ledger.kit import BODIES, Book, Phone, opened, reading

PUSH = "/api/v1/sync/push"
OURS = {"X-Standbook": "1", "Content-Type": "application/json"}
RESULTS = {"stored", "already", "held", "conflict", "refused"}
LEAD = "one-lead"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """One for all examples: each has a build and a device of its own."""
    template: Path = staffed(tmp_path_factory.mktemp("staff") / "data")
    yield from opened(template, tmp_path_factory.mktemp("book") / "data")


ODD = [
    *("", " ", "\0", "\u202e", "\ud800", "\udfff", "e\u0301", "\u1e9b\u0323", "\ufeff", "\U0010ffff", "\x7f", "\r\n"),
    *("1e999", "-0", "1_0", "٣", "½", "∞", "NaN", "1,5", "1/3", "0x10", "9" * 400, "../../etc", "<script>", "' OR 1=1"),
    *("__proto__", "constructor", "{}", "x" * 64, "x" * 65, "x" * 5000, "\u0301" * 300),
]
NUMBERS = st.sampled_from([0, -1, 1, 2**31, 2**53, 2**53 + 1, 2**63, 2**64, 10**400, 1.5, -0.0, 1e308, 5e-324])
WORDS = st.one_of(st.sampled_from(ODD), st.text(max_size=12))
JSON = st.recursive(
    st.one_of(st.none(), st.booleans(), NUMBERS, WORDS),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(WORDS, inner, max_size=4)),
    max_leaves=8,
)
STEP_IDS = [step.id for step in STEPS]
PHOTO = {"sha256": "a" * 64, "type": "image/jpeg", "size": 9, "width": 3, "height": 3}
GAUGE = {
    "id": "g",
    "kind": "micrometer",
    "name": "Micrometer 2-3 in",
    "step": {"text": "0.0001", "unit": "in"},
    "trust": {"text": "0.0001", "unit": "in"},
    "dial": False,
    "calibration_due": None,
}
CARD = {
    "id": "c",
    "title": "Card",
    "version": 1,
    "rows": [{"key": "k", "low": {"text": "1", "unit": "mm"}, "high": None}],
}
WHOLE: dict[str, dict[str, Any]] = {
    **BODIES,
    "reading": reading(instrument=GAUGE, note="", confirmed=[], cautions=[]),
    "limits_frozen": {"v": 1, "defaults": "0" * 64, "cards": [CARD]},
    "struck_out": {"v": 1, "target": "nothing", "reason": "typed wrong"},
    "photo": {"v": 1, "photo": PHOTO, "caption": ""},
}
KIND = st.sampled_from((*KINDS, "later"))


class Writer(Phone):
    """A lead's phone that writes into a build of its own."""

    def __init__(self, book: Book) -> None:
        super().__init__(book, LEAD)
        self.build = self.id.replace("-", "")

    def whole(self, kind: str) -> dict[str, Any]:
        step = "solid_lash" if kind == "decision" else "journals"
        return self.entry(kind, body=json.loads(json.dumps(WHOLE.get(kind, {"v": 1}))), build=self.build, step=step)


def places_of(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Everything inside, by the way to it."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [way for key, one in inner for way in ((*at, key), *places_of(one, (*at, key)))]


def put_at(value: Any, way: tuple[Any, ...], new: Any) -> None:
    for key in way[:-1]:
        value = value[key]
    value[way[-1]] = new


# Where (a number that becomes a place), what is put there, how.
CHANGE = st.tuples(st.integers(0, 999), JSON, st.sampled_from(["put", "put", "put", "drop", "more", "again"]))


def changed(entry: dict[str, Any], changes: list[Any]) -> str:
    """A whole entry with some of its parts replaced, taken away, added, or said twice."""
    again = ""
    for number, word, how in changes:
        ways = places_of(entry)
        way = ways[number % len(ways)]
        if how == "again":
            again += f", {json.dumps(str(way[-1]))}: {json.dumps(word)}"
        elif how == "more" and isinstance(entry.get("body"), dict):
            entry["body"][str(word)[:20]] = word
        elif how == "drop" and len(way) == 1:
            entry.pop(way[0])
        else:
            put_at(entry, way, word)
    text = json.dumps(entry, ensure_ascii=len(changes) % 2 == 0)
    return text[:-1] + again + "}"


def push(book: Book, phone: Phone, texts: list[Any], signed_in: str = "lead") -> list[dict[str, Any]]:
    """As the wire has it, escapes and all. Every entry has its own answer, in order."""
    body = json.dumps({"device": phone.id, "from_no": 1, "entries": texts}).encode()
    answer = signed_in_as(book, signed_in).post(PUSH, data=body, headers=OURS)
    if answer.status_code != 200:
        # Half characters make the whole body no text: told at once, and nothing of it is taken in.
        assert (answer.status_code, answer.json["error"]["code"]) == (400, "bad_json")
        return []
    answers: list[dict[str, Any]] = answer.json["answers"]
    assert [one["device_no"] for one in answers] == list(range(1, len(texts) + 1))
    assert {one["result"] for one in answers} <= RESULTS
    return answers


def works(book: Book, build: str) -> None:
    """Every view of the build comes, and is JSON by the letter."""
    client = signed_in_as(book, "lead")
    views = [
        f"/builds/{build}",
        *(f"/builds/{build}/steps/{step}" for step in STEP_IDS),
        "/builds",
        "/held",
        "/devices",
    ]
    for view in views:
        answer = client.get(f"/api/v1{view}")
        assert answer.status_code in (200, 404), (view, answer.json)
        json.loads(answer.data, parse_constant=not_json)


def not_json(word: str) -> None:
    """NaN and Infinity, which no JSON has."""
    pytest.fail(f"a view says {word}")


WRITINGS = st.lists(st.tuples(KIND, st.lists(CHANGE, min_size=1, max_size=3)), min_size=1, max_size=5)


@settings(max_examples=80)
@given(WRITINGS)
def test_entries_with_odd_parts_get_their_own_answers_and_every_view_still_comes(
    book: Book, writings: list[tuple[str, list[Any]]]
) -> None:
    assert_answered(book, writings)


@pytest.mark.long
@settings(max_examples=5000, derandomize=False)
@given(WRITINGS)
def test_the_same_for_some_minutes_with_other_luck_each_time(book: Book, writings: list[tuple[str, list[Any]]]) -> None:
    assert_answered(book, writings)


def assert_answered(book: Book, writings: list[tuple[str, list[Any]]]) -> None:
    phone = Writer(book)
    texts = [phone.keep(changed(phone.whole(kind), changes)) for kind, changes in writings]
    answers = push(book, phone, texts)
    works(book, phone.build)
    if answers and "refused" not in {one["result"] for one in answers}:
        last = phone.keep(json.dumps(phone.whole("reading")))
        assert push(book, phone, [*texts, last])[-1]["result"] == "stored", "nothing waits behind what was odd"


@settings(max_examples=40)
@given(st.lists(st.one_of(JSON, st.text(max_size=60).map(lambda text: "{" + text)), min_size=1, max_size=6))
def test_what_is_no_entry_at_all_is_held_back_one_by_one(book: Book, wires: list[Any]) -> None:
    phone = Writer(book)
    answers = push(book, phone, wires)
    assert {one["result"] for one in answers} <= {"held"}
    if answers:
        next_one = json.dumps({**phone.whole("reading"), "device_no": len(wires) + 1})
        body = {"device": phone.id, "from_no": len(wires) + 1, "entries": [next_one]}
        stored = signed_in_as(book, "lead").post(PUSH, json=body, headers=OURS).json["answers"]
        assert [one["result"] for one in stored] == ["stored"]


DEEP = {
    "lists": "[" * 30_000,
    "objects": '{"a":' * 6_000,
    "lists that end": "[" * 5_000 + "]" * 5_000,
    "a body as deep as is read": '{"v": 1, "x": ' + "[" * 62 + "]" * 62 + "}",
    "a body deeper than is read": '{"v": 1, "x": ' + "[" * 63 + "]" * 63 + "}",
}


@pytest.mark.parametrize("what", DEEP)
def test_nesting_without_end_is_held_back_and_what_is_within_the_bound_is_kept(book: Book, what: str) -> None:
    phone = Writer(book)
    text = DEEP[what]
    if what.startswith("a body"):
        text = json.dumps(phone.whole("later")).replace('{"v": 1}', text)
    answers = push(book, phone, [text, json.dumps({**phone.whole("reading"), "device_no": 2})])
    assert [one["result"] for one in answers] == ["stored" if "as deep as" in what else "held", "stored"]
    works(book, phone.build)


NUMERALS = ("1e400", "-1e400", "1" * 5000, "0." + "1" * 5000, "1e-400", "1E+2", "-0", "1e" + "9" * 30)


@pytest.mark.parametrize("numeral", NUMERALS, ids=lambda text: text[:8])
@pytest.mark.parametrize("field", ["device_no", "seen", "v", "more", "size"])
def test_numbers_beyond_every_machine_are_answered(book: Book, field: str, numeral: str) -> None:
    phone = Writer(book)
    entry = phone.whole("photo" if field == "size" else "later")
    marked = "a number stands here"
    target = entry if field in ("device_no", "seen") else entry["body"]["photo"] if field == "size" else entry["body"]
    target[field] = marked
    (answer,) = push(book, phone, [json.dumps(entry).replace(json.dumps(marked), numeral)])
    assert answer["result"] in ("held", "stored")
    works(book, phone.build)


@settings(max_examples=30)
@given(st.integers(0, 2**32))
def test_a_whole_engine_with_odd_values_can_be_looked_at(book: Book, seed: int) -> None:
    """What passes the check of each entry alone still has to be worked out together."""
    luck = random.Random(seed)
    phone = Writer(book)
    texts = [phone.keep(json.dumps(phone.whole("build_opened"))), phone.keep(json.dumps(phone.whole("limits_frozen")))]
    for _ in range(luck.randint(3, 25)):
        texts.append(phone.keep(json.dumps(any_entry(phone, luck))))
    push(book, phone, texts)
    works(book, phone.build)


FIELDS = ("cylinders", "layout", "main_bore", "main_journal", "firing_order", "mains", "valves", "lash_intake", "bank")
PLACES = ("MJ1.F.0", "MJ9.F.0", "MH1.0", "MB1", "MB1.clearance", "V1.IN", "1.I", "", "x", "MJ1")
VALUES = ("8", "0", "-1", "1e9", "999999999999", "0.0000000001", "2.4483", "90", "1-8-4-3-6-5-7-2", "yes", "V", "")
UNITS = ("in", "mm", "1", "deg", "°", None, "kPa", "")


def any_entry(phone: Writer, luck: random.Random) -> dict[str, Any]:
    kind = luck.choice(("engine_value", "reading", "reading", "decision", "step_signed", "struck_out", "photo"))
    entry = phone.whole(kind)
    value = {"text": luck.choice(VALUES), "unit": luck.choice(UNITS)}
    entry["step"], entry["place"] = luck.choice((*STEP_IDS, "later", None)), luck.choice((*PLACES, None))
    entry["seen"] = luck.choice((0, 5, 2**53))
    entry["made_at"] = luck.choice(("2026-11-25T08:30:00.000Z", "2019", "not a day", "9999-99-99T99:99:99Z"))
    body = entry["body"]
    if kind == "engine_value":
        body.update(field=luck.choice(FIELDS), value=luck.choice((value, value["text"], 8, [1, 8, 4], None)))
    elif kind == "reading":
        body.update(value=value, note=luck.choice(ODD[1:6]).replace("\0", "").encode("utf-8", "ignore").decode())
    elif kind == "decision":
        body.update(about=luck.choice((*PLACES, "engine.cylinders", "journals:lost")), value=value)
    elif kind in ("step_signed", "struck_out"):
        others = [json.loads(text)["id"] for text in phone.texts]
        body.update({"uses": luck.sample(others, 2)} if kind == "step_signed" else {"target": luck.choice(others)})
    return entry


def test_everything_that_was_taken_in_can_be_checked_backed_up_and_exported(book: Book, tmp_path: Path) -> None:
    """The last of this file: after all that, the lists of the whole shop and its other tools."""
    client = signed_in_as(book, "lead")
    for view in ("builds", "held", "devices", "sync/pull"):
        json.loads(client.get(f"/api/v1/{view}").data, parse_constant=not_json)
    caretaker = Caretaker(book.services)
    assert caretaker.check().findings == []
    assert caretaker.backup(tmp_path / "after.standbook.tar").last_seq == book.pull().last_seq
    exported = caretaker.export(tmp_path / "exported")
    builds = [json.loads(path.read_text("utf-8")) for path in sorted((exported.folder / "builds").iterdir())]
    assert [build["trouble"] for build in builds if build["trouble"]] == []
