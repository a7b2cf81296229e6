"""How often each torque wrench of the shop was pulled since its calibration, by the book.

A reading with it is a pull, unless the reading says itself how many it was: a whole pass, or none. Also a reading that
was struck out later was one. Kept inside and grown by what the book gained since.
"""

import threading
from collections import defaultdict
from typing import Any

import msgspec
from sqlalchemy import Connection, or_, select

from standbook import clock
from standbook.ledger.brain import MOST_PULLS, gauge_notes, is_used_up, torque_kinds
from standbook.ledger.counter import read_counter
from standbook.ledger.models import Entry
from standbook.people import instruments


class Gauge(msgspec.Struct):
    id: str
    kind: str


class Body(msgspec.Struct):
    value: Any = None
    instrument: Gauge | None = None
    pulls: int = 1


class Reading(msgspec.Struct):
    """What a pull is read from; everything else of the entry is passed over."""

    made_at: str
    body: Body


class Pulls:
    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._epoch, self._seq = "", 0
        #: Gauge id -> the day of each pull.
        self._days: dict[str, list[str]] = defaultdict(list)

    def gauges_in_use(self, connection: Connection, shop: str) -> list[dict[str, Any]]:
        """The shop's gauges in the form of the brain's Instrument, a wrench with too many pulls marked as used up."""
        return [self._marked(connection, shop, gauge) for gauge in instruments.in_use(connection, shop)]

    def kept(self, connection: Connection, shop: str) -> list[dict[str, Any]]:
        """Every gauge as the desk shows it: with its history, its pulls, and what the brain says of it today."""
        rows = [{**row, "pulls": self._since(connection, shop, row)} for row in instruments.all_of(connection, shop)]
        told = gauge_notes([self._marked(connection, shop, in_full(row)) for row in rows], clock.now_stamp())
        return [{**row, "words": told[row["id"]]["words"], "overdue": told[row["id"]]["overdue"]} for row in rows]

    def _marked(self, connection: Connection, shop: str, gauge: dict[str, Any]) -> dict[str, Any]:
        pulls = self._since(connection, shop, gauge)
        plain = {name: gauge[name] for name in gauge if name != "calibrated_on"}
        return {**plain, "used_up": True} if pulls is not None and is_used_up(pulls) else plain

    def _since(self, connection: Connection, shop: str, gauge: dict[str, Any]) -> int | None:
        """Pulls since the day of its calibration, that day counted; None for what is no torque wrench."""
        if gauge["kind"] not in torque_kinds():
            return None
        with self._lock:
            self._grow(connection, shop)
            return sum(day >= (gauge["calibrated_on"] or "") for day in self._days[gauge["id"]])

    def _grow(self, connection: Connection, shop: str) -> None:
        counter = read_counter(connection, shop)
        if counter.epoch != self._epoch:
            self._days.clear()
            self._epoch, self._seq = counter.epoch, 0
        query = select(Entry.seq, Entry.text).where(Entry.shop == shop, Entry.kind == "reading", Entry.seq > self._seq)
        named = or_(*[Entry.text.contains(kind, autoescape=True) for kind in torque_kinds()])
        for row in connection.execute(query.where(named).order_by(Entry.seq)):
            self._take(row.text)
        self._seq = counter.last_seq

    def _take(self, text: str) -> None:
        try:
            reading = msgspec.json.decode(text, type=Reading)
        except (msgspec.MsgspecError, ValueError):
            return  # A reading of a form that is not known here names no wrench that is.
        gauge = reading.body.instrument
        if gauge and gauge.kind in torque_kinds() and reading.body.value is not None:
            self._days[gauge.id] += [reading.made_at[:10]] * min(reading.body.pulls, MOST_PULLS)


def in_full(row: dict[str, Any]) -> dict[str, Any]:
    return {**instruments.as_brain_has_it(row), "calibrated_on": row["calibrated_on"]}
