"""What two leads wrote at once about one thing, neither knowing of the other's: the later holds, and it is told.

It is settled by whoever writes about it again knowing both (LG11).
"""

from . import flags, plain
from .engine import BY_NAME
from .entry import saw

VERBS = {"accept": "accepts it", "measure_again": "asks to measure again"}
HOLDS = "The later one holds until a lead who knows both decides."


def at_once(entries, differ):
    """The first two of these that differ, neither having seen the other, and that nobody settled; None without any."""
    for later in range(len(entries)):
        for earlier in range(later):
            pair = (entries[earlier], entries[later])
            if differ(pair[0], pair[1]) and _unseen(pair[0], pair[1]) and not _settled(entries, pair):
                return pair
    return None


def _unseen(one, other):
    return not saw(one, other) and not saw(other, one)


def _settled(entries, pair):
    return any(saw(entry, pair[0]) and saw(entry, pair[1]) for entry in entries)


def of_step(work, found):
    """A flag for each thing of a step that was decided in two ways at once; `found`: the step's other flags."""
    by_about = {}
    for decision in work.facts.decisions:
        if decision.step == work.step.id:
            by_about.setdefault(decision.body["about"], []).append(decision)
    told = []
    for about in plain.keys_in_order(by_about):
        pair = at_once(by_about[about], _decided_otherwise)
        if pair is not None:
            told.append(_decided_twice(work, found, about, pair))
    return told


def _decided_otherwise(one, other):
    return one.body["decision"] != other.body["decision"]


def _decided_twice(work, found, about, pair):
    both = " and ".join([_says(work.build, decision) for decision in pair])
    words = _named(work, found, about) + ": decided at two desks at once, " + both + ". " + HOLDS
    name = work.step.id + ":meanwhile." + about
    return flags.flag(name, "HOLD", "disagree", words, work.step.id, about, _place(work, about))


def _says(build, decision):
    verb = VERBS[decision.body["decision"]]
    return build.name(decision.person) + " " + verb + " (" + decision.body["reason"] + ")"


def _named(work, found, about):
    for judged in work.values:
        if judged.value.id == about:
            return judged.value.words
    if about in work.by_id:
        return work.by_id[about].words
    for flag in found:
        if flag["about"] == about:
            return flag["words"].partition(":")[0]
    return work.step.title


def _place(work, about):
    for judged in work.values:
        if judged.value.id == about:
            return judged.value.uses[0]
    return about if about in work.by_id else None


def of_engine(build):
    """Limits or a value of the specification, written at two desks at once."""
    found = []
    pair = at_once(build.book.of_kind("limits_frozen"), _other_cards)
    if pair is not None:
        found.append(
            _written_twice(build, "limits", "Limits and cards", pair, "look at the cards, add what is missing")
        )
    by_field = {}
    for entry in build.book.of_kind("engine_value"):
        by_field.setdefault(entry.body["field"], []).append(entry)
    for field in [name for name in plain.keys_in_order(by_field) if name in BY_NAME]:
        pair = at_once(by_field[field], _other_value)
        if pair is not None:
            words = "Engine, " + build.facts().engine.words(field)
            found.append(_written_twice(build, "engine." + field, words, pair, "write the right value again"))
    return found


def _other_cards(one, other):
    return one.body["cards"] != other.body["cards"] or one.body["defaults"] != other.body["defaults"]


def _other_value(one, other):
    return one.body["value"] != other.body["value"]


def _written_twice(build, name, words, pair, do_next):
    who = build.name(pair[0].person) + " and by " + build.name(pair[1].person)
    said = words + ": changed at two desks at once, by " + who + ". The later one holds: " + do_next + "."
    return flags.flag("meanwhile." + name, "HOLD", "engine", said)
