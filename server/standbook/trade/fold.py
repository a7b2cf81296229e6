"""What one place says: which readings live, which value is accepted, and on which readings it rests."""

from . import instruments, judge, plain, quantity
from .entries import WHY_WORDS, WORDY
from .entry import saw
from .work import Accepted

#: Where no gauge was named, two sizes agree by the coarsest gauge that sizes are read with, not by the typing.
COARSEST_STEP = 0.0005 * 25.4
#: Room and metal warm up, and a lubricant has one name however it is typed: the latest counts, nobody disagrees.
LATEST = ("text", "temperature", "torque", "wrench")
#: What is made of an answer in words, and of a reading that was not taken.
NO_NUMBER = (None, None)
NONE_STRUCK, NONE_READ = dict(), list()  # noqa: C408 their types stay open


class Strike:
    """Why a reading stands struck out; `person` when somebody struck it out."""

    def __init__(self, words, person=None):
        self._words = words
        self._person = person

    def words(self, name):
        """In words; `name` turns a person's id into the name."""
        return self._words if self._person is None else "struck out by " + name(self._person) + self._words


def struck_by(entry):
    """The strike that an entry of that kind makes."""
    return Strike(": " + entry.body["reason"], entry.person)


class Fold:
    """The fold of one place.

    Of one live reading, itself; of two within 2 steps, their mean; else the closest agreeing pair, ties to the
    earliest; no pair, none. A *set* value is another matter: setting again replaces what was set before.
    `changes`: readings that say that the part of this group was changed. `read`: what was made of the book's readings,
    kept for the next fold of the same place.
    """

    struck = NONE_STRUCK
    live = used = _valued = _rests_on = NONE_READ
    number = typed = not_measured = _overdue = None
    apart = disagree = False

    def __init__(self, readings, strikes, changes, place, steps, read):
        self.readings = readings
        self.place = place
        self.steps = steps
        self._read = read
        if readings:  # else it stays as nearly all places of a new engine are
            self._fold(strikes, changes)

    def _fold(self, strikes, changes):
        self.struck = {}
        self._strike(strikes, changes)
        self.live = [r for r in self.readings if r.id not in self.struck] if self.struck else self.readings
        valued = self._valued = [r for r in self.live if r.body["value"] is not None]
        self.not_measured = self.live[-1].body["not_measured"] if self.live and not valued else None
        self.disagree = self._disagree(valued)
        if not self.disagree:
            self._accept(valued)

    # --- ink ---

    def _strike(self, strikes, changes):
        self._read_them(self.readings)
        for reading in self.readings:
            name = reading.id
            if name in strikes:
                self.struck[name] = struck_by(strikes[name])
            elif not self._read[name]:
                self.struck[name] = Strike("cannot be read here: measure again")
            if reading.why == "typed_wrong":
                self.struck.setdefault(reading.body["corrects"], Strike("typed wrong, replaced"))
        for change in changes:
            if change.id not in strikes:
                self._old_part(change)

    def _old_part(self, change):
        for reading in self.readings:
            if reading.rank < change.rank:
                self.struck.setdefault(reading.id, Strike("went with the old part"))

    def _read_them(self, readings):
        read, body, made = self._read, None, None
        for reading in readings:
            if reading.id not in read:
                if reading.body is not body:  # who reads again often reads the same
                    body, made = reading.body, self._made_of(reading)
                read[reading.id] = made

    def _made_of(self, reading):
        """Number and reading step; () where number, unit and gauge make no sense at this place: it is only ink."""
        value = reading.body["value"]
        try:
            if value is None or not self.is_number():
                return NO_NUMBER if value is None or value["unit"] is None else ()
            made = (quantity.typed_value(self.place.kind, value), self._step_of(reading))
            return made if made[1] > 0 else ()
        except (plain.Refusal, KeyError, TypeError):
            return ()

    # --- disagreement ---

    def _disagree(self, valued):
        """Two *first* readings, neither having seen the other, further apart than the gauges explain (LG11).

        Somebody who saw both and read again ends it: then the closest agreeing pair decides.
        """
        firsts = [r for r in valued if r.why == "first"]
        for j in range(len(firsts)):
            for i in range(j):
                pair = (firsts[i], firsts[j])
                if self._apart_unseen(pair[0], pair[1]) and not any(
                    saw(r, pair[0]) and saw(r, pair[1]) for r in valued
                ):
                    return True
        return False

    def _apart_unseen(self, one, other):
        if saw(one, other) or saw(other, one) or self.place.kind in LATEST:
            return False
        if not self.is_number():
            return one.body["value"]["text"] != other.body["value"]["text"]
        read = [self._read[one.id], self._read[other.id]]
        return not judge.agree(read[0][0], read[1][0], max(read[0][1], read[1][1]), self.steps)

    # --- the accepted value ---

    def is_number(self):
        return self.place.kind not in WORDY

    def takes_latest(self):
        return not self.is_number() or self.place.kind in LATEST or self.place.set_or_found == "set"

    def _accept(self, valued):
        if not valued:
            return
        if len(valued) == 1 or self.takes_latest():
            self._take([valued[-1]])
            return
        read = [self._read[r.id] for r in valued]
        pair = judge.closest_pair([made[0] for made in read], [made[1] for made in read], self.steps)
        if pair is None:
            self.apart = True
        else:
            self._take([valued[pair[0]], valued[pair[1]]])

    def _take(self, used):
        self._rests_on = used
        self.used = [r.id for r in used]
        first = used[0].body["value"]
        self.typed = first
        if not self.is_number():
            return
        self.number = plain.mean([self._read[r.id][0] for r in used])
        if len(used) == 2 and used[1].body["value"] != first:
            places = max([plain.decimals_of(r.body["value"]["text"]) for r in used]) + 1
            text = quantity.text_in(self.place.kind, self.number, first["unit"], places)
            self.typed = {"text": text, "unit": first["unit"]}

    def used_readings(self):
        """The readings on which the accepted value rests, in order."""
        return self._rests_on

    def accepted(self):
        """The accepted reading for the bench; None without one, and for a choice that only a newer app knows."""
        if self.typed is None or (self.place.choices and self.typed["text"] not in dict(self.place.choices)):
            return None
        used = self.used_readings()
        last = used[-1]
        return Accepted(self.number, self.typed, last.body.get("instrument"), used[0].rank, last.made_at, self._valued)

    def set_before(self, rank):
        """The value that was set when something of that rank was written; a slip put right later was right then."""
        known = [r for r in self.live if r.body["value"] is not None]
        earlier = [r for r in known if r.rank < rank or r.why == "typed_wrong"]
        if not earlier or not self.is_number():
            return None
        last = earlier[-1]
        return Accepted(
            self._read[last.id][0], last.body["value"], last.body.get("instrument"), last.rank, last.made_at
        )

    def overdue(self):
        """Live readings by a gauge past its calibration date: the first of each gauge."""
        if self._overdue is None:
            first = {}
            for reading in self.live:
                gauge = reading.body.get("instrument")
                if gauge and gauge["id"] not in first and instruments.is_overdue(gauge, reading.made_at):
                    first[gauge["id"]] = reading
            self._overdue = [first[key] for key in plain.keys_in_order(first)]
        return self._overdue

    def _step_of(self, reading):
        """Reading step: the gauge's, else the last typed digit but never coarser than a gauge for sizes."""
        instrument = reading.body.get("instrument")
        if self.place.kind != "length":
            return quantity.typed_step(self.place.kind, reading.body["value"])
        if instrument:
            return quantity.typed_value("length", instrument["step"])
        return min(COARSEST_STEP, quantity.typed_step("length", reading.body["value"]))

    def next_why(self):
        """The reason with which the next reading of this place is recorded."""
        if not self.live or self.not_measured is not None:
            return "first"
        return "measured_again" if self.takes_latest() else "repeat"


def why_words(why):
    """The reason for a reading, in words."""
    return WHY_WORDS.get(why, why or "")
