"""Any order of batches, repeats, gaps, clones and carriers: every answer is the one that the rules give, seq has no
gap, and each number of each device is accounted for exactly once (LG3 to LG6, LG8, LG9)."""

import json
from itertools import pairwise
from typing import Any, NamedTuple

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standbook.ids import uuid7
from tests.ledger.expected import Model, Sent
from tests.ledger.kit import LEAD, Book, Phone, reading, results

KINDS = ("reading", "reading", "newer", "broken", "stranger", "waits for its lead", "an id again", "too large")
FATES = {"broken": "held without an id", "too large": "held without an id", "stranger": "held"}
FATES["waits for its lead"] = "refused"
DEVICES, COPIES = 2, 3

WHICH = st.integers(0, COPIES * DEVICES - 1)
WRITES = st.tuples(st.just("write"), WHICH, st.lists(st.sampled_from(KINDS), min_size=1, max_size=4))
# How far behind the number that the shop wants it begins (before it: a gap), how many at most, whether by a carrier.
SENDS = st.tuples(st.just("send"), WHICH, st.integers(-2, 5), st.integers(1, 7), st.booleans())
CLONES = st.tuples(st.just("clone"), WHICH, st.integers(0, 3))
DAYS = st.lists(st.one_of(WRITES, SENDS, SENDS, CLONES), min_size=15, max_size=50)


class Copy:
    """A phone's storage: whose it says it is, and what it has recorded. Another copy may say the same."""

    def __init__(self, book: Book, device: str) -> None:
        self.phone = Phone(book)
        self.phone.id = device
        self.sent: list[Sent] = []

    def write(self, kind: str) -> None:
        number = len(self.sent) + 1
        entry = self.phone.entry("reading", body=reading(f"{number}.{len(kind)}"))
        if kind == "newer":
            entry |= {"kind": "later", "body": {"v": 9}, "mood": ["good"]}
        elif kind == "stranger":
            entry["person"] = "nobody"
        elif kind == "waits for its lead":
            entry |= {"kind": "decision", "person": LEAD, "body": DECISION}
        elif kind == "an id again" and self.sent and self.sent[0].id:
            entry["id"] = self.sent[0].id
        elif kind == "too large":
            entry["body"]["note"] = "x" * 40_000
        text = f"broken {entry['id']}" if kind == "broken" else json.dumps(entry)
        self.phone.keep(text)
        without_id = FATES.get(kind) == "held without an id"
        self.sent.append(Sent(number, text, None if without_id else entry["id"], FATES.get(kind, "stored")))

    def copied(self, back: int) -> "Copy":
        """As it was some entries ago: a clone, or a phone that was set back."""
        other = Copy(self.phone.book, self.phone.id)
        other.sent = self.sent[: max(0, len(self.sent) - back)]
        other.phone.texts = [sent.text for sent in other.sent]
        return other


DECISION = {"v": 1, "decision": "accept", "about": "MB1", "reason": "found so", "value": None, "limit": ""}


class Row(NamedTuple):
    """What one of the tables has under a number of a device."""

    number: int
    text: str | None


