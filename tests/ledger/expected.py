"""What a shop should answer, told once more from the rules alone: a small model beside the book (LG3 to LG6, LG9).

It knows neither database nor tables: texts, numbers, and what was said of each.
"""

from typing import NamedTuple

#: As many numbers may somebody who carries for a device leave out at once (LG9).
MOST_MISSING = 1000


class Sent(NamedTuple):
    """An entry on its way. `fate`: what the shop makes of it when nothing else stands against it."""

    number: int
    text: str
    id: str | None
    fate: str


class Model:
    """One device at the shop."""

    def __init__(self, claimed: dict[str, str]) -> None:
        self.next_no = 1
        #: number -> text -> answer
        self.said: dict[int, dict[str, str]] = {}
        self.missing: set[int] = set()
        #: id -> the text that was first with it; of the whole shop
        self.claimed = claimed
        self.stored: list[str] = []

    def push(self, batch: list[Sent], carried: bool) -> list[str]:
        answers: list[str] = []
        for sent in batch:
            behind = "refused" in answers and answers[-1] != "gap"
            answers.append("refused" if behind else self.one(sent, carried))
        return ["refused" if answer == "gap" else answer for answer in answers]

    def one(self, sent: Sent, carried: bool) -> str:
        if sent.number < self.next_no:
            return self.again(sent)
        gap = range(self.next_no, sent.number)
        if gap and not (carried and len(gap) <= MOST_MISSING):
            return "gap"
        self.missing.update(gap)
        self.next_no = sent.number
        return self.fresh(sent)

    def again(self, sent: Sent) -> str:
        before = self.said.get(sent.number, {}).get(sent.text)
        if before:
            return "already" if before == "stored" else before
        return self.fresh(sent) if sent.number in self.missing else self.say(sent, "conflict")

    def fresh(self, sent: Sent) -> str:
        """Its number waits for an entry: the next one, or one that was missing."""
        if sent.fate == "held without an id":
            answer = "held"
        elif self.claimed.get(sent.id or "", sent.text) != sent.text:
            answer = "conflict"
        else:
            answer = sent.fate
        if answer != "refused":
            self.use(sent, answer)
        return answer

    def use(self, sent: Sent, answer: str) -> None:
        self.say(sent, answer)
        self.missing.discard(sent.number)
        self.next_no = max(self.next_no, sent.number + 1)
        if answer != "conflict" and sent.id:
            self.claimed[sent.id] = sent.text
        if answer == "stored":
            self.stored.append(sent.text)

    def say(self, sent: Sent, answer: str) -> str:
        self.said.setdefault(sent.number, {})[sent.text] = answer
        return answer

    def count(self, answer: str) -> list[tuple[int, str]]:
        return sorted((no, text) for no, texts in self.said.items() for text in texts if texts[text] == answer)
