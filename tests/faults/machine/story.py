"""What happened, in plain words, and how many decisions of the world it took."""

from collections import Counter


class Story:
    """One line an event. A failing story is told whole."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.steps: Counter[str] = Counter()

    def tell(self, line: str) -> None:
        self.lines.append(line)

    def count(self, kind: str, number: int = 1) -> None:
        """A step is one decision of the world: a person's act, a request's fate, a commit let through or not, …"""
        if number:
            self.steps[kind] += number

    @property
    def total(self) -> int:
        return self.steps.total()

    def text(self) -> str:
        return "\n".join(f"{number:4}. {line}" for number, line in enumerate(self.lines, 1))


class Fault(AssertionError):
    """A promise is broken. The message carries the story."""

    def __init__(self, words: str, story: Story) -> None:
        super().__init__(f"{words}\n\nThe story:\n{story.text()}\n\nThe end of it: {words}")
        self.words = words
