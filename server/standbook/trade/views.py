"""Work steps as the screens see them: only placing and wording; the fold and the verdicts decide what counts."""

from . import gauges, plain, quantity
from .fold import struck_by, why_words


def summary(work):
    """A step in a list; kept as long as it says the same, nobody changes it."""
    key = (work.state(), work.waits_for(), len(photos_of(work.build, work.step.id)))
    if work.summary is None or work.summary[0] != key:
        work.summary = key, _summary(work, *key)
    return work.summary[1]


def _summary(work, state, waits_for, photos):
    flags = work.flags()
    place = work.next_place()
    return {
        "id": work.step.id,
        "title": work.step.title,
        "style": work.step.style,
        "state": state,
        "filled": work.filled(),
        "of": len(work.required()),
        "waits_for": waits_for,
        "worst": flags[0] if flags else None,
        "next": {"place": place.id, "words": place.words} if place else None,
        "signed": signed_view(work),
        "photos": photos,
    }


def signed_view(work):
    signature = work.signature()
    if signature is None:
        return None
    return {"entry": signature.id, "person": work.build.name(signature.person), "at": signature.made_at}


def step_view(work):
    """The whole step: groups of places with their values, flags, walking order, what a signature binds."""
    step, place = work.step, work.next_place()
    units = usual_units(work)
    missing = work.missing_for_signature()
    return {
        "build": work.build.build_id,
        "id": step.id,
        "title": step.title,
        "purpose": step.purpose,
        "style": step.style,
        "state": work.state(),
        "filled": work.filled(),
        "of": len(work.required()),
        "waits_for": work.waits_for(),
        "instrument_kinds": list(step.instrument_kinds),
        "cautions": [caution.as_dict() for caution in step.cautions_on(work.bench)],
        "sources": list(step.sources),
        "groups": [_group(work, group, units) for group in work.groups if any(work.stands(p) for p in group.places)],
        "values": [value.view() for value in work.values if value.value.group is None],
        "flags": work.flags(),
        "walk": [place.id for place in work.places if work.stands(place)],
        "next": place.id if place else None,
        "sign": {"ready": not missing, "missing": missing, "uses": work.uses(), "shown": work.shown_text()},
        "signed": signed_view(work),
        "photos": photo_views(work.build, step.id),
    }


def photos_of(build, step):
    """Pictures of a step, or of the engine as a whole (`step` None), in order."""
    return [entry for entry in build.book.of_kind("photo") if entry.step == step]


def photo_views(build, step):
    """The same for screens. They prove, and no verdict hangs on them."""
    struck = build.book.strikes()
    return [_photo(build, entry, struck.get(entry.id)) for entry in photos_of(build, step)]


def _photo(build, entry, strike):
    picture = entry.body["photo"]
    return {
        "entry": entry.id,
        "sha256": picture["sha256"],
        "width": picture["width"],
        "height": picture["height"],
        "caption": entry.body["caption"],
        "step": entry.step,
        "place": entry.place,
        "person": build.name(entry.person),
        "made_at": entry.made_at,
        "struck": struck_by(strike).words(build.name) if strike else None,
    }


def _group(work, group, units):
    return {
        "id": group.id,
        "words": group.words,
        "aside": group.aside and not any(work.folds[place.id].readings for place in group.places),
        "places": [place_view(work, place, group.id, units) for place in group.places if work.stands(place)],
        "values": [value.view() for value in work.values if value.value.group == group.id],
    }


def place_view(work, place, group_id, units):
    """One place with its history as ink."""
    fold = work.folds[place.id]
    asked = work.asked.get(place.id)
    unit = usual_unit(work, place, units)
    return {
        "id": place.id,
        "words": place.words,
        "short": place.short,
        "group": group_id,
        "kind": place.kind,
        "set_or_found": place.set_or_found,
        "required": work.wants(place),
        "unit": unit,
        "units": list(place.units),
        "gauges": list(gauges.kinds_at(work.step, place)),
        "choices": [{"id": choice, "words": words} for choice, words in place.choices],
        "accepted": _accepted(place, fold),
        "readings": [_reading(work, place, fold, entry) for entry in fold.readings],
        "disagree": fold.disagree or fold.apart,
        "asked_again": asked.body["reason"] if asked else None,
        "not_measured": fold.not_measured,
        "next_why": "measured_again" if asked else fold.next_why(),
        "hint": hint(work, place, unit),
        "blind": place.blind,
    }


def usual_units(work):
    """(kind, family) -> the unit that the family is read in."""
    units = {}
    for place in work.places:
        typed = work.folds[place.id].typed
        if typed is not None and typed["unit"] is not None:
            units.setdefault((place.kind, place.family), typed["unit"])
    return units


def usual_unit(work, place, units):
    """The unit that the family is read in, else the shop's usual one for this engine."""
    if not place.units:
        return None
    known = units.get((place.kind, place.family))
    if known in place.units:
        return known
    if place.kind == "length" and work.facts.engine.usual_unit("bore") == "mm":
        return "mm"
    return place.units[0]


def hint(work, place, unit):
    """The place's own hint, or what is expected there; never filled in by itself."""
    expected = work.step.expect(work.bench, place.id)
    if expected is None or expected.value is None:
        return place.hint
    return "Expected about " + quantity.with_unit(quantity.text_in(place.kind, expected.value, unit), unit)


def show_value(place, typed):
    """What was typed at a place, ready for the screen."""
    if typed["unit"] is not None:
        return quantity.show_typed(place.kind, typed)
    return quantity.show_words(dict(place.choices + place.said).get(typed["text"], typed["text"]))


def show_ink(place, typed):
    """The same for ink: what cannot be read at this place is shown as it was typed."""
    try:
        return show_value(place, typed)
    except plain.Refusal:
        return quantity.show_words(typed["text"] + (" " + typed["unit"] if typed["unit"] else ""))


def _accepted(place, fold):
    return None if fold.typed is None else show_value(place, fold.typed)


def _reading(work, place, fold, entry):
    body, gauge = entry.body, entry.body.get("instrument")
    struck = fold.struck.get(entry.id)
    return {
        "id": entry.id,
        "seq": entry.seq,
        "why": entry.why,
        "why_words": why_words(entry.why),
        "shown": show_ink(place, body["value"]) if body["value"] else None,
        "not_measured": body["not_measured"],
        "person": work.build.name(entry.person),
        "made_at": entry.made_at,
        "instrument": gauge["name"] if gauge else None,
        "note": body.get("note", ""),
        "live": entry.id not in fold.struck,
        "used": entry.id in fold.used,
        "struck": struck.words(work.build.name) if struck else None,
    }


def touch_words(build, entry):
    """What the last entry was, in words."""
    if entry.kind != "reading":
        return TOUCHES.get(entry.kind, "an entry")
    for step in build.steps():
        if step.id == entry.step:
            for place in build.work(step.id).places:
                if place.id == entry.place:
                    return place.words
    return "a reading"


TOUCHES = {
    "build_opened": "build opened",
    "limits_frozen": "limits frozen",
    "engine_value": "engine specification",
    "step_signed": "work step signed",
    "decision": "the lead's decision",
    "struck_out": "an entry struck out",
    "photo": "a picture",
    "hold_signed": "Hold signed",
    "hold_opened": "Hold opened again",
}
