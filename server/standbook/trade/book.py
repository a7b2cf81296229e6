"""The fold: entries of one build, in any order of arrival, to what counts.

Order is pulled entries by seq, then own unsent ones by device number (LG11). What a place says is a function of the
set of its entries alone, so feeding them one by one, twice, or backwards comes to the same.
"""

from . import judge, plain, quantity
from .entries import WHY_WORDS

UNSENT = 1
SENT = 0


class Entry:
    """One entry as the book holds it: the parsed text and the shop's number, None while it is only on this phone."""

    def __init__(self, data, seq):
        self.data = data
        self.seq = seq
        self.id = data["id"]
        self.kind = data["kind"]
        self.step = data.get("step")
        self.place = data.get("place")
        self.why = data.get("why")
        self.body = data["body"]
        self.person = data["person"]
        self.device = data["device"]
        self.made_at = data["made_at"]

    def rank(self):
        """Sort key: the shop's order, then own unsent."""
        if self.seq is not None:
            return (SENT, self.seq, "", self.id)
        return (UNSENT, self.data["device_no"], self.device, self.id)

    def saw(self, other):
        """Whether this entry's maker had the other one before him (LG11)."""
        if self.device == other.device:
            return other.data["device_no"] < self.data["device_no"]
        return other.seq is not None and other.seq <= self.data["seen"]


class Book:
    """Entries of one build, found by kind and by place."""

    def __init__(self, build):
        self.build = build
        self._all = []
        self._by_id = {}
        self._kinds = {}
        self._places = {}
        self._folds = {}

    def add(self, text, seq):
        """Takes one entry text; the same id again only learns its seq. Entries of other builds are passed over."""
        data = plain.read_json(text)
        if data["build"] != self.build:
            return
        known = self._by_id.get(data["id"])
        if known is not None:
            known.seq = seq if seq is not None else known.seq
            self._forget(known)
            return
        self._insert(Entry(data, seq))

    def _insert(self, entry):
        self._all.append(entry)
        self._by_id[entry.id] = entry
        self._kinds.setdefault(entry.kind, []).append(entry)
        if entry.kind == "reading":
            self._places.setdefault((entry.step, entry.place), []).append(entry)
        self._forget(entry)

    def _forget(self, entry):
        """A strike can hit any place, and order may have changed: drop the folds that this entry touches."""
        target = self._by_id.get(entry.body.get("target", "")) if entry.kind == "struck_out" else entry
        if target is not None:
            self._folds.pop((target.step, target.place), None)

    def count(self):
        return len(self._by_id)

    def entry(self, entry_id):
        return self._by_id.get(entry_id)

    def of_kind(self, kind):
        """Entries of a kind in order."""
        return plain.in_order(self._kinds.get(kind, []), key=Entry.rank)

    def last(self):
        """The latest entry of all, None in an empty book."""
        latest = None
        for entry in self._all:
            if latest is None or latest.rank() < entry.rank():
                latest = entry
        return latest

    def readings(self, step, place):
        """Readings of a place in order."""
        return plain.in_order(self._places.get((step, place), []), key=Entry.rank)

    def step_readings(self, step):
        """All readings of a step in order."""
        found = [entry for entry in self._kinds.get("reading", []) if entry.step == step]
        return plain.in_order(found, key=Entry.rank)

    def strikes(self):
        """Reading id -> the entry that struck it out (the first one)."""
        struck = {}
        for entry in self.of_kind("struck_out"):
            struck.setdefault(entry.body["target"], entry)
        return struck

    def fold(self, step, place, kind, set_or_found, steps):
        """The place's fold, kept until an entry touches it. `steps`: how many gauge steps two readings may differ."""
        key = (step, place)
        if key not in self._folds:
            self._folds[key] = Fold(self.readings(step, place), self.strikes(), kind, set_or_found, steps)
        return self._folds[key]


class Strike:
    """Why a reading stands struck out; `person` when somebody struck it out."""

    def __init__(self, words, person=None):
        self._words = words
        self._person = person

    def words(self, name):
        """In words; `name` turns a person's id into the name."""
        return self._words if self._person is None else "struck out by " + name(self._person) + self._words


