"""Builds as the server's own brain sees them. Kept inside and grown by what the book gained since."""

import gc
import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

from sqlalchemy import Connection, func, select

from standbook.errors import Problem
from standbook.ledger.blobs import BlobStore
from standbook.ledger.brain import Brain, new_build, use_table
from standbook.ledger.counter import Counter, read_counter, the_shop
from standbook.ledger.models import Entry
from standbook.people.roster import authors
from standbook.trade.plain import Refusal

log = logging.getLogger(__name__)
State = dict[str, Any]


class Open(NamedTuple):
    """A build as it is kept, up to and with the shop's entry `seq`."""

    build: Brain
    seq: int


@contextmanager
def uncollected() -> Iterator[None]:
    """Without looks for garbage: a book that grows is nearly all there to stay, and each look goes over all of it."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


class Builds:
    """State and steps of every build. One at a time: the brain is quick, and its objects are not made for threads."""

    def __init__(self, store: BlobStore) -> None:
        self._store = store
        self._lock = threading.Lock()
        self._open: dict[str, Open] = {}
        self._epoch = ""
        self._names: dict[str, str] = {}

    def state(self, connection: Connection, build: str) -> State:
        """Raises Problem unknown_build."""
        with self._up_to_date(connection, build) as brain:
            return dict(brain.state())

    def step(self, connection: Connection, build: str, step: str) -> State:
        """Raises Problem unknown_build or unknown_step."""
        with self._up_to_date(connection, build) as brain:
            try:
                return dict(brain.step(step))
            except Refusal as refusal:
                raise Problem("unknown_step", step=step) from refusal

    def hold(self, connection: Connection, build: str, hold: str) -> State:
        """Raises Problem unknown_build or unknown_hold."""
        with self._up_to_date(connection, build) as brain:
            try:
                return dict(brain.hold(hold))
            except Refusal as refusal:
                raise Problem("unknown_hold", hold=hold) from refusal

    def refuse_unknown(self, connection: Connection, build: str) -> None:
        """Raises Problem unknown_build, without working the build out."""
        query = select(Entry.seq).where(Entry.shop == the_shop(connection), Entry.build == build).limit(1)
        if connection.execute(query).first() is None:
            raise Problem("unknown_build", build=build)

    def board(self, connection: Connection) -> list[State]:
        """The state of every build, last touched first."""
        shop = the_shop(connection)
        latest = func.max(Entry.seq)
        query = select(Entry.build).where(Entry.shop == shop).group_by(Entry.build).order_by(latest.desc())
        return [self._state_or_trouble(connection, row.build) for row in connection.execute(query).all()]

    def whole(self, connection: Connection) -> list[State]:
        """Every build with all its steps, as the screens see it."""
        return [self._with_steps(connection, state) for state in self.board(connection)]

    def _with_steps(self, connection: Connection, state: State) -> State:
        if state["trouble"]:
            return state
        names = [step["id"] for stage in state["stages"] for step in stage["steps"]]
        return {**state, "steps": [self.step(connection, state["build"], name) for name in names]}

    def _state_or_trouble(self, connection: Connection, build: str) -> State:
        """One build that the brain cannot work out may not take the others off the board."""
        try:
            return {**self.state(connection, build), "trouble": None}
        except Exception:
            log.exception("build %s could not be worked out", build)
            self._forget(build)
            return {"build": build, "trouble": "This build could not be worked out. Its entries are safe in the book."}

    def _forget(self, build: str) -> None:
        with self._lock:
            self._open.pop(build, None)

    @contextmanager
    def _up_to_date(self, connection: Connection, build: str) -> Iterator[Brain]:
        shop = the_shop(connection)
        with self._lock, uncollected():
            self._start_anew_if_changed(connection, read_counter(connection, shop))
            brain = self._grown(connection, shop, build)
            self._hand_over_limits(brain)
            yield brain

    def _start_anew_if_changed(self, connection: Connection, counter: Counter) -> None:
        """Another book (LG9), or people who are called otherwise: what was kept speaks of what is gone."""
        names = {author.id: author.name for author in authors(connection, counter.shop).values()}
        if (counter.epoch, names) != (self._epoch, self._names):
            self._open.clear()
            self._epoch, self._names = counter.epoch, names

    def _grown(self, connection: Connection, shop: str, build: str) -> Brain:
        kept = self._open.get(build) or Open(new_build(build, self._names), 0)
        columns = select(Entry.seq, Entry.text).where(Entry.shop == shop, Entry.build == build)
        seq = kept.seq
        for row in connection.execute(columns.where(Entry.seq > kept.seq).order_by(Entry.seq)):
            kept.build.add(row.text, row.seq)
            seq = row.seq
        if seq == 0:
            raise Problem("unknown_build", build=build)
        self._open[build] = Open(kept.build, seq)
        return kept.build

    def _hand_over_limits(self, brain: Brain) -> None:
        """A build keeps the table of limits that it was opened with, also when the brain has a newer one."""
        if brain.facts().needs_blob():
            sha256 = brain.facts().defaults()
            try:
                use_table(sha256, self._store.get(sha256).decode())
            except Problem:
                return  # the state itself then says that the limits are not here yet
            brain.refresh()
