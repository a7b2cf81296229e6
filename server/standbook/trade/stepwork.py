"""One work step of one build: places folded, values judged, its state and what a signature would bind."""

from . import families_of, flags, gauges, judge, plain, quantity, slips
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
        self._group_of, self._families = layout.group_of, layout.families
        self.folds = build.folds(step.id, self.places)
        self.bench = Bench(step.id, self.facts.engine, self.facts.limits, build)
        worked = [self._kept("group", part, self._work_out) for part in [g.id for g in self.groups] + [FAMILY]]
        self.values = [judged for values, _, _ in worked for judged in values]
        self.findings = [finding for _, findings, _ in worked for finding in findings]
        #: Findings about gauges that are too coarse for a value.
        self.coarse = [finding for _, _, coarse in worked for finding in coarse]
        self.asked = self._asked()
        self._flags = None
        self._empty = None
        self._called = self._kept("called", FAMILY, lambda bench, _: step.calls(bench)) if step.calls else {}
        needless = step.not_needed(self.bench)
        self._required = [
            place for place in self.places if place.id in self._called or (place.required and place.id not in needless)
        ]
        self._asks_for = {place.id: True for place in self._required}
        self._next = None

    def _kept(self, sort, part, make):
        """What `make(bench, part)` gives, kept by the build until a reading that it looked at changes."""
        return self.build.memos.get((self.step.id, sort, part), self.bench, lambda bench: make(bench, part))

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
        known = {judged.value.id: judged.value for judged in self.values}
        for decision in self.facts.decisions:
            if decision.step != self.step.id or self.decision(decision.body["about"]) is not decision:
                continue
            if decision.body["decision"] == "measure_again":
                about = decision.body["about"]
                for place in known[about].ask if about in known else [about]:
                    if place in self.folds and not self._answered(place, decision):
                        asked[place] = decision
        return asked

    def _answered(self, place, decision):
        """Somebody who knew of the decision has read the place again."""
        return any(reading.saw(decision) for reading in self.folds[place].live)

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
            self._empty = [place for place in self.required() if not self.is_filled(place)]
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
        return any(self.folds[place.id].readings for place in self.places)

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
        """The same as a set."""
        return self.build.told(("used", self.step.id), self._used)

    def _used(self):
        found = {}
        for need in self.step.needs:
            found.update(self.build.work(need).used())
        for place in self.places:
            for reading in self.folds[place.id].used:
                found[reading] = True
        return found

    def counting(self):
        """The readings of this step on which its values rest."""
        return [reading for place in self.places for reading in self.folds[place.id].used_readings()]

    def signature(self):
        return self.facts.signatures.get(self.step.id)

    def state(self):
        """not started, in work, measured, accepted, accepted by lead, re-check needed."""
        return self.build.told(("state", self.step.id), self._state)

    def _state(self):
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
            found.extend(self._kept("odd", places[0].id, lambda bench, _, these=places: _odd_of(these, bench)))
        return found

    def is_live(self, reading):
        """Whether a reading of the step stands at one of its places and is not struck out."""
        fold = self.folds.get(reading.place)
        return fold is not None and reading.id not in fold.struck

    def place_flags(self, place):
        """Flags of one place, kept until a reading that they rest on changes."""
        sort = "asked place" if place.id in self.asked else "place"
        known = self.build.memos.known((self.step.id, sort, place.id))
        if known is not None:
            return known
        return self._kept(sort, place.id, lambda bench, _: flags.of_place(self, place, bench))


def _odd_of(places, bench):
    odd = families_of.Family(places, bench).odd_ones()
    return [(place.id, flags.odd_words(place, reading, middle)) for place, reading, middle in odd]
