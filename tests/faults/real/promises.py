"""What the screens of the phones have said, and what must therefore be on their disks and at the shop."""

import json
import re
from collections import Counter
from collections.abc import Iterable
from typing import Any, NamedTuple

from tests.faults.real.network import Line
from tests.faults.real.server import Kept

MARK = re.compile(r'"trade_version":"([^"]+)"')
NOTE = re.compile(r'"note":"(b/s/p\d) (\d+)"')


class Broken(AssertionError):
    """A promise that was not kept."""


class Saved(NamedTuple):
    """An entry that a screen called saved."""

    mark: str
    device: str
    device_no: int
    text: str
    photo: str | None
    blob: str | None


def mark_of(text: str) -> str:
    found = MARK.search(text)
    return found[1] if found else text


class Phone:
    """One phone as its screens have told of it."""

    def __init__(self, line: Line) -> None:
        self.line = line
        self.name = line.name
        self.heard = 0
        self.lives = 0
        #: Its first life since its storage was cleared.
        self.first_life = 1
        self.device: str | None = None
        self.before: dict[str, Any] | None = None
        #: The next of its numbers that nobody has looked at on its disk.
        self.next_no = 1
        self.saved: dict[str, Saved] = {}
        #: Marks of entries that were seen on the disk, saved or not: they are as good as saved.
        self.on_disk: dict[str, str] = {}
        #: The latest digit that each half-typed field was called kept with, and the latest that became an entry.
        self.typed: dict[str, int] = {}
        self.entered: dict[str, int] = {}
        self.refused: Counter[str] = Counter()
        self.acts = 0

    def news(self) -> list[dict[str, Any]]:
        """What its page has said since the last look."""
        told = self.line.told[self.heard :]
        self.heard += len(told)
        return told

    def is_alive(self) -> bool:
        """The page of its present life is up."""
        return any(news["what"] in ("alive", "broken") and news["life"] == self.life for news in self.line.told)

    @property
    def life(self) -> str:
        return f"{self.name}{self.lives}"

    def listen(self) -> None:
        """Takes in what was said; fails where a page came back to a disk that lacks what was promised."""
        for news in self.news():
            if news["what"] == "saved":
                self.note_saved(news)
            elif news["what"] == "typed":
                self.note_typed(news)
            elif news["what"] == "refused":
                self.acts += 1
                self.refused[news["why"]] += 1
            elif news["what"] == "alive":
                self.come_back(news)
            else:
                raise Broken(f"{self.name}: {news}")

    def note_typed(self, news: dict[str, Any]) -> None:
        self.acts += 1
        if self.remembers(news):
            self.typed[news["key"]] = max(news["digit"], self.typed.get(news["key"], 0))

    def remembers(self, news: dict[str, Any]) -> bool:
        """Whether it was said since the storage was cleared: last words of an earlier life may come late."""
        return int(news["life"].removeprefix(self.name)) >= self.first_life

    def note_saved(self, news: dict[str, Any]) -> None:
        self.acts += 1
        text = news["text"]
        entry = json.loads(text)
        blob = entry["body"]["shown"] if entry["kind"] == "step_signed" else None
        device, number = entry["device"], news["device_no"]
        self.saved[news["mark"]] = Saved(news["mark"], device, number, text, news.get("photo"), blob)
        if self.remembers(news):
            self.note_entered(text)
        if device == self.device and number < self.next_no and self.on_disk.get(news["mark"]) != text:
            raise Broken(f"{self.name}: {news['mark']} was called saved and is not on its disk")

    def note_entered(self, text: str) -> None:
        for key, digit in NOTE.findall(text):
            self.entered[key] = max(int(digit), self.entered.get(key, 0))

    def made(self) -> int:
        """The highest number that it has called saved as what it is now."""
        return max((one.device_no for one in self.saved.values() if one.device == self.device), default=0)

    # A page that has come back

    def come_back(self, news: dict[str, Any]) -> None:
        if self.device not in (None, news["device"]):
            raise Broken(f"{self.name} is {news['device']} and was {self.device}: {news['before']}")
        self.device, self.before = news["device"], news["before"]
        self.rows_follow(news["rows"])
        for row in news["rows"]:
            self.on_disk[mark_of(row["text"])] = row["text"]
            self.note_entered(row["text"])
        self.saved_is_there(news["rows"])
        self.drafts_are_there(news["drafts"])
        self.next_no += len(news["rows"])

    def rows_follow(self, rows: list[dict[str, Any]]) -> None:
        """LG5: its numbers have no gap, and no entry is there twice."""
        numbers = [row["device_no"] for row in rows]
        if numbers != list(range(self.next_no, self.next_no + len(rows))):
            raise Broken(f"{self.name}: after {self.next_no - 1} its disk has the numbers {numbers}")
        twice = [mark for mark, count in Counter(mark_of(row["text"]) for row in rows).items() if count > 1]
        if twice or any(mark_of(row["text"]) in self.on_disk for row in rows):
            raise Broken(f"{self.name}: entries are on its disk twice: {twice}")

    def saved_is_there(self, rows: list[dict[str, Any]]) -> None:
        last = self.next_no + len(rows) - 1
        for saved in self.saved.values():
            if saved.device != self.device or saved.device_no < self.next_no:
                continue
            if saved.device_no > last or self.on_disk.get(saved.mark) != saved.text:
                raise Broken(f"{self.name}: {saved.mark} was called saved and is not on its disk: {saved}")

    def drafts_are_there(self, drafts: dict[str, int | None]) -> None:
        """LG14: a digit that was called kept is there, or the entry that it became; never neither of them."""
        for key, digit in drafts.items():
            kept, entered = self.typed.get(key, 0), self.entered.get(key, 0)
            if (digit or 0) < kept and entered < kept:
                raise Broken(f"{self.name}: {key} was left at {kept}, has {digit}, and {entered} became an entry")
            if digit is not None and digit <= entered:
                raise Broken(f"{self.name}: {key} has {digit} half typed, which is an entry already ({entered})")

    def cleared(self) -> None:
        """Its storage is gone: it is another device, which knows what it was."""
        self.device = None
        self.first_life = self.lives + 1
        self.next_no = 1
        self.typed.clear()
        self.entered.clear()

    # The shop

    def answered(self) -> dict[str, int]:
        """Of each device: the highest number that the shop has called stored, held back or in conflict."""
        highest: dict[str, int] = {}
        for push in self.line.pushes:
            done = [answer["device_no"] for answer in push.answers or [] if answer["result"] != "refused"]
            if done:
                highest[push.device] = max(highest.get(push.device, 0), *done)
        return highest

    def ends(self) -> dict[str, set[int]]:
        """Of each device: the numbers with which a push has ended; a whole batch ends there or is not there at all."""
        ends: dict[str, set[int]] = {}
        for push in self.line.pushes:
            ends.setdefault(push.device, {0}).add(push.last)
        return ends


