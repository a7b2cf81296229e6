"""What a step has to say to mechanic and lead: a plain sentence per finding, with its severity and its answer."""

from . import gauges, judge, meanwhile, plain, quantity, slips
from .entry import saw

#: Severities that want an answer.
ASKING = ("STOP", "HOLD", "WARN")
BY_LEAD = "accepted by lead: "
FOUND_SO = "found so: "


def by_weight(flags):
    """Worst first, open before answered."""
    return plain.in_order(flags, key=lambda flag: (judge.SEVERITIES.index(flag["severity"]), 0 if flag["open"] else 1))


def flag(flag_id, severity, sort, words, step=None, about=None, place=None, answer=None, wants_lead=True):
    """One flag as the screens show it; `about` is the value or place that a decision of the lead names."""
    return {
        "id": flag_id,
        "severity": severity,
        "step": step,
        "about": about or flag_id,
        "place": place,
        "words": words,
        "sort": sort,
        "answer": answer,
        "open": wants_lead and severity in ASKING,
    }


def of_step(work):
    """All flags of a step, worst first."""
    found = _value_flags(work) + _asked_flags(work)
    for said in work.said():
        found.extend([flag for flag in said.flags if flag["sort"] != "slip" or flag["place"] not in work.asked])
    for finding in work.findings:
        found.append(_finding_flag(work, finding))
    found.extend(_order_flags(work) + _late(work) + _copied_flags(work) + _odd_flags(work, found))
    for problem in gauges.problems(work):
        found.append(_decided(work, problem.id, problem.severity, "instrument", problem.place, problem.words))
    return by_weight(found + meanwhile.of_step(work, found))


def _flag(work, flag_id, severity, sort, words, about, place, answer=None, wants_lead=True):
    return flag(work.step.id + ":" + flag_id, severity, sort, words, work.step.id, about, place, answer, wants_lead)


def _decided(work, flag_id, severity, sort, place, words, note=None):
    """A flag that the lead can accept with a reason; `note`: the mechanic has already answered "found so"."""
    about = work.step.id + ":" + flag_id
    reason = _accepted_reason(work, about, place)
    answer = BY_LEAD + reason if reason is not None else None if note is None else FOUND_SO + note
    return _flag(work, flag_id, severity, sort, words, about, place, answer, reason is None)


def is_accepted(work, flag_id, place):
    """Whether the lead has accepted a flag of that name with a reason that still holds."""
    return _accepted_reason(work, work.step.id + ":" + flag_id, place) is not None


def _accepted_reason(work, about, place):
    """The lead's reason for accepting a flag; it lapses when the place was read again without his knowing."""
    decision = work.decision(about)
    if decision is None or decision.body["decision"] != "accept":
        return None
    fold = work.folds.get(place)
    if fold is not None and not all(saw(decision, reading) for reading in fold.used_readings()):
        return None
    return decision.body["reason"]


# --- values ---


def _value_flags(work):
    found = [_value_flag(work, judged) for judged in work.values if judged.severity is not None]
    return found + _no_card(work)


def _no_card(work):
    """A limit that only the part maker's card gives, and no card in force: said once."""
    wanted = work.facts.limits.without_card
    for judged in work.values:
        if judged.value.acts_on in wanted and judged.value.number is not None:
            words = work.step.title + ": only the part maker's card can judge the size; the lead adds it."
            return [_flag(work, "no_card." + judged.value.acts_on, "NOTE", "no card", words, judged.value.id, None)]
    return []


def _value_flag(work, judged):
    value = judged.value
    sort = {"in, close": "close", "out": "out"}.get(judged.word, "too close")
    answer, wants_lead = _value_answer(work, judged)
    words = value.words + ". " + judged.sentence()
    return _flag(work, value.id, judged.severity, sort, words, value.id, value.uses[0], answer, wants_lead)


def _value_answer(work, judged):
    if judged.acceptance:
        return BY_LEAD + judged.acceptance["reason"], False
    for place in judged.value.uses:
        if place in work.asked:
            return "lead: measure again, " + work.asked[place].body["reason"], False
    for place in judged.value.uses:
        note = work.confirmed(place, "out")
        if note is not None:
            return FOUND_SO + note, True
    return None, True


def _asked_flags(work):
    """One flag for each time that the lead asks to measure again, naming the places."""
    if not work.asked:
        return []
    places = {}
    for place in work.places:
        if place.id in work.asked:
            places.setdefault(work.asked[place.id].id, []).append(place)
    return [
        _asked_flag(work, decision, places[decision.id]) for decision in work.facts.decisions if decision.id in places
    ]


def _asked_flag(work, decision, places):
    names = "; ".join([place.words for place in places[:3]]) + (" and more" if len(places) > 3 else "")
    words = "The lead asks to measure again: " + decision.body["reason"] + " (" + names + ")"
    about = decision.body["about"]
    return _flag(work, "asked." + decision.id, "WARN", "asked again", words, about, places[0].id, None, False)


