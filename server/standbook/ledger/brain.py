"""The brain's calls with types: the trade package itself carries only the annotations that MicroPython takes."""

from collections.abc import Callable
from typing import Any, Protocol

from standbook.trade import VERSION
from standbook.trade import build as _build
from standbook.trade import entries as _entries
from standbook.trade import facts as _facts
from standbook.trade import gauges as _gauges
from standbook.trade import instruments as _instruments
from standbook.trade import limits as _limits
from standbook.trade import plain as _plain
from standbook.trade import shop_gauges as _shop_gauges
from standbook.trade import strict_json as _strict_json

__all__ = [
    "DEEPEST",
    "MOST_PULLS",
    "TABLE_SHA256",
    "TABLE_TEXT",
    "VERSION",
    "Brain",
    "check_entry",
    "from_json",
    "gauge_notes",
    "is_used_up",
    "new_build",
    "torque_kinds",
    "use_table",
]


class Brain(Protocol):
    """One build, fed entry by entry. `state`, `step` and `hold` give what the screens show."""

    def add(self, text: str, seq: int | None) -> None: ...

    def state(self) -> dict[str, Any]: ...

    def step(self, step: str) -> dict[str, Any]: ...

    def hold(self, hold: str) -> dict[str, Any]: ...

    def facts(self) -> Any: ...

    def refresh(self) -> None: ...


TABLE_TEXT: str = _limits.TABLE_TEXT
TABLE_SHA256: str = _limits.TABLE_SHA256
# Build id and names by person id.
new_build: Callable[[str, dict[str, str]], Brain] = _build.Build
# Raises Refusal unless the entry is whole.
check_entry: Callable[[dict[str, Any]], None] = _entries.check
# Strict JSON; raises Refusal.
from_json: Callable[[str], Any] = _plain.from_json
# How deep JSON may be for it.
DEEPEST: int = _strict_json.DEEPEST
# A frozen table of limits, by its sha256.
use_table: Callable[[str, str], None] = _facts.use_table
# What to know of each gauge before it is taken, by its id, on a day.
gauge_notes: Callable[[list[dict[str, Any]], str], dict[str, dict[str, Any]]] = _gauges.notes
# Whether a wrench was pulled more often than it may be between calibrations.
MOST_PULLS: int = _entries.MOST_PULLS
is_used_up: Callable[[int], bool] = _shop_gauges.is_used_up


def torque_kinds() -> tuple[str, ...]:
    """Kinds of instrument whose readings are pulls."""
    kinds: tuple[str, ...] = _instruments.TORQUE_KINDS
    return kinds