def no_half_batch(phones: Iterable[Phone], counts: dict[str, tuple[int, int]]) -> None:
    """After a death: what the shop had answered is there; of each device whole batches are there, and nothing else."""
    answered: Counter[str] = Counter()
    ends: dict[str, set[int]] = {}
    for phone in phones:
        for device, number in phone.answered().items():
            answered[device] = max(answered[device], number)
        for device, numbers in phone.ends().items():
            ends.setdefault(device, {0}).update(numbers)
    for device, (next_no, entries) in counts.items():
        if entries != next_no - 1:
            raise Broken(f"the shop has {entries} entries of {device} and waits for number {next_no}")
        if next_no - 1 not in ends.get(device, {0}):
            raise Broken(
                f"the shop has half a batch of {device}: up to {next_no - 1}, batches end at {ends.get(device)}"
            )
    lost = {device: number for device, number in answered.items() if counts.get(device, (1, 0))[0] <= number}
    if lost:
        raise Broken(f"the shop has called entries stored that it does not have: {lost} of {counts}")


def once_each(saved: Iterable[Saved], kept: list[Kept], excused: set[str]) -> None:
    """Everything that a screen called saved is at the shop exactly once, byte for byte."""
    there: dict[str, list[Kept]] = {}
    for row in kept:
        there.setdefault(mark_of(row.text), []).append(row)
    twice = {mark: rows for mark, rows in there.items() if len(rows) > 1}
    if twice:
        raise Broken(f"at the shop more than once: {list(twice.values())[:3]}")
    for one in saved:
        rows = there.get(one.mark, [])
        if not rows and one.mark not in excused:
            raise Broken(f"{one.mark} was called saved and is not at the shop: {one}")
        if rows and rows[0].text != one.text:
            raise Broken(f"{one.mark} has other bytes at the shop: {rows[0].text} instead of {one.text}")
