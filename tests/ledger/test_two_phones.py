"""Two phones, one shop and a network that loses, repeats, delays and cuts: everybody ends up with the same book.

The phones are models of the app in Python: an outbox, a cursor, nothing else. What the network does is drawn by
hypothesis. At the end the network is good again, and nothing may be lost, doubled or different (LG3, LG5 to LG9).
"""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, consumes, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run

from standbook.ledger.counter import chained
from standbook.ledger.models import NO_HASH
from standbook.ledger.wire import Pulled, Pushed
from tests.ledger.kit import Book, Phone, reading

PHONES = st.integers(0, 1)
CLOCKS = st.sampled_from(["", "2026-11-25T08:00:00.000Z", "1999-01-01T00:00:00Z", "three days off"])
KINDS = st.sampled_from(["reading", "reading", "newer", "broken", "strike", "same id"])


class ModelPhone(Phone):
    """A phone that knows only what answers have told it."""

    def __init__(self, book: Book) -> None:
        super().__init__(book)
        self.next_no = 1  # first number that no answer has settled yet
        self.epoch = ""
        self.log: list[str] = []  # the shop's book as far as it was pulled
        self.answered: dict[int, str] = {}

    def learn(self, pushed: Pushed) -> None:
        """Answers may come late and twice: what was settled once is settled for ever."""
        for answer in pushed.answers:
            if answer.result != "refused":
                settled = {"already": "stored"}.get(answer.result, answer.result)
                assert self.answered.setdefault(answer.device_no, settled) == settled
        self.next_no = max(self.next_no, pushed.next_no)

    def take(self, pulled: Pulled, after: int) -> None:
        """A page counts only where it fits the cursor; an old one that comes late is dropped."""
        if after == len(self.log) and not pulled.reset:
            self.epoch = pulled.epoch
            self.log.extend(entry.text for entry in pulled.entries)


class World(RuleBasedStateMachine):
    template: Path
    folder: Path
    made = 0

    requests = Bundle("requests")  # pushes that the network has taken and not yet delivered
    replies = Bundle("replies")  # answers on their way back
    pages = Bundle("pages")

    @initialize()
    def start(self) -> None:
        World.made += 1
        self.data = self.folder / str(World.made)
        shutil.copytree(self.template, self.data)
        self.book = Book(self.data)
        self.phones = [ModelPhone(self.book), ModelPhone(self.book)]

    @rule(which=PHONES, kinds=st.lists(KINDS, min_size=1, max_size=4))
    def record(self, which: int, kinds: list[str]) -> None:
        for kind in kinds:
            self.record_one(which, self.phones[which], kind)

    def record_one(self, which: int, phone: ModelPhone, kind: str) -> None:
        number = len(phone.texts) + 1
        if kind == "broken":
            phone.keep(f"broken {which} {number}")
        elif kind == "newer":
            phone.write("kind of tomorrow", body={"v": 3, "n": 1e-7}, later=[number])
        elif kind in ("strike", "same id") and phone.texts and phone.texts[0].startswith("{"):
            self.point_back(phone, kind, json.loads(phone.texts[0])["id"])
        else:
            phone.write(body=reading(f"2.{which}{number:03d}"), seen=len(phone.log))

    def point_back(self, phone: ModelPhone, kind: str, first: str) -> None:
        if kind == "strike":
            phone.write("struck_out", body={"v": 1, "target": first, "reason": "wrong"})
        else:
            phone.write(id=first, body=reading(f"9.{len(phone.texts):03d}"))

    @rule(target=requests, which=PHONES, back=st.integers(-3, 4), most=st.integers(1, 7), now=CLOCKS)
    def ask_to_push(self, which: int, back: int, most: int, now: str) -> Any:
        """From where the phone thinks it is, from further back, or with a gap."""
        phone = self.phones[which]
        from_no = max(1, phone.next_no - back)
        return which, from_no, list(phone.texts[from_no - 1 :][:most]), now

    @rule(target=replies, request=requests)
    def deliver(self, request: Any) -> Any:
        """Any taken request, in any order, as often as it likes; what is never delivered is lost."""
        which, from_no, texts, now = request
        return which, self.phones[which].push(from_no, texts, now=now)

    @rule(reply=consumes(replies))
    def hear(self, reply: Any) -> None:
        which, pushed = reply
        self.phones[which].learn(pushed)

    @rule(target=pages, which=PHONES, limit=st.integers(1, 5))
    def ask_to_pull(self, which: int, limit: int) -> Any:
        phone = self.phones[which]
        after = len(phone.log)
        return which, after, self.book.pull(after, phone.epoch, limit, phone.id)

    @rule(page=pages)
    def turn_page(self, page: Any) -> None:
        which, after, pulled = page
        self.phones[which].take(pulled, after)

    @rule()
    def restart_the_server(self) -> None:
        self.book.close()
        self.book = Book(self.data)
        for phone in self.phones:
            phone.book = self.book

    @invariant()
    def the_book_has_no_gaps_and_only_what_was_written(self) -> None:
        entries = self.book.pull().entries if hasattr(self, "book") else []
        head = NO_HASH
        for number, entry in enumerate(entries, 1):
            assert (entry.seq, entry.prev, entry.hash) == (number, head, chained(head, entry.text))
            head = entry.hash
        texts = [entry.text for entry in entries]
        assert len(texts) == len(set(texts))
        assert set(texts) <= {text for phone in getattr(self, "phones", []) for text in phone.texts}

    def teardown(self) -> None:
        if hasattr(self, "book"):
            self.heal()
            self.everybody_has_the_same_book()
            self.book.close()
            shutil.rmtree(self.data)

    def heal(self) -> None:
        """The network is good again: every phone sends until the shop wants nothing more, then reads on to the end."""
        for phone in self.phones:
            phone.next_no = phone.send(from_no=len(phone.texts) + 1).next_no
            phone.learn(phone.send(from_no=phone.next_no))
            # What was answered before but never heard.
            phone.learn(phone.send())
        for phone in self.phones:
            phone.take(self.book.pull(len(phone.log), phone.epoch), len(phone.log))

    def everybody_has_the_same_book(self) -> None:
        book = self.book.texts()
        for phone in self.phones:
            assert phone.log == book
            assert sorted(phone.answered) == list(range(1, len(phone.texts) + 1))
            stored = [
                phone.texts[number - 1] for number in sorted(phone.answered) if phone.answered[number] == "stored"
            ]
            assert [text for text in book if text in phone.texts] == stored
        asides = self.book.ledger.asides()
        kept = [aside["text"] for aside in (*asides.held, *asides.conflicts)]
        written = [text for phone in self.phones for text in phone.texts]
        assert sorted(book + kept) == sorted(written)
        assert self.book.ledger.check().findings == []


def test_lg3_lg5_lg6_lg7_lg8_two_phones_and_a_hostile_network_end_up_with_the_same_book(
    template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(World, "template", template, raising=False)
    monkeypatch.setattr(World, "folder", tmp_path, raising=False)
    run(World, settings=settings(max_examples=40, stateful_step_count=40))
