"""One work step of one build: places folded, values judged, flags raised, its state and what a signature would bind."""

from . import clock, instruments, judge, plain, quantity, slips
from .book import reading_step
from .verdicts import Judged
from .work import Accepted, Bench

OPEN_SEVERITIES = ("STOP", "HOLD", "WARN")


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
        self.asked = self._asked()
        self.values = [Judged(value, self.bench) for value in step.derive(self.bench)]
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
            "entry": decision.id, "person": self.build.name(decision.person), "at": decision.made_at, "reason": decision.body["reason"],
        }  # fmt: skip

    def _asked(self):
        """Place -> the lead's decision that asks to measure it again and that no later reading has answered."""
        asked = {}
        uses = {}
        for value in self.step.derive(self.bench):
            uses[value.id] = value.uses
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
        return any([self.folds[place.id].readings for place in self.places])

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
        return [Judged(value, bench) for value in self.step.derive(bench) if place_id in value.uses]

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
            return "accepted by lead" if any([value.acceptance for value in self.values]) else "accepted"
        if not self.started():
            return "not started"
        return "measured" if self.filled() == len(self.required()) else "in work"

    def missing_for_signature(self):
        """Why it cannot be signed yet, in words."""
        empty = [place.words for place in self.required() if not self.is_filled(place)]
        found = [str(len(empty)) + " places are still empty, first: " + empty[0] + "."] if empty else []
        found.extend([flag["words"] for flag in self.flags() if flag["severity"] in OPEN_SEVERITIES and self._bars_signature(flag)])
        return found

    def _bars_signature(self, flag):
        return flag["open"] or flag["sort"] == "asked again"

    def shown_text(self):
        """What a signature shows and binds, as canonical text."""
        values = []
        for judged in self.values:
            bands = [against.band() + ", " + against.limit["source"] for against in judged.limits if not against.limit["missing"]]
            shown = judged.shown()
            values.append([judged.value.id, shown["words"] if shown else "", judged.word, "; ".join(bands)])
        readings = [[place.id, self.folds[place.id].typed["text"]] for place in self.places if self.folds[place.id].typed]
        frozen = self.facts.frozen.id if self.facts.frozen else ""
        return plain.to_json({"step": self.step.id, "values": values, "readings": readings, "limits": frozen})

    # --- flags ---

    def flags(self):
        """Everything worth a look, worst first."""
        if not self.started():
            return []
        found = self._value_flags() + self._place_flags() + self._step_flags()
        return plain.in_order(found, key=lambda flag: (judge.SEVERITIES.index(flag["severity"]), 0 if flag["open"] else 1))

    def _flag(self, flag_id, severity, sort, about, place, words, answer=None, wants_lead=True):
        wanted = wants_lead and severity in OPEN_SEVERITIES
        return {
            "id": self.step.id + ":" + flag_id, "severity": severity, "step": self.step.id, "about": about, "place": place,
            "words": words, "sort": sort, "answer": answer, "open": wanted,
        }  # fmt: skip

    def _value_flags(self):
        found = []
        for judged in self.values:
            if judged.value.number is not None and self.facts.limits.wants_card(judged.value.acts_on):
                found.append(self._no_card(judged))
            if judged.severity is not None:
                found.append(self._value_flag(judged))
        return _one_of(found, "no card")

    def _no_card(self, judged):
        words = self.step.title + ": only the part maker's card can judge the " + judged.value.short + "; the lead adds it."
        return self._flag("no_card." + judged.value.acts_on, "NOTE", "no card", judged.value.id, None, words)

    def _value_flag(self, judged):
        value = judged.value
        sort = {"in, close": "close", "out": "out"}.get(judged.word, "too close")
        answer, wants_lead = self._value_answer(judged)
        return self._flag(value.id, judged.severity, sort, value.id, value.uses[0], value.words + ". " + judged.sentence(), answer, wants_lead)

    def _value_answer(self, judged):
        if judged.acceptance:
            return "accepted by lead: " + judged.acceptance["reason"], False
        for place in judged.value.uses:
            if place in self.asked:
                return "lead: measure again, " + self.asked[place].body["reason"], False
        for place in judged.value.uses:
            note = self._confirmed(place, "out")
            if note is not None:
                return "found so: " + note, True
        return None, True

    def _confirmed(self, place, what):
        """The note with which a reading that counts was confirmed, None when it was not."""
        fold = self.folds.get(place)
        for reading in fold.live if fold else []:
            if reading.id in fold.used and what in reading.body.get("confirmed", []):
                return reading.body.get("note", "") or "no note"
        return None

    def _place_flags(self):
        found = []
        for place in self.places:
            found.extend(self._flags_of_place(place, self.folds[place.id]))
        return found

    def _flags_of_place(self, place, fold):
        found = []
        if fold.disagree:
            found.append(self._flag("disagree." + place.id, "HOLD", "disagree", place.id, place.id, place.words + ": two readings disagree; the lead settles it."))
        if fold.apart:
            words = place.words + ": no two readings agree; clean gauge and part, same temperature, and measure again."
            found.append(self._flag("apart." + place.id, "WARN", "disagree", place.id, place.id, words, None, False))
        if place.id in self.asked:
            words = place.words + ": the lead asks to measure again: " + self.asked[place.id].body["reason"]
            found.append(self._flag("asked." + place.id, "WARN", "asked again", place.id, place.id, words, None, False))
        if fold.not_measured is not None and place.required:
            words = place.words + ": not measured, because " + fold.not_measured
            found.append(self._decided_flag("skipped." + place.id, "WARN", "not measured", place, words))
        return found + self._slip_flags(place, fold)

    def _decided_flag(self, flag_id, severity, sort, place, words):
        """A flag about a place that the lead can accept with a reason."""
        decision = self.facts.decision_about(place.id)
        accepted = decision is not None and decision.body["decision"] == "accept"
        answer = "accepted by lead: " + decision.body["reason"] if accepted else None
        return self._flag(flag_id, severity, sort, place.id, place.id, words, answer, not accepted)

    def _slip_flags(self, place, fold):
        if place.kind != "length" or fold.typed is None or place.id in self.asked:
            return []
        found = []
        for slip in self.suspected(place, fold.typed, self.bench.instrument(place.id)):
            note = self._confirmed(place.id, slip["id"])
            words = place.words + ", " + quantity.with_unit(fold.typed["text"], fold.typed["unit"]) + ": " + slip["message"]
            flag = self._decided_flag("slip." + slip["id"] + "." + place.id, "NOTE" if note is not None else "WARN", "slip", place, words)
            if note is not None and flag["answer"] is None:
                flag["answer"] = "found so: " + note
            found.append(flag)
        return found

    def suspected(self, place, typed, instrument, bench=None):
        """Slips suspected in what was typed at a place."""
        expected = self.step.expect(bench or self.bench, place.id)
        if expected is None and place.family:
            expected = self._family(place)
        step_text = None
        if instrument and instrument["step"]["unit"] == typed["unit"]:
            step_text = instrument["step"]["text"]
        dial = bool(instrument and instrument["dial"])
        return slips.suspicions(place.kind, typed, expected, self.facts.limits, step_text, dial, place.set_or_found == "set")

    def _family(self, place):
        """Median of the accepted readings of the same family: the expectation where the specification gives none."""
        numbers = [self.folds[p.id].number for p in self.places if p.family == place.family and p.id != place.id]
        numbers = [number for number in numbers if number is not None]
        if len(numbers) < 3:
            return None
        middle = plain.median(numbers)
        width = 0.010 * 25.4
        return slips.Expectation(middle, middle - width, middle + width)

    def _step_flags(self):
        found = [
            self._flag("finding." + f.id, f.severity, f.sort, f.place or self.step.id, f.place, f.words, None, f.severity != "NOTE")
            for f in self.step.findings(self.bench)
        ]
        waits = self.waits_for()
        if waits and self.step.needs:
            words = self.step.title + " was begun before this was accepted: " + ", ".join(waits) + "."
            found.append(self._flag("order", "NOTE", "order", self.step.id, None, words))
        return found + self._copied() + self._gauge_flags()

    def _copied(self):
        places = [place for place in self.places if place.kind == "length" and place.set_or_found == "found"]
        texts = [self.folds[place.id].typed["text"] if self.folds[place.id].typed else None for place in places]
        most = self.facts.limits.number("identical_values_in_a_row", "high")
        at = slips.copied(texts, most)
        if at is None:
            return []
        words = "The same value stands more than " + str(int(most)) + " times in a row, up to " + places[at].words + ": was each one measured?"
        note = self._confirmed(places[at].id, "copied")
        answer = None if note is None else "found so: " + note
        return [self._flag("copied", "NOTE", "slip", places[at].id, places[at].id, words, answer)]

    # --- instruments ---

    def _gauge_flags(self):
        readings = [entry for entry in self.build.book.step_readings(self.step.id) if entry.body.get("instrument")]
        return self._overdue(readings) + self._too_coarse() + self._zero_due(readings)

    def _overdue(self, readings):
        """An instrument past its calibration date when it was used (torque wrenches stop the work, others warn)."""
        found = {}
        for entry in readings:
            gauge = entry.body["instrument"]
            due = gauge.get("calibration_due")
            if due is not None and due < clock.day_of(entry.made_at):
                severity = "STOP" if gauge["kind"] in instruments.TORQUE_KINDS else "WARN"
                words = gauge["name"] + ": calibration was due on " + due + "; check it on a standard, or use another."
                found.setdefault(gauge["id"], self._flag("overdue." + gauge["id"], severity, "instrument", entry.place, entry.place, words))
        return [found[key] for key in plain.keys_in_order(found)]

    def _too_coarse(self):
        """An instrument that cannot see the band; the ones that the step itself names are fine enough for it."""
        found = {}
        shares = {kind: self.facts.limits.number("gauge_step_share_of_band", "high", kind) for kind in ("set", "found")}
        for judged in self.values:
            for place in judged.value.uses:
                gauge = self.bench.instrument(place)
                if gauge and gauge["kind"] not in self.step.instrument_kinds and not _sees(judged, gauge, shares):
                    words = gauge["name"] + " is too coarse for the " + judged.value.short + ": take a finer instrument."
                    flag = self._flag("coarse." + gauge["id"] + "." + judged.value.acts_on, "WARN", "instrument", place, place, words)
                    found.setdefault(flag["id"], flag)
        return [found[key] for key in plain.keys_in_order(found)]

    def _zero_due(self, readings):
        """Too many readings, or too long a time, since a gauge's zero was last checked."""
        most = self.facts.limits.number("dial_readings_since_zero", "high")
        longest = self.facts.limits.number("minutes_since_zero", "high")
        checks = {entry.id for entry in self.build.book.step_readings(self.step.id) if entry.place == "gauge_zero"}
        if not checks and "gauge_zero" not in self.by_id:
            return []
        since, start, last = 0, None, None
        for entry in self.build.book.step_readings(self.step.id):
            gauge = entry.body.get("instrument")
            if entry.id in checks:
                since, start = 0, clock.minutes(entry.made_at)
            elif gauge and gauge["kind"] in instruments.ZEROED and entry.id in self.folds_live():
                since, last = since + 1, entry
                start = clock.minutes(entry.made_at) if start is None else start
        if last is None or since <= most and not _too_long(start, clock.minutes(last.made_at), longest):
            return []
        words = "Re-check the gauge's zero: " + str(since) + " readings since it was last checked."
        return [self._flag("zero_due", "NOTE", "instrument", last.place, "gauge_zero", words)]

    def folds_live(self):
        """Ids of all live readings of the step."""
        return {reading.id for place in self.places for reading in self.folds[place.id].live}


def _too_long(start, end, longest):
    return start is not None and end is not None and end - start > longest


def _sees(judged, gauge, shares):
    for against in judged.limits:
        low, high = against.limit["low"] or 0.0, against.limit["high"]
        if high is None:
            continue
        step = instruments.step_of(gauge)
        if not judge.fine_enough(judged.value.set_or_found, step, gauge["dial"], low, high, shares)["fine"]:
            return False
    return True


def _one_of(flags, sort):
    """Only the first flag of this sort: the same finding is not told for every place."""
    first = [flag for flag in flags if flag["sort"] == sort][:1]
    return first + [flag for flag in flags if flag["sort"] != sort]


def accepted_reading(fold):
    """The accepted reading of a fold for the bench, None when there is none."""
    if fold.typed is None:
        return None
    used = [reading for reading in fold.live if reading.id in fold.used]
    return Accepted(fold.number, fold.typed, used[-1].body.get("instrument"))


__all__ = ["StepWork", "accepted_reading", "reading_step"]
