"""What a step has to say to mechanic and lead: a plain sentence per finding, with its severity and its answer."""

from . import gauges, judge, plain, quantity, slips

#: Severities that want an answer.
ASKING = ("STOP", "HOLD", "WARN")


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
    found = _value_flags(work)
    for place in work.places:
        found.extend(_place_flags(work, place, work.folds[place.id]))
    for finding in work.step.findings(work.bench):
        found.append(
            _decided(work, "finding." + finding.id, finding.severity, finding.sort, finding.place, finding.words)
        )
    found.extend(_order_flags(work) + _late(work) + _copied(work))
    for problem in gauges.problems(work):
        found.append(_decided(work, problem.id, problem.severity, "instrument", problem.place, problem.words))
    return by_weight(found)


def _flag(work, flag_id, severity, sort, words, about, place, answer=None, wants_lead=True):
    return flag(work.step.id + ":" + flag_id, severity, sort, words, work.step.id, about, place, answer, wants_lead)


def _decided(work, flag_id, severity, sort, place, words, note=None):
    """A flag that the lead can accept with a reason; `note`: the mechanic has already answered "found so"."""
    about = work.step.id + ":" + flag_id
    decision = work.facts.decision_about(about)
    accepted = decision is not None and decision.body["decision"] == "accept"
    answer = (
        "accepted by lead: " + decision.body["reason"] if accepted else None if note is None else "found so: " + note
    )
    return _flag(work, flag_id, severity, sort, words, about, place, answer, not accepted)


# --- values ---


def _value_flags(work):
    found = [_value_flag(work, judged) for judged in work.values if judged.severity is not None]
    return found + _no_card(work)


def _no_card(work):
    """A limit that only the part maker's card gives, and no card in force: said once."""
    for judged in work.values:
        if judged.value.number is not None and work.facts.limits.wants_card(judged.value.acts_on):
            words = (
                work.step.title
                + ": only the part maker's card can judge the "
                + judged.value.short
                + "; the lead adds it."
            )
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
        return "accepted by lead: " + judged.acceptance["reason"], False
    for place in judged.value.uses:
        if place in work.asked:
            return "lead: measure again, " + work.asked[place].body["reason"], False
    for place in judged.value.uses:
        note = work.confirmed(place, "out")
        if note is not None:
            return "found so: " + note, True
    return None, True


# --- places ---


def _place_flags(work, place, fold):
    found = []
    if fold.disagree:
        words = place.words + ": two readings disagree; the lead settles it."
        found.append(_flag(work, "disagree." + place.id, "HOLD", "disagree", words, place.id, place.id))
    if fold.apart:
        words = place.words + ": no two readings agree; clean gauge and part, same temperature, and measure again."
        found.append(_flag(work, "apart." + place.id, "WARN", "disagree", words, place.id, place.id, None, False))
    if place.id in work.asked:
        words = place.words + ": the lead asks to measure again: " + work.asked[place.id].body["reason"]
        found.append(_flag(work, "asked." + place.id, "WARN", "asked again", words, place.id, place.id, None, False))
    if fold.not_measured is not None and place.required:
        words = place.words + ": not measured, because " + fold.not_measured
        found.append(_decided(work, "skipped." + place.id, "WARN", "not measured", place.id, words))
    return found + _slip_flags(work, place, fold)


def _slip_flags(work, place, fold):
    if place.kind != "length" or fold.typed is None or place.id in work.asked:
        return []
    found = []
    for slip in work.suspected(place, fold.typed, work.bench.instrument(place.id)):
        note = work.confirmed(place.id, slip["id"])
        words = place.words + ", " + quantity.with_unit(fold.typed["text"], fold.typed["unit"]) + ": " + slip["message"]
        severity = "WARN" if note is None else "NOTE"
        found.append(_decided(work, "slip." + slip["id"] + "." + place.id, severity, "slip", place.id, words, note))
    return found


# --- the step as a whole ---


def _order_flags(work):
    """Work done out of order is stored, since the record must not lie, but it wants the lead's decision."""
    waits = work.waits_for()
    if not waits:
        return []
    words = work.step.title + " was begun before this was accepted: " + ", ".join(waits) + "."
    return [_decided(work, "order", "WARN", "order", None, words)]


def _late(work):
    """A reading that came after a step resting on it was signed: the record keeps it, the signature falls."""
    for later in work.build.steps():
        signature = work.facts.signatures.get(later.id)
        if work.step.id in later.needs and signature is not None:
            late = [place for place in work.places for r in work.folds[place.id].live if signature.rank() < r.rank()]
            if late:
                words = late[0].words + ": read after " + later.title + " was signed; that step needs a re-check."
                return [_decided(work, "late." + later.id, "WARN", "order", late[0].id, words)]
    return []


def _copied(work):
    """One found value, equal to the last digit, in more places in a row than chance allows: asked once."""
    places = [place for place in work.places if place.kind == "length" and place.set_or_found == "found"]
    texts = [work.folds[place.id].typed["text"] if work.folds[place.id].typed else None for place in places]
    most = int(work.facts.limits.number("identical_values_in_a_row", "high"))
    at = slips.copied(texts, most)
    if at is None:
        return []
    words = (
        "The same value stands more than "
        + str(most)
        + " times in a row, up to "
        + places[at].words
        + ": was each one measured?"
    )
    return [_decided(work, "copied", "NOTE", "slip", places[at].id, words, work.confirmed(places[at].id, "copied"))]