# --- places ---


def of_place(work, bench, place):
    """Flags of one place; `bench` hears of every other place that they rest on."""
    bench.at(place.id)
    fold, found = work.folds[place.id], []
    if fold.disagree:
        words = place.words + ": two readings disagree; the lead has it measured again, or strikes one out."
        found.append(_flag(work, "disagree." + place.id, "HOLD", "disagree", words, place.id, place.id))
    if fold.apart:
        words = place.words + ": no two readings agree; clean gauge and part, same temperature, and measure again."
        found.append(_flag(work, "apart." + place.id, "WARN", "disagree", words, place.id, place.id, None, False))
    if fold.not_measured is not None and (place.required or place.on_call):
        words = place.words + ": not measured, because " + fold.not_measured
        found.append(_decided(work, "skipped." + place.id, "WARN", "not measured", place.id, words))
    return found + _slip_flags(work, place, fold, bench)


def _slip_flags(work, place, fold, bench):
    """Slips of the readings that count, each asked for itself: a mean has more digits than any gauge."""
    if place.kind not in slips.KINDS:
        return []
    found, before = {}, None
    for reading in fold.used_readings():
        typed, gauge = reading.body["value"], reading.body.get("instrument")
        if (typed, gauge) == before:
            continue
        before = typed, gauge
        for slip in work.suspected(place, typed, gauge, bench):
            note = work.slip_answer(place.id)
            words = place.words + ", " + quantity.with_unit(typed["text"], typed["unit"]) + ": " + slip["message"]
            name = "slip." + slip["id"] + "." + place.id
            found.setdefault(name, _answered(work, name, "WARN", "slip", place.id, words, note))
    return [found[name] for name in plain.keys_in_order(found)] if found else []


def _answered(work, flag_id, severity, sort, place, words, note):
    """A flag that a mechanic's "found so" brings down to a note."""
    return _decided(work, flag_id, severity if note is None else "NOTE", sort, place, words, note)


def _finding_flag(work, finding):
    """What stops or holds stays so until the lead accepts it: a mechanic's "found so" brings down what only warns."""
    note = work.confirmed(finding.place, "finding." + finding.id) if finding.place else None
    told = _decided if finding.severity in ("STOP", "HOLD") else _answered
    return told(work, "finding." + finding.id, finding.severity, finding.sort, finding.place, finding.words, note)


# --- the step as a whole ---


def _order_flags(work):
    """Work begun before a needed step was signed is kept, since the record must not lie, but the lead decides."""
    first = work.first_reading()
    early = []
    for need in work.step.needs:
        signature = work.facts.first_signatures.get(need)
        if signature is None or first.rank < signature.rank:
            early.append(work.build.work(need).step.title)
    if not early:
        return []
    words = work.step.title + " was begun before this was accepted: " + ", ".join(early) + "."
    return [_decided(work, "order", "WARN", "order", None, words)]


def _late(work):
    """A reading that came after a step resting on it was signed: the later step reads "re-check needed"."""
    for later in work.build.steps():
        signature = work.facts.signatures.get(later.id)
        if work.step.id in later.needs and signature is not None:
            late = [place for place in work.places if _read_after(work.folds[place.id], signature)]
            if late:
                words = late[0].words + ": read after " + later.title + " was signed; that step needs a re-check."
                return [_decided(work, "late." + later.id, "NOTE", "order", late[0].id, words)]
    return []


def _read_after(fold, signature):
    return bool(fold.live) and signature.rank < fold.live[-1].rank


def _copied_flags(work):
    return [
        _decided(work, "copied." + place, "NOTE", "slip", place, words, work.confirmed(place, "copied"))
        for place, words in _in_a_row(work, [text for said in work.said() for text in said.texts])
    ]


def copied(work, bench):
    """Found values, equal to the last digit, in more places in a row than chance allows: [(place, words)]."""
    return _in_a_row(work, [bench.text(place.id) for place in work.sizes])


def _in_a_row(work, texts):
    most = int(work.facts.limits.number("identical_values_in_a_row", "high"))
    words = "The same value stands more than " + str(most) + " times in a row, up to "
    return [
        (work.sizes[at].id, words + work.sizes[at].words + ": was each one measured?")
        for at in slips.copied(texts, most)
    ]


def _odd_flags(work, so_far):
    """The odd one out of each family of found values; a place that is asked about already is not asked twice."""
    known = {flag["place"]: True for flag in so_far if flag["sort"] == "slip"}
    found = []
    for place, words in work.odd_ones():
        if place not in known and place not in work.asked:
            name = "slip.odd." + place
            found.append(_decided(work, name, "NOTE", "slip", place, words, work.slip_answer(place)))
    return found


def odd_words(place, reading, middle):
    """One reading that is the odd one out, in words."""
    typed = reading.typed
    shown = place.words + ", " + quantity.with_unit(typed["text"], typed["unit"]) + ": "
    return shown + slips.odd(middle, place.kind, typed)["message"]
