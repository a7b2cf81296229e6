"""What would follow if a reading were recorded: its echo, slips, the values it touches. Nothing is stored."""

from . import flags, instruments, judge, plain, slips, steppers
from .entry import entry_of
from .views import show_value

#: After every reading that this phone or the shop has.
LAST_NUMBER = 1 << 29


def preview(work, place_id, typed, instrument, why="first", corrects=None, day="", at=""):
    """The `Preview` of the screens for something typed at a place on a day, at a moment of the device's clock.

    Raises Refusal for an unknown place.
    """
    place = work.by_id.get(place_id)
    if place is None:
        raise plain.Refusal("place_unknown", "This engine has no such place: go back to the step.", {"place": place_id})
    try:
        shown = show_value(place, typed)
        _check_kind(place, typed)
    except plain.Refusal as refusal:
        return _preview(error=refusal.as_dict()["error"])
    fold = work.build.fold_with(work.step.id, place, _entry(work, place, typed, instrument, why, corrects, at))
    bench = _without_the_old_part(work, place, why).with_reading(place.id, fold.accepted())
    asked = _slips(work, place, typed, instrument, bench) + _overdue(instrument, day)
    if fold.apart or fold.disagree:
        found = _preview(value=shown, slips=asked, sentence=APART, ask=bool(asked))
    else:
        found = _judged(shown, asked, _touched(work, bench, place.id))
    found["steps"] = steppers.of_reading(place.kind, typed, instrument)
    return found


def _without_the_old_part(work, place, why):
    """The bench as it lies: what was read at a part goes with it when another one takes its place."""
    bench = work.bench
    for mate in place.mates if why == "part_changed" else ():
        bench = bench.with_reading(mate, None)
    return bench


#: Sorts of findings that are asked about before what was measured is kept.
ASKED = ("slip", "joint")
APART = "This does not agree with the reading before: record it and take a third."


def _entry(work, place, typed, instrument, why, corrects, at):
    """The reading as an entry of this device that knows everything written so far."""
    live = work.folds[place.id].live
    if why == "typed_wrong" and corrects is None and live:
        corrects = live[-1].id
    body = {"v": 1, "value": typed, "not_measured": None, "instrument": instrument, "corrects": corrects or ""}
    data = {
        "id": "preview",
        "kind": "reading",
        "step": work.step.id,
        "place": place.id,
        "why": why,
        "body": body,
        "person": "",
        "device": "",
        "device_no": LAST_NUMBER,
        "made_at": at,
        "seen": LAST_NUMBER,
    }
    return entry_of(data, None)


def _check_kind(place, typed):
    if typed["unit"] is None and place.units:
        raise plain.Refusal("unit_missing", "Choose a unit for this reading.", {"place": place.id})
    if place.choices and typed["text"] not in dict(place.choices):
        raise plain.Refusal("choice_unknown", "Choose one of the answers.", {"place": place.id})
    if plain.bare(typed["text"]) == "":
        raise plain.Refusal("number_empty", "Nothing typed yet.", {"place": place.id})


def _overdue(instrument, day):
    """A wrench past its calibration is named before its reading is kept; the flag that stops stands afterwards."""
    if not instrument or instrument["kind"] not in instruments.TORQUE_KINDS:
        return []
    if not instruments.is_overdue(instrument, day):
        return []
    words = "STOP: " + instruments.why_overdue(instrument) + " Kept all the same, it waits for the lead."
    return [{"id": "overdue", "message": words, "offer": None}]


def _slips(work, place, typed, instrument, bench):
    """Slips of the reading itself, then what the step's own findings would say about this place."""
    if place.kind == "text":
        return []
    so, measured = work.found_so(place.id, typed), place.kind in slips.KINDS
    found = work.suspected(place, typed, instrument, bench) if measured and not slips.answered(so) else []
    known = [finding.id for finding in work.findings]
    for finding in [one for part in work.parts_of(place.id) for one in work.step.findings(bench, part)]:
        asks = finding.severity != "NOTE" and (finding.sort == "wait" or (measured and finding.sort in ASKED))
        if asks and finding.place == place.id and finding.id not in known and "finding." + finding.id not in so:
            found.append(_asked(finding))
    return found + (_copied(work, place, bench, so) if measured else [])


def _asked(finding):
    """A finding as a question; `wait`: the time that is not over yet, where that is what is asked about."""
    return {
        "id": "finding." + finding.id,
        "message": finding.words,
        "offer": None,
        "sort": finding.sort,
        "wait": finding.wait,
    }


def _copied(work, place, bench, so):
    if "copied" in so or not _says_the_same_again(work, place, bench):
        return []
    messages = [words for at, words in flags.copied(work, bench) if at == place.id]
    return [{"id": "copied", "message": words, "offer": None} for words in messages]


def _says_the_same_again(work, place, bench):
    """Whether the found size before this one reads alike, as the last two of a row of alike ones do."""
    walk = work.places
    for at in range(walk.index(place) - 1, -1, -1):
        if walk[at].kind == "length" and walk[at].set_or_found == "found":
            return bench.text(walk[at].id) == bench.text(place.id)
    return False


def _touched(work, bench, place_id):
    """The values that the place touches; those over a whole family only where they are bad."""
    return [judged for judged in work.judged_on(bench, place_id) if judged.value.group is not None or judged.is_bad()]


def _judged(shown, asked, touched):
    told = [judged for judged in touched if judged.word != "cannot judge"] or touched
    word = judge.worst([judged.word for judged in told])
    worst = [judged for judged in told if judged.word == word]
    return _preview(
        value=shown,
        slips=asked,
        values=[judged.view() for judged in touched],
        verdict=word,
        severity=judge.worst_severity([judged.severity for judged in told]),
        sentence=worst[0].sentence() if worst else "",
        ask=bool(asked) or any(judged.is_bad() for judged in touched),
    )


def _preview(error=None, value=None, slips=(), values=(), verdict=None, severity=None, sentence="", ask=False):
    return {
        "error": error,
        "value": value,
        "slips": list(slips),
        "values": list(values),
        "verdict": verdict,
        "severity": severity,
        "sentence": sentence,
        "ask": ask,
        "steps": None,
    }
