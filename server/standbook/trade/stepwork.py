"""One work step of one build: places folded, values judged, flags raised, its state and what a signature would bind."""

from . import flags, judge, plain, slips
from .verdicts import Judged
from .work import Accepted, Bench


class StepWork:
    """Everything about one step that the screens, the board and the signature need."""

    def __init__(self, build, step):
        self.build = build
        self.step = step
        self.facts = build.facts()
        self.groups = step.groups(self.facts.engine)
        self.places = [place for group in self.groups for place in group.places]
        self.by_id = {place.id: place for place in self.places}
        self.folds = {place.id: build.fold(step.id, place) for place in self.places}
        self.bench = Bench(step.id, self.facts.engine, self.facts.limits, build.accepted_for(step))
        self.values = [Judged(value, self.bench) for value in step.derive(self.bench)]
        self.asked = self._asked()
        self._flags = None
        for value in self.values:
            value.acceptance = self._acceptance(value)

    # --- the lead's decisions ---

    def _acceptance(self, judged):
        """The lead's acceptance of this very value; it lapses when the value changes."""
        decision = self.facts.decision_about(judged.value.id)
        if decision is None or decision.body["decision"] != "accept" or judged.shown() is None:
            return None
        bound = decision.body.get("value")
        if bound and (bound["text"], bound.get("unit")) != (judged.shown()["text"], judged.shown()["unit"]):
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
        uses = {judged.value.id: judged.value.uses for judged in self.values}
        for decision in self.facts.decisions:
            if decision.body["decision"] != "measure_again":
                continue
            for place in uses.get(decision.body["about"], [decision.body["about"]]):
                if place in self.folds and not self._answered(place, decision):
                    asked[place] = decision
        return asked

    def _answered(self, place, decision):
        last = self.folds[place].last_live()
        return last is not None and decision.rank() < last.rank()

    # --- progress ---

    def required(self):
        return [place for place in self.places if place.required]

    def is_filled(self, place):
        fold = self.folds[place.id]
        return fold.typed is not None or fold.not_measured is not None

    def filled(self):
        return len([place for place in self.required() if self.is_filled(place)])

    def next_place(self):
        """The next empty required place in walking order, or one that the lead asked again; None when all are there."""
        for place in self.places:
            if place.id in self.asked or (place.required and not self.is_filled(place)):
                return place
        return None

    def started(self):
        return any(self.folds[place.id].readings for place in self.places)

    def waits_for(self):
        """Titles of needed steps that are not accepted yet."""
        works = [self.build.work(need) for need in self.step.needs]
        return [work.step.title for work in works if work.state() not in ("accepted", "accepted by lead")]

    def place_status(self, place_id):
        """("done" | "open" | "couldn't", worst severity) of a place, for guides."""
        fold = self.folds[place_id]
        if fold.not_measured is not None:
            return "couldn't", "WARN"
        if fold.typed is None or place_id in self.asked:
            return "open", None
        severities = [judged.severity for judged in self.values if place_id in judged.value.uses]
        return "done", judge.worst_severity(severities)

    def judged_on(self, bench, place_id):
        """The values that a place touches, judged on another bench."""
        group = next(group.id for group in self.groups if place_id in [place.id for place in group.places])
        return [Judged(value, bench) for value in self.step.derive(bench, group) if place_id in value.uses]

    # --- state and signature ---

    def uses(self):
        """Ids of the readings on which this step and the steps it needs rest, in order."""
        found = [reading for place in self.places for reading in self.folds[place.id].used]
        for need in self.step.needs:
            found.extend(self.build.work(need).uses())
        return plain.in_order(found)

    def signature(self):
        return self.facts.signatures.get(self.step.id)

    def state(self):
        """not started, in work, measured, accepted, accepted by lead, re-check needed."""
        signature = self.signature()
        if signature is not None:
            if plain.in_order(signature.body["uses"]) != self.uses() or self.asked:
                return "re-check needed"
            return "accepted by lead" if any(value.acceptance for value in self.values) else "accepted"
        if not self.started():
            return "not started"
        return "measured" if self.filled() == len(self.required()) else "in work"

    def missing_for_signature(self):
        """Why it cannot be signed yet, in words."""
        empty = [place.words for place in self.required() if not self.is_filled(place)]
        found = [str(len(empty)) + " places are still empty, first: " + empty[0] + "."] if empty else []
        found.extend(
            [flag["words"] for flag in self.flags() if flag["severity"] in flags.ASKING and self._bars_signature(flag)]
        )
        return found

    def _bars_signature(self, flag):
        return flag["open"] or flag["sort"] == "asked again"

    def shown_text(self):
        """What a signature shows and binds, as canonical text."""
        values = []
        for judged in self.values:
            bands = [
                against.band() + ", " + against.limit["source"]
                for against in judged.limits
                if not against.limit["missing"]
            ]
            shown = judged.shown()
            values.append([judged.value.id, shown["words"] if shown else "", judged.word, "; ".join(bands)])
        readings = [
            [place.id, self.folds[place.id].typed["text"]] for place in self.places if self.folds[place.id].typed
        ]
        frozen = self.facts.frozen.id if self.facts.frozen else ""
        return plain.to_json({"step": self.step.id, "values": values, "readings": readings, "limits": frozen})

    def suspected(self, place, typed, instrument, bench=None):
        """Slips suspected in what was typed at a place."""
        expected = self.step.expect(bench or self.bench, place.id)
        if expected is None and place.family:
            expected = self._family(place)
        step_text = None
        if instrument and instrument["step"]["unit"] == typed["unit"]:
            step_text = instrument["step"]["text"]
        dial = bool(instrument and instrument["dial"])
        return slips.suspicions(
            place.kind, typed, expected, self.facts.limits, step_text, dial, place.set_or_found == "set"
        )

    def _family(self, place):
        """Median of the accepted readings of the same family: the expectation where the specification gives none."""
        numbers = [self.folds[p.id].number for p in self.places if p.family == place.family and p.id != place.id]
        numbers = [number for number in numbers if number is not None]
        if len(numbers) < 3:
            return None
        middle = plain.median(numbers)
        return slips.Expectation(middle, middle - slips.WINDOW, middle + slips.WINDOW)

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
        for reading in fold.live:
            if reading.id in fold.used and what in reading.body.get("confirmed", []):
                return reading.body.get("note", "") or "no note"
        return None

    def live_ids(self):
        """Ids of all live readings of the step."""
        return {reading.id for place in self.places for reading in self.folds[place.id].live}


def accepted_reading(fold):
    """The accepted reading of a fold for the bench, None when there is none."""
    if fold.typed is None:
        return None
    used = [reading for reading in fold.live if reading.id in fold.used]
    return Accepted(fold.number, fold.typed, used[-1].body.get("instrument"))