class Shop:
    """Copies of phones at one book, and beside it the model that says what should come of them."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.first_seq = book.pull().last_seq
        devices = [uuid7() for _ in range(DEVICES)]
        self.copies = [Copy(book, device) for device in devices]
        claimed: dict[str, str] = {}
        self.models = {device: Model(claimed) for device in devices}

    def do(self, act: Any) -> None:
        what, which, *words = act
        copy = self.copies[which % len(self.copies)]
        if what == "write":
            for kind in words[0]:
                copy.write(kind)
        elif what == "clone":
            if len(self.copies) < DEVICES * COPIES:
                self.copies.append(copy.copied(*words))
        else:
            self.send(copy, *words)

    def send(self, copy: Copy, back: int, most: int, carried: bool) -> None:
        """From about where the shop is, whatever was sent before."""
        start = max(0, self.models[copy.phone.id].next_no - 1 - back)
        batch = copy.sent[start : start + most]
        carrier = "somebody else" if carried else None
        pushed = copy.phone.push(start + 1, [sent.text for sent in batch], carrier=carrier)
        model = self.models[copy.phone.id]
        assert results(pushed) == model.push(batch, carried)
        assert (pushed.next_no, pushed.mine.count) == (model.next_no, model.next_no - 1)

    def heal(self) -> None:
        """Everybody sends everything in order; decisions by a signed-in lead, so that nothing waits any more."""
        for copy in self.copies:
            for sent in copy.sent:
                signed_in = LEAD if sent.fate == "refused" else None
                copy.phone.push(sent.number, [sent.text], signed_in, carrier="somebody else")
                free = sent._replace(fate="stored" if signed_in else sent.fate)
                self.models[copy.phone.id].push([free], carried=True)

    def rows(self, table: str, device: str, what: str, more: str = "") -> list[Row]:
        query = f"SELECT device_no, {what} FROM {table} WHERE device = '{device}' {more} ORDER BY device_no"
        return [Row(number, self.readable(text)) for number, text in self.book.sql(query)]

    def readable(self, text: Any) -> str | None:
        return bytes(text).decode() if isinstance(text, (bytes, memoryview)) else text

    def accounts_for_every_number_once(self) -> None:
        for device, model in self.models.items():
            entries = self.rows("entries", device, "text")
            held = self.rows("held_back", device, "raw")
            used = self.rows("conflicts", device, "raw", "AND used_number")
            numbers = sorted(row.number for row in (*entries, *held, *used))
            assert numbers == list(range(1, model.next_no))
            assert sorted(entries) == model.count("stored")
            beside = self.rows("conflicts", device, "sha256")
            assert len(beside) == len(set(beside)) == len(model.count("conflict"))
            missing = self.rows("held_back", device, "raw", "AND code = 'number_missing'")
            assert {row.number for row in missing} == model.missing

    def keeps_all_bytes(self) -> None:
        """Nothing that was answered is gone, but for bytes that were too large, which stay on the phone (LG6)."""
        for device, model in self.models.items():
            tables = (("entries", "text"), ("held_back", "raw"), ("conflicts", "raw"))
            kept = {row for table, what in tables for row in self.rows(table, device, what)}
            said = {Row(no, text) for no, texts in model.said.items() for text in texts if len(text) < 32_768}
            assert {row for row in kept if row.text is not None} == said

    def findings(self) -> list[str]:
        """What the book's own check says of these devices; the book has others from before."""
        found = self.book.ledger.check().findings
        return [words for words in found if not words.startswith("Device") or any(id in words for id in self.models)]

    def has_no_gap(self) -> None:
        entries = self.book.pull(self.first_seq, self.book.pull().epoch, limit=1000).entries
        seqs = [self.first_seq, *(entry.seq for entry in entries)]
        assert all(after == before + 1 for before, after in pairwise(seqs))
        assert all(after.prev == before.hash for before, after in pairwise(entries))
        stored = [text for model in self.models.values() for text in model.stored]
        assert sorted(entry.text for entry in entries) == sorted(stored)


def follow(book: Book, day: list[Any]) -> Shop:
    shop = Shop(book)
    for act in day:
        shop.do(act)
    shop.has_no_gap()
    shop.accounts_for_every_number_once()
    shop.keeps_all_bytes()
    return shop


# One book for all examples: each has devices of its own, and the book only grows.
@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(DAYS)
def test_lg3_lg4_lg5_lg6_lg8_every_answer_is_what_the_rules_say_and_every_number_is_there_once(
    book: Book, day: list[Any]
) -> None:
    follow(book, day)


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(DAYS)
def test_lg5_lg6_when_everybody_has_sent_everything_nothing_is_missing_or_twice(book: Book, day: list[Any]) -> None:
    shop = follow(book, day)
    shop.heal()
    shop.has_no_gap()
    shop.accounts_for_every_number_once()
    shop.keeps_all_bytes()
    for copy in shop.copies:
        answered = shop.models[copy.phone.id].said
        assert all(sent.text in answered[sent.number] for sent in copy.sent)
    assert shop.findings() == []