class Fold:
    """What one place says: which readings live, which value is accepted and on which readings it rests.

    Of one live reading, itself; of two within 2 steps, their mean; else the closest agreeing pair, ties to the
    earliest; no pair, none. A *set* value is another matter: setting again replaces what was set before.
    """

    def __init__(self, readings, strikes, kind, set_or_found, steps):
        self.readings = readings
        self.kind = kind
        self.set_or_found = set_or_found
        self.steps = steps
        self.struck = {}
        self._strike(strikes)
        self.live = [r for r in readings if r.id not in self.struck]
        self.not_measured = self._not_measured()
        self.used = []
        self.number = None
        self.typed = None
        self.disagree = self._disagree()
        self.apart = False
        if not self.disagree:
            self._accept([r for r in self.live if r.body["value"] is not None])

    def _strike(self, strikes):
        for reading in self.readings:
            if reading.id in strikes:
                by = strikes[reading.id]
                self.struck[reading.id] = Strike(": " + by.body["reason"], by.person)
        for position, reading in enumerate(self.readings):
            if reading.id in self.struck:
                continue
            if reading.why == "typed_wrong":
                self.struck.setdefault(reading.body["corrects"], Strike("typed wrong, replaced"))
            if reading.why == "part_changed":
                for older in self.readings[:position]:
                    self.struck.setdefault(older.id, Strike("went with the old part"))

    def _not_measured(self):
        last = self.live[-1] if self.live else None
        return last.body["not_measured"] if last is not None and last.body["value"] is None else None

    def _disagree(self):
        """Two *first* readings, neither having seen the other, further apart than the instruments explain (LG11)."""
        firsts = [r for r in self.live if r.why == "first" and r.body["value"] is not None]
        for j in range(len(firsts)):
            for i in range(j):
                if self._apart_unseen(firsts[i], firsts[j]):
                    return True
        return False

    def _apart_unseen(self, one, other):
        if one.saw(other) or other.saw(one):
            return False
        if not self.is_number():
            return one.body["value"]["text"] != other.body["value"]["text"]
        return not judge.agree(
            self._number(one), self._number(other), max(self._step(one), self._step(other)), self.steps
        )

    def is_number(self):
        return self.kind not in ("choice", "flag", "text")

    def _accept(self, valued):
        if not valued:
            return
        if not self.is_number() or self.set_or_found == "set":
            self._take([valued[-1]])
        elif len(valued) == 1:
            self._take(valued)
        else:
            self._take_pair(valued)

    def _take_pair(self, valued):
        numbers = [self._number(r) for r in valued]
        resolution = max([self._step(r) for r in valued])
        pair = judge.closest_pair(numbers, resolution, self.steps)
        if pair is None:
            self.apart = True
            return
        self._take([valued[pair[0]], valued[pair[1]]])

    def _take(self, used):
        self.used = [r.id for r in used]
        first = used[0].body["value"]
        self.typed = first
        if not self.is_number():
            return
        self.number = plain.mean([self._number(r) for r in used])
        if len(used) == 2 and used[1].body["value"] != first:
            places = max([plain.decimals_of(r.body["value"]["text"]) for r in used]) + 1
            self.typed = {
                "text": quantity.text_in(self.kind, self.number, first["unit"], places),
                "unit": first["unit"],
            }

    def _number(self, reading):
        return quantity.typed_value(self.kind, reading.body["value"])

    def _step(self, reading):
        return reading_step(self.kind, reading.body)

    def last_live(self):
        return self.live[-1] if self.live else None

    def next_why(self):
        """The reason with which the next reading of this place is recorded."""
        if not self.live or self.not_measured is not None:
            return "first"
        return "measured_again" if self.set_or_found == "set" else "repeat"


def reading_step(kind, body):
    """Reading step behind one reading, canonical: its instrument's, else its last typed digit."""
    instrument = body.get("instrument")
    if instrument and kind == "length":
        return quantity.typed_value("length", instrument["step"])
    return quantity.typed_step(kind, body["value"])


def why_words(why):
    return WHY_WORDS.get(why, why or "")
