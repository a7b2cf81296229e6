"""A fault planted into the sources: what to replace by what, and which tests have to notice."""

from pathlib import Path
from typing import NamedTuple


class Moved(Exception):
    """The sources have moved on: a mutant's old text is not where it was, so that the mutant tests nothing."""


class Edit(NamedTuple):
    """In the file at `path` (from the checkout's root) `old` stands exactly once, and `new` takes its place."""

    path: str
    old: str
    new: str


class Mutant(NamedTuple):
    """`rule`: the ledger's rule that it breaks, "sync" or "key". `tests`: each names a file and, after `::`, a test."""

    rule: str
    words: str
    edits: tuple[Edit, ...]
    tests: tuple[str, ...]

    @property
    def name(self) -> str:
        return f"{self.rule}: {self.words}"

    @property
    def of_the_client(self) -> bool:
        return self.tests[0].startswith("webclient/")


def mutant(rule: str, words: str, path: str, old: str, new: str, *tests: str) -> Mutant:
    """The usual one: a single edit."""
    return Mutant(rule, words, (Edit(path, old, new),), tests)


def faulty(root: Path, edits: tuple[Edit, ...]) -> dict[str, str]:
    """The texts of the files below `root` with the fault in them, by path. Raises Moved."""
    texts: dict[str, str] = {}
    for edit in edits:
        text = texts.get(edit.path) or (root / edit.path).read_text(encoding="utf-8")
        found = text.count(edit.old)
        if found != 1:
            raise Moved(f"{edit.path}: this stands there {found} times and not once:\n{edit.old}")
        texts[edit.path] = text.replace(edit.old, edit.new)
    return texts
