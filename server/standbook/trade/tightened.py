"""Who tightened what with which wrench: every torque, angle and pass of a joint, gathered by person and wrench.

Nothing is judged here. A reading counts for the record wherever it stands, struck out or not: the hand was there.
"""

from . import plain, quantity, views
from .factors import FACTORS
from .fold import struck_by, why_words
from .places import kind_of

NO_WRENCH = "no wrench named"


def view(build):
    """The readings of each person with each wrench, in the order of the book; persons in order, then wrenches."""
    groups, jointed = {}, _steps_with_torque(build)
    for entry in build.book.of_kind("reading"):
        if _is_tightening(build, entry, jointed):
            gauge = entry.body.get("instrument")
            wrench = gauge["name"] if gauge else NO_WRENCH
            groups.setdefault((build.name(entry.person), wrench), []).append(entry)
    return {"groups": [_group(build, key, groups[key]) for key in plain.keys_in_order(groups)]}


def _group(build, key, entries):
    gauge = entries[-1].body.get("instrument")
    return {
        "person": key[0],
        "wrench": key[1],
        "due": gauge.get("calibration_due") if gauge else None,
        "lines": [_line(build, entry) for entry in entries],
    }


def _steps_with_torque(build):
    """Steps in which a joint is tightened: elsewhere an angle is the crank's or the cam's."""
    layouts = [(step.id, build.facts().layout(step)) for step in build.steps()]
    return [step for step, layout in layouts if any(place.kind == "torque" for place in layout.places)]


def _is_tightening(build, entry, jointed):
    """By what it took of a wrench, else by its place; at a place of a newer version by its unit of torque.

    A torque or an angle that no gauge is asked for is what the card says.
    """
    value, kind = entry.body["value"], kind_of(entry.step, entry.place)
    if value is None:
        return False
    if entry.body.get("pulls", 0) > 0:
        return True
    place = _place(build, entry)
    if place is not None and place.gauges == ():
        return False
    if kind is None:
        return value["unit"] in FACTORS["torque"]
    return kind == "torque" or (kind == "angle" and entry.step in jointed)


def _line(build, entry):
    place, strike = _place(build, entry), build.book.strikes().get(entry.id)
    fold = build.fold(entry.step, place) if place is not None else None
    struck = fold.struck.get(entry.id) if fold is not None else struck_by(strike) if strike else None
    return {
        "entry": entry.id,
        "step": _title(build, entry.step),
        "words": place.words if place is not None else "a place of a newer version",
        "shown": _shown(place, entry.body),
        "at": entry.made_at,
        "why": why_words(entry.why),
        "note": entry.body.get("note", ""),
        "struck": struck.words(build.name) if struck else None,
    }


def _shown(place, body):
    pulls, value = body.get("pulls", 0), body["value"]
    if pulls > 0:
        words = "1 fastener" if pulls == 1 else str(pulls) + " fasteners"
        return {"text": value["text"], "unit": None, "echo": "", "words": words}
    if place is not None:
        return views.show_ink(place, value)
    return quantity.show_typed("torque", value)


def _place(build, entry):
    for step in build.steps():
        if step.id == entry.step:
            return build.facts().layout(step).by_id.get(entry.place)
    return None


def _title(build, step_id):
    titles = [step.title for step in build.steps() if step.id == step_id]
    return titles[0] if titles else "a step of a newer version"
