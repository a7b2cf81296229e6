"""The fold: entries of one build, in any order of arrival, to what counts.

Order is pulled entries by seq, then own unsent ones by device number (LG11). What a place says is a function of the
set of its entries alone, so feeding them one by one, twice, or backwards comes to the same.
"""

from . import plain
from .entry import InOrder, entry_of, is_known, learnt
from .fold import Fold

NOWHERE = {}


class Book:
    """Entries of one build, found by kind and by place."""

    def __init__(self, build):
        self.build = build
        #: Ids of entries of kinds and body versions that this version does not read: kept and counted (LG12).
        self.kept = []
        self._changes = {}
        self._struck = None
        self._all = InOrder()
        self._by_id = {}
        self._kinds = {}
        self._steps = {}
        self._places = {}
        #: (step, place) -> the lists that a reading of that place belongs to.
        self._reading_lists = {}
        self._folds = {}
        #: Id of a reading -> what `Fold` made of it: number and reading step, (None, None) of words, () of mere ink.
        self._read = {}
        self._gauges = {}

    def add(self, data, seq):
        """Takes a parsed entry, gives it as the book holds it. None: another build's."""
        return self.take(entry_of(data, seq)) if data["build"] == self.build else None

    def empty(self):
        """Nobody looks at it again: its long lists go at once, or one that seems to be meant holds all entries."""
        self._by_id.clear()
        self._read.clear()
        for lists in self._reading_lists.values():  # any order: each is emptied
            for listed in lists:
                listed.added.clear()

    def take(self, entry):
        """Takes an entry of this build, gives it as the book holds it; the same id again learns its seq."""
        known = self._by_id.get(entry.id)
        if known is None:
            self._insert(entry)
        elif entry.seq is not None and entry.seq != known.seq:
            entry = self._learn(known, entry.seq)
        else:
            entry = known
        self._forget(entry)
        return entry

    def _insert(self, entry):
        self._by_id[entry.id] = entry
        known = is_known(entry)
        if not known:
            self.kept.append(entry.id)
        elif entry.kind == "reading":
            self._join_gauge(entry.body)
        if known and entry.why == "part_changed":
            self._changes.setdefault(entry.step, []).append(entry)
        lists = self._lists_for(entry, known)
        if not self._all.ends_before(entry):
            for listed in lists:
                listed.moved()
        for listed in lists:
            listed.added.append(entry)

    def _learn(self, known, seq):
        entry = self._by_id[known.id] = learnt(known, seq)
        for listed in self._lists_for(entry, is_known(entry)):
            listed.replace(known, entry)
        changes = self._changes.get(entry.step, ())
        if known in changes:
            changes[changes.index(known)] = entry
        return entry

    def _join_gauge(self, body):
        """Equal gauges are one: a shop has few, and who looks at many readings looks at each gauge once."""
        gauge = body.get("instrument")
        if not gauge:
            return
        alike = self._gauges.get(gauge["id"])
        if alike is None:
            self._gauges[gauge["id"]] = [gauge]
        elif alike[0] is not gauge:
            same = [known for known in alike if known == gauge]
            body["instrument"] = same[0] if same else gauge
            if not same:
                alike.append(gauge)

    def _lists_for(self, entry, known):
        if not known:
            return (self._all,)
        if entry.kind != "reading":
            return (self._all, _list_at(self._kinds, entry.kind))
        where = (entry.step, entry.place)
        if where not in self._reading_lists:
            self._reading_lists[where] = self._lists_of_place(entry)
        return self._reading_lists[where]

    def _lists_of_place(self, entry):
        kind, step = _list_at(self._kinds, entry.kind), _list_at(self._steps, entry.step)
        return (self._all, kind, step, _list_at(self._places.setdefault(entry.step, {}), entry.place))

    def _forget(self, entry):
        """Drops the folds that this entry touches: a strike can hit any place, a changed part its whole step."""
        if entry.kind == "struck_out":
            self._struck = None
        if not self._folds:
            return
        target = self._by_id.get(entry.body.get("target", "")) if entry.kind == "struck_out" else entry
        if target is None:
            return
        if target.why == "part_changed":
            self._folds = {key: self._folds[key] for key in plain.in_order(self._folds) if key[0] != target.step}
        self._folds.pop((target.step, target.place), None)

    def count(self):
        return len(self._by_id)

    def entry(self, entry_id):
        return self._by_id.get(entry_id)

    def of_kind(self, kind):
        """Entries of a kind in order."""
        return _all(self._kinds.get(kind))

    def last(self):
        """The latest entry of all, None in an empty book."""
        entries = self._all.all()
        return entries[-1] if entries else None

    def readings(self, step, place):
        """Readings of a place in order."""
        return _all(self.places_read(step).get(place))

    def places_read(self, step):
        """The places of a step at which something was ever read, as keys; nobody changes it."""
        return self._places.get(step, NOWHERE)

    def step_readings(self, step):
        """All readings of a step in order."""
        return _all(self._steps.get(step))

    def strikes(self):
        """Id of a reading or picture -> the entry that struck it out (the first one)."""
        if self._struck is None:
            self._struck = {}
            for entry in self.of_kind("struck_out"):
                self._struck.setdefault(entry.body["target"], entry)
        return self._struck

    def count_live(self, step, places):
        """How many readings at these places of a step are not struck out."""
        struck = self.strikes()
        return len([entry for place in places for entry in self.readings(step, place) if entry.id not in struck])

    def fold(self, step, place, steps):
        """The place's fold, kept until an entry touches it. `steps`: how many gauge steps two readings may differ."""
        key = (step, place.id)
        if key not in self._folds:
            self._folds[key] = self.fold_with(step, place, steps, ())
        return self._folds[key]

    def fold_with(self, step, place, steps, more):
        """The same with more readings laid on top, which are not in the book."""
        readings = list(self.readings(step, place.id)) + list(more)
        changes = [r for r in self._changes.get(step, ()) if r.place in place.mates]
        for reading in more:
            self._read.pop(reading.id, None)
        return Fold(readings, self.strikes(), changes, place, steps, self._read)


def _list_at(lists, key):
    if key not in lists:
        lists[key] = InOrder()
    return lists[key]


def _all(listed):
    return () if listed is None else listed.all()
