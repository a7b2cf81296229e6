"""One work step of one build: places folded, values judged, its state and what a signature would bind."""

from . import families_of, flags, gauges, judge, plain, quantity, slips
from .entry import saw
from .memos import ANYWHERE
from .said import Said
from .verdicts import Judged
from .work import FAMILY, Bench


class StepWork:
    """Everything about one step that the screens, the board and the signature need."""

    def __init__(self, build, step):
        self.build = build
        self.step = step
        self.facts = build.facts()
        layout = self.facts.layout(step)
        self.groups, self.places, self.by_id = layout.groups, layout.places, layout.by_id
        self._group_of, self._families, self.sizes = layout.group_of, layout.families, layout.sizes
        self.folds = build.folds(step.id, self.places)
        self.bench = Bench(step.id, self.facts.engine, self.facts.limits, build, build.memos)
        known, keys = build.memos.kept, layout.parts
        worked = [known[key][0] if key in known else self._kept(key, self._work_out, key[2]) for key in keys]
        self.values = [judged for values, _, _ in worked for judged in values]
        self.findings = [finding for _, findings, _ in worked for finding in findings]
        #: Findings about gauges that are too coarse for a value.
        self.coarse = [finding for _, _, coarse in worked for finding in coarse]
        self.asked = self._asked()
        self._called, self._required, self._asks_for = self._kept((step.id, "called"), self._called_for, None)
        self._said = self._flags = self._empty = self._next = None
        #: What the steps that it needs rest on, and with that: what this one rests on, and its state.
        self._below = self._used = self._state = None
        #: As `views` last had it in a list.
        self.summary = None

    def _kept(self, key, make, about):
        """What `make(bench, about)` gives, kept by the build until a reading that it looked at changes."""
        return self.build.memos.get(key, self.bench, make, about)

    def _called_for(self, bench, _):
        """Places on call that are wanted by now, all places that are required, and the same by their ids."""
        called = self.step.calls(bench) if self.step.calls else {}
        needless = self.step.not_needed(bench)
        asked = [place for place in self.places if (place.required and place.id not in needless) or place.id in called]
        return called, asked, {place.id: True for place in asked}

    def said(self):
        """What the places say for themselves, group by group."""
        if self._said is None:
            known, named = self.build.memos.kept, self.facts.layout(self.step).said
            self._said = [
                known[key][0] if key in known else self._kept(key, self._said_of, group) for key, group in named
            ]
        return self._said

    def _said_of(self, bench, group):
        return Said(self, group, bench)

    def flags_of(self, bench, place):
        """Flags of one place; they are kept for themselves: the slips of one reading are dear."""
        return self.build.memos.get((self.step.id, "place", place.id), bench, self._flags_of, place)

    def _flags_of(self, bench, place):
        return flags.of_place(self, bench, place)

    def _work_out(self, bench, only):
        """Of one group, or of the family: values, findings, and gauges that are too coarse for the values."""
        values = [Judged(value, bench) for value in self.step.derive(bench, only)]
        for judged in values:
            judged.acceptance = self._acceptance(judged)
        return values, self.step.findings(bench, only), gauges.too_coarse(self, bench, values)

    # --- the lead's decisions ---

    def decision(self, about):
        """The lead's latest decision about a value, place or flag of this step."""
        return self.facts.decision_about(self.step.id, about)

    def _acceptance(self, judged):
        """The lead's acceptance of this very value by these very limits; it lapses when either changes."""
        decision = self.decision(judged.value.id)
        if decision is None or decision.body["decision"] != "accept" or not judged.is_what_was_decided(decision.body):
            return None
        return {
            "entry": decision.id,
            "person": self.build.name(decision.person),
            "at": decision.made_at,
            "reason": decision.body["reason"],
        }

    def _asked(self):
        """Place -> the lead's decision that asks to measure it again and that no later reading has answered."""
        asked = {}
        for decision in self.facts.asking(self.step.id):
            about = decision.body["about"]
            asks = [judged.value.ask for judged in self.values if judged.value.id == about]
            for place in asks[-1] if asks else [about]:
                if place in self.folds and not self._answered(place, decision):
                    asked[place] = decision
        return asked

    def _answered(self, place, decision):
        """Somebody who knew of the decision has read the place again."""
        return any(saw(reading, decision) for reading in self.folds[place].live)

    # --- progress ---

    def required(self):
        return self._required

    def wants(self, place):
        """Whether a place has to be read: always, or by what was recorded so far."""
        return place.id in self._asks_for

    def stands(self, place):
        """Whether a place stands in the form."""
        return not place.on_call or place.id in self._called or bool(self.folds[place.id].readings)

    def is_filled(self, place):
        fold = self.folds[place.id]
        if fold.typed is not None or fold.not_measured is None:
            return fold.typed is not None
        return place.set_or_found != "set" or self._left_so(place)

    def _left_so(self, place):
        """What could not be set is not done; the lead may leave it so with a reason."""
        return flags.is_accepted(self, "skipped." + place.id, place.id)

    def empty(self):
        """Required places without an accepted value or a reason why there is none."""
        if self._empty is None:
            self._empty = [place for said in self.said() for place in said.unfilled if place.id in self._asks_for]
        return self._empty

    def filled(self):
        return len(self.required()) - len(self.empty())

    def next_place(self):
        """The next empty required place in walking order, or one that the lead asked again; None when all are there."""
        if self._next is None:
            wanted = [place for place in self.places if self._is_wanted(place)] if self.asked else self.empty()
            self._next = wanted[:1]
        return self._next[0] if self._next else None

    def _is_wanted(self, place):
        return place.id in self.asked or (self.wants(place) and not self.is_filled(place))

    def first_reading(self):
        """The earliest reading of the step, None before the first."""
        readings = self.build.book.step_readings(self.step.id)
        return readings[0] if readings else None

    def started(self):
        return any(said.read for said in self.said())

    def waits_for(self):
        """Titles of needed steps that are not accepted yet."""
        works = [self.build.work(need) for need in self.step.needs]
        return [work.step.title for work in works if work.state() not in ("accepted", "accepted by lead")]

    def place_status(self, place_id):
        """("done" | "open" | "couldn't", worst severity, why it could not be done) of a place, for guides."""
        fold = self.folds[place_id]
        if fold.not_measured is not None:
            return "couldn't", "WARN", fold.not_measured
        if fold.typed is None or place_id in self.asked:
            return "open", None, None
        severities = [judged.severity for judged in self.values if place_id in judged.value.uses]
        return "done", judge.worst_severity(severities), None

    def judged_on(self, bench, place_id):
        """The values that a place touches, judged on another bench; of those over several groups what has a number."""
        values = [value for part in self.parts_of(place_id) for value in self.step.derive(bench, part)]
        told = [value for value in values if value.group is not None or value.number is not None]
        return [Judged(value, bench) for value in told if place_id in value.uses]

    def parts_of(self, place_id):
        """The parts of the step that a place may touch: its group, and what stands over several."""
        return (self._group_of[place_id], FAMILY)

    # --- state and signature ---

    def uses(self):
        """Ids of the readings on which this step and the steps it needs rest, in order."""
        return plain.keys_in_order(self.used())

    def used(self):
        """The same as a set: another one when any of it has changed, else the one that was given before."""
        return self.build.told(("used", self.step.id), self._used_now)

    def _used_now(self):
        below = [self.build.work(need).used() for need in self.step.needs]
        if self._below is None or any(new is not old for new, old in zip(below, self._below)):
            self._below, self._used, self._state = below, self._used_with(below), None
        return self._used

    def _used_with(self, below):
        found = {}
        for used in below:
            found.update(used)
        for said in self.said():
            found.update(dict.fromkeys(said.used, True))
        return found

    def counting(self):
        """The readings of this step on which its values rest."""
        return [reading for place in self.places for reading in self.folds[place.id].used_readings()]

    def signature(self):
        return self.facts.signatures.get(self.step.id)

    def state(self):
        """not started, in work, measured, accepted, accepted by lead, re-check needed."""
        return self.build.told(("state", self.step.id), self._state_now)

    def _state_now(self):
        if self.signature() is not None:
            self.used()
        if self._state is None:
            self._state = self._worked_state()
        return self._state

    def _worked_state(self):
        signature = self.signature()
        if signature is not None:
            return self._signed_state(signature)
        if not self.started():
            return "not started"
        return "in work" if self.empty() else "measured"

    def _signed_state(self, signature):
        """A signature falls when what it rests on changes, or when a finding stands open under it."""
        if self._signed_uses(signature) != self.used() or self.empty() or self._bars():
            return "re-check needed"
        by_lead = any(flag["answer"] and flag["answer"].startswith(flags.BY_LEAD) for flag in self.flags())
        return "accepted by lead" if by_lead else "accepted"

    def _signed_uses(self, signature):
        return self.build.settled(signature.id, lambda: dict.fromkeys(signature.body["uses"], True))

    def _bars(self):
        """The flags that stand against a signature."""
        return [flag for flag in self.flags() if flag["open"] or flag["sort"] == "asked again"]

    def missing_for_signature(self):
        """Why it cannot be signed yet, in words."""
        empty = self.empty()
        found = [str(len(empty)) + " places are still empty, first: " + empty[0].words + "."] if empty else []
        return found + [flag["words"] for flag in self._bars()]

    def shown_text(self):
        """What a signature shows and binds, as canonical text."""
        frozen = self.facts.frozen.id if self.facts.frozen else ""
        return plain.to_json(
            {
                "step": self.step.id,
                "values": [judged.as_shown() for judged in self.values],
                "readings": [[place.id, self._reading_shown(place)] for place in self.places if self.is_filled(place)],
                "answers": [[flag["words"], flag["answer"]] for flag in self.flags() if flag["answer"]],
                "limits": frozen,
            }
        )

    def _reading_shown(self, place):
        fold = self.folds[place.id]
        if fold.typed is None:
            return "not measured: " + fold.not_measured
        return fold.typed["text"] + (" " + fold.typed["unit"] if fold.typed["unit"] else "")

    # --- slips ---

    def suspected(self, place, typed, instrument, bench=None):
        """Slips suspected in what was typed at a place."""
        bench = bench or self.bench
        expected = self.step.expect(bench, place.id)
        family = None
        if expected is None and place.family:
            family = families_of.Family(families_of.mates(self, place), bench, place.id)
            expected = family.expected(place.kind)
        reading = slips.Typed(place.kind, typed, instrument, place.set_or_found == "set")
        found = slips.suspicions(reading, expected, self.facts.limits)
        return found or self._odd(place, typed, instrument, family)

    def _odd(self, place, typed, instrument, family):
        """The odd one out among its mates, where no nominal is known; set values are meant to be alike."""
        if family is None or place.set_or_found == "set":
            return []
        number = quantity.typed_value(place.kind, typed)
        middle = family.median_if_odd(number, families_of.step_of(place.kind, typed, instrument))
        return [] if middle is None else [slips.odd(middle, place.kind, typed)]

    # --- what the flags look at ---

    def flags(self):
        """Everything worth a look, worst first; nothing before the first reading."""
        if self._flags is None:
            self._flags = flags.of_step(self) if self.started() else []
        return self._flags

    def confirmed(self, place, what):
        """The note with which a reading that counts was confirmed, None when it was not."""
        fold = self.folds.get(place)
        if fold is None:
            return None
        for reading in fold.used_readings():
            if what in reading.body.get("confirmed", []):
                return reading.body.get("note", "") or "no note"
        return None

    def found_so(self, place, typed):
        """What was answered "found so" for this very value at a place, by readings that live: ids of slips."""
        fold = self.folds.get(place)
        alike = [] if fold is None else [reading for reading in fold.live if reading.body["value"] == typed]
        return [what for reading in alike for what in reading.body.get("confirmed", [])]

    def slip_answer(self, place):
        """The note of a reading that counts and was answered "found so": it stands for the value, whatever is asked."""
        for reading in self.folds[place].used_readings():
            if slips.answered(reading.body.get("confirmed", [])):
                return reading.body.get("note", "") or "no note"
        return None

    def odd_ones(self):
        """[(place id, words)] of the odd ones out, kept family by family until one of its readings changes."""
        found = []
        for places in self._families:
            found.extend(self._kept((self.step.id, "odd", places[0].id), _odd_of, places))
        return found

    def since_zero(self):
        """Live readings with a gauge whose zero wanders, latest first, back to where the zero was last found right."""
        return self._kept((self.step.id, "zero"), self._since_zero, None)

    def _since_zero(self, bench, _):
        bench.rests_on({self.step.id: {ANYWHERE: True}})
        return gauges.since_zero(self.build.book.step_readings(self.step.id), self.folds)


def _odd_of(bench, places):
    odd = families_of.Family(places, bench).odd_ones()
    return [(place.id, flags.odd_words(place, reading, middle)) for place, reading, middle in odd]
