"""A measured figure and the line that tells it."""

import math
import statistics
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

TO = "\N{EN DASH}"


class Ratio(NamedTuple):
    """What was measured over its anchor, pair by pair. `anchor`: the anchor in words."""

    pairs: Sequence[float]
    anchor: str

    @property
    def middle(self) -> float:
        return statistics.median(self.pairs)

    def words(self) -> str:
        low, high = min(self.pairs), max(self.pairs)
        return f"ratio {self.middle:.2f} ({low:.2f}{TO}{high:.2f} of {len(self.pairs)}) to {self.anchor}"


@dataclass(frozen=True)
class Figure:
    """`most` or `least`: the goal, on the ratio where there is one, else on the value in its unit; both None: it only
    informs."""

    name: str
    value: float
    unit: str
    ratio: Ratio | None = None
    most: float | None = None
    detail: Sequence[str] = field(default=())
    least: float | None = None

    @property
    def holds(self) -> bool:
        """Whether the goal is met; judged before anything is rounded."""
        judged = self.ratio.middle if self.ratio else self.value
        return (self.most is None or judged <= self.most) and (self.least is None or judged >= self.least)

    def line(self) -> str:
        parts = [f"{self.name}: {shown(self.value)} {self.unit}"]
        if self.ratio:
            parts.append(self.ratio.words())
        return ", ".join([*parts, self.goal()])

    def goal(self) -> str:
        goals = [f"{sign} {goal:g}" for sign, goal in (("≤", self.most), ("≥", self.least)) if goal is not None]
        if not goals:
            return "no goal"
        unit = "" if self.ratio else f" {self.unit}"
        return f"goal {' and '.join(goals)}{unit}: {'holds' if self.holds else 'falls short'}"


def shown(value: float) -> str:
    """Three digits that count, never an exponent."""
    decimals = max(0, 2 - math.floor(math.log10(abs(value)))) if value else 0
    return f"{value:.{decimals}f}"


def percentile(values: Sequence[float], per_cent: float) -> float:
    """The smallest value that at least so many per cent of all do not exceed (nearest rank)."""
    ordered = sorted(values)
    return ordered[math.ceil(per_cent / 100 * len(ordered)) - 1]


def spread(name: str, values: Sequence[float], unit: str) -> str:
    """A row of repetitions, for whoever wants to look behind the median."""
    middle, low, high = (shown(of(values)) for of in (statistics.median, min, max))
    row = " ".join(shown(value) for value in values)
    return f"  {name}: median {middle} {unit}, {low}{TO}{high} of {len(values)}: {row}"


def tell(figure: Figure, detail: bool) -> None:
    print(figure.line(), flush=True)
    if detail:
        print(*figure.detail, sep="\n", file=sys.stderr, flush=True)
