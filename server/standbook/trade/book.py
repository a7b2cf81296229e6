"""The fold: entries of one build, in any order of arrival, to what counts.

Order is pulled entries by seq, then own unsent ones by device number (LG11). What a place says is a function of the
set of its entries alone, so feeding them one by one, twice, or backwards comes to the same.
"""

from . import plain
from .entries import KINDS
from .fold import Fold
from .inorder import InOrder

UNSENT = 1
SENT = 0
NOWHERE = {}


class Entry:
    """One entry as the book holds it: the parsed text and the shop's number, None while it is only on this phone."""

    #: Of a reading, once its place has read it: whether it makes sense there, its number and its reading step.
    readable = number = reading_step = None
    #: The book's lists that hold it.
    lists = ()

    def __init__(self, data, seq):
        self.data = data
        self.id = data["id"]
        self.kind = data["kind"]
        self.step = data.get("step")
        self.place = data.get("place")
        self.why = data.get("why")
        self.body = data["body"]
        self.person = data["person"]
        self.device = data["device"]
        self.made_at = data["made_at"]
        #: Whether this version reads the entry's kind and body; what a newer app wrote is only kept (LG12).
        self.known = self.kind in KINDS and self.body["v"] == 1
        self.learn(seq)

    def learn(self, seq):
        """The shop's number for this entry, which settles its place in the order."""
        self.seq = seq
        #: Sort key: the shop's order, then own unsent.
        self.rank = (UNSENT, self.data["device_no"], self.device, self.id) if seq is None else (SENT, seq, "", self.id)

    def saw(self, other):
        """Whether this entry's maker had the other one before him (LG11)."""
        if self.device == other.device:
            return other.data["device_no"] < self.data["device_no"]
        return other.seq is not None and other.seq <= self.data["seen"]


class Book:
    """Entries of one build, found by kind and by place."""

    def __init__(self, build):
        self.build = build
        #: Entries of kinds and body versions that this version does not read: kept and counted (LG12).
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
        self._gauges = {}

    def add(self, data, seq):
        """Takes an entry, gives it as the book holds it; the same id again learns its seq. None: another build's."""
        if data["build"] != self.build:
            return None
        entry = self._by_id.get(data["id"])
        if entry is None:
            entry = Entry(data, seq)
            self._insert(entry)
        elif seq is not None and seq != entry.seq:
            entry.learn(seq)
            for listed in entry.lists:
                listed.moved()
        self._forget(entry)
        return entry

    def _insert(self, entry):
        self._by_id[entry.id] = entry
        if entry.known and entry.kind == "reading" and entry.body.get("instrument"):
            entry.body["instrument"] = self._gauge(entry.body["instrument"])
        entry.lists = self._lists_for(entry)
        for listed in entry.lists:
            listed.add(entry)
        if not entry.known:
            self.kept.append(entry)
        elif entry.why == "part_changed":
            self._changes.setdefault(entry.step, []).append(entry)

    def _gauge(self, gauge):
        """The same for equal ones: a shop has few gauges, and who looks at many readings looks at each gauge once."""
        alike = self._gauges.setdefault(gauge["id"], [])
        for known in alike:
            if known == gauge:
                return known
        alike.append(gauge)
        return gauge

    def _lists_for(self, entry):
        if not entry.known:
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
        changes = [r for r in self._changes.get(step, []) if r.place in place.mates]
        return Fold(readings, self.strikes(), changes, place, steps)


def _list_at(lists, key):
    if key not in lists:
        lists[key] = InOrder()
    return lists[key]


def _all(listed):
    return () if listed is None else listed.all()
