"""The lint of the trade package: what CPython and MicroPython do apart never enters it unseen.

    python -m tests.checks.trade_lint        prints findings, exits 1 when there are any

The same files run on the server (CPython) and on the phone (MicroPython). Some constructs fail there at
once; the dangerous ones run and answer differently: dict order, `sorted`, `round`, number formats, `sum`,
`strip()`. `plain.py` is the one file that may use them, since it exists to make both answer alike.

A line that walks a dict or set in whatever order it comes may say why that is harmless:
``# any order: <reason>``. A mark that excuses nothing is itself a finding.
"""

import ast
import sys
import tokenize
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from tests.checks.trade_order import module_names, walks_of_unordered
from tests.checks.trade_rules import RULES, Hit

TRADE = Path(__file__).parents[2] / "server" / "standbook" / "trade"
MARK = "# any order:"


class Finding(NamedTuple):
    """One fault: where, by which rule, and what to write instead."""

    path: Path
    line: int
    rule: str
    advice: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.rule}: {self.advice}"


def lint_package(folder: Path = TRADE) -> list[Finding]:
    """Findings of every Python file below `folder`, in order."""
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(folder.rglob("*.py"))}
    shared = frozenset(name for tree in trees.values() for name in module_names(tree))
    return [found for path in trees for found in lint_text(path.read_text(encoding="utf-8"), path, shared)]


def lint_text(text: str, path: Path, shared: frozenset[str] = frozenset()) -> list[Finding]:
    """Findings of one source; `shared` names dicts and sets that other modules of the package define."""
    tree = ast.parse(text)
    hits = [hit for rule in RULES for hit in rule(tree, path.name)]
    marks = marked_lines(text)
    walks = list(walks_of_unordered(tree, path.name, shared))
    hits += [hit for hit in walks if hit.line not in marks]
    hits += list(faulty_marks(marks, {hit.line for hit in walks}))
    return sorted({Finding(path, *hit) for hit in hits})


def marked_lines(text: str) -> dict[int, str]:
    """Line number to the reason given after the mark (empty when none is given)."""
    tokens = tokenize.generate_tokens(StringIO(text).readline)
    comments = [token for token in tokens if token.type == tokenize.COMMENT and token.string.startswith(MARK)]
    return {token.start[0]: token.string[len(MARK) :].strip() for token in comments}


def faulty_marks(marks: dict[int, str], needed: set[int]) -> Iterator[Hit]:
    """Marks without a reason, and marks on lines that need none."""
    for line, reason in marks.items():
        if not reason:
            yield Hit(line, "mark-without-reason", f"say after '{MARK}' why any order will do")
        elif line not in needed:
            yield Hit(line, "mark-without-need", "nothing on this line walks a dict or set: remove the mark")


def main() -> int:
    """Print every finding; 1 when there are any."""
    findings = lint_package()
    sys.stdout.write("".join(f"{found}\n" for found in findings))
    return 1 if findings else 0


if __name__ == "__main__":
    raise SystemExit(main())
