"""Holds as the screens see them: only placing and wording."""

from . import holds, holdwork, plain
from .work import DEFER, Caution

ANSWER_WORDS = {"done": "done", "not_in_job": "not in this job"}


def summaries(build):
    """The Holds whose work this book holds, in the order of the build."""
    return [summary(holdwork.work(build, hold.id)) for hold in holds.HOLDS if hold.lines]


def summary(work):
    """A Hold in a list; kept as long as it says the same, nobody changes it."""
    state, waits_for = work.state(), _waits_for(work)
    signed = [entry.id for entry in _counted(work)]
    key = (work.hold.id, state) + tuple(waits_for + signed)
    return work.build.settled(key, lambda: _summary(work, state, waits_for))


def _summary(work, state, waits_for):
    hold = work.hold
    return {
        "id": hold.id,
        "name": hold.name(),
        "before": hold.before,
        "state": state,
        "waits_for": waits_for,
        "signers": [_signer(work, signs_as) for signs_as in hold.signers],
    }


def _waits_for(work):
    """Ways to sign that are wanted now: nothing but the signature stands in the way."""
    if work.state() in (holdwork.SIGNED, holdwork.WAITING) or work.waits():
        return []
    return [signs_as for signs_as in work.hold.signers if signs_as not in work.counted]


def _signer(work, signs_as):
    entry = work.counted.get(signs_as)
    return {
        "signs_as": signs_as,
        "words": holds.WORDS[signs_as],
        "roles": list(holds.ROLES[signs_as]),
        "away": holds.may_be_away(work.hold.id, signs_as),
        "signed": None if entry is None else _signed(work, entry),
    }


def _signed(work, entry):
    away = ", away from the engine" if entry.body["at"] == "away" else ""
    return {"entry": entry.id, "person": work.build.name(entry.person), "at": entry.made_at, "where": away}


def view(work):
    """The whole Hold: what it rests on, what stands in its way, who may sign, what a signature binds."""
    hold, missing = work.hold, work.missing()
    found = dict(summary(work))
    found.update(
        {
            "build": work.build.build_id,
            "cautions": [caution.as_dict() for caution in _cautions(hold)],
            "looks_at": hold.looks_at,
            "barred": hold.barred,
            "falls": hold.falls,
            "lines": [_line(work, line) for line in work.lines],
            "not_them": _not_them(work),
            "history": [_history(work, entry) for entry in _past(work)],
            "sign": {
                "ready": not missing,
                "missing": missing,
                "uses": work.uses(),
                "steps": [step.step.id for step in work.steps],
                "shown": shown_text(work),
            },
        }
    )
    return found


def _cautions(hold):
    stop = "No work beyond this Hold (" + hold.before + ") before two people have signed it."
    return (Caution("two_people", stop), DEFER)


def _line(work, line):
    steps = [work.build.work(name) for name in line.steps]
    return {
        "no": line.no,
        "asks": line.asks,
        "steps": [{"id": step.step.id, "title": step.step.title, "state": step.state()} for step in steps],
        "answers": [_answer(work, entry, line) for entry in _counted(work) if _answer_of(entry, line)],
    }


def _counted(work):
    return [work.counted[signs_as] for signs_as in work.hold.signers if signs_as in work.counted]


def _answer_of(entry, line):
    for answer in entry.body["lines"]:
        if answer["line"] == line.no:
            return answer
    return None


def _answer(work, entry, line):
    given = _answer_of(entry, line)
    words = ANSWER_WORDS[given["answer"]] + (", because " + given["note"] if given["note"] else "")
    return {"person": work.build.name(entry.person), "answer": given["answer"], "note": given["note"], "words": words}


def _not_them(work):
    """Who cannot sign in which way, and why: {"person": id, "signs_as", "words"}."""
    doers, found = work.doers(), []
    people = dict.fromkeys([entry.person for entry in _counted(work)], True)
    people.update(doers)
    for signs_as in work.hold.signers:
        for person in plain.keys_in_order(people):
            why = work.not_him(person, signs_as, doers)
            if why is not None:
                words = work.build.name(person) + " " + why + "."
                found.append({"person": person, "signs_as": signs_as, "words": words})
    return found


def _past(work):
    """Signatures that do not count, and openings: the latest last."""
    return plain.in_order(
        [entry for entry in work.signatures if entry.id in work.fallen] + list(work.openings),
        key=lambda entry: entry.rank,
    )


def _history(work, entry):
    name = work.build.name(entry.person)
    if entry.kind == "hold_opened":
        words = "Opened again by " + name + ": " + entry.body["reason"]
    else:
        words = "Signed as " + holds.WORDS[entry.body["signs_as"]] + " by " + name + "; " + work.fallen[entry.id]
    return {"entry": entry.id, "words": words, "at": entry.made_at}


def shown_text(work):
    """What a signature shows and binds, as canonical text."""
    return plain.to_json(
        {
            "hold": work.hold.id,
            "lines": [[line.no, line.asks] for line in work.lines],
            "steps": [step.shown_text() for step in work.steps],
            "below": [[hold_id, holdwork.work(work.build, hold_id).state()] for hold_id in work.hold.needs],
        }
    )
