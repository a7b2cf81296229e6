"""The calls that the two hosts make: JSON text in, JSON text out. Errors come back as text too, never as exceptions."""

from . import VERSION, engine, facts, gauges, instruments, limits, plain, quantity
from .build import Build
from .entries import check as check_entry_dict
from .holds import HOLDS, WORDS
from .limits import Limits
from .preview import preview
from .readings import Given
from .steps import STAGES, STEPS
from .steps import step as step_by_id
from .verdicts import Judged
from .work import Accepted, Bench

_builds = {}
_names = {}
NOT_MEASURED = (
    "no gauge for it here",
    "cannot be reached now",
    "part is not here",
    "machine shop measured it",
    "lead said so",
)


def call(name, text):
    """One call by name: `text` is a JSON object, the answer JSON text; an error is `{"error": {…}}`."""
    try:
        if name not in CALLS:
            raise plain.Refusal(
                "call_unknown", "This app asks for something that its book does not know: update it.", {"call": name}
            )
        return plain.answer_json(CALLS[name](plain.read_json(text)), LONG.get(name, 0))
    except plain.Refusal as refusal:
        return plain.answer_json(refusal.as_dict())
    except Exception as fault:  # noqa: BLE001 the host must get an answer, whatever went wrong
        details = {"call": name, "fault": repr(fault)[:200]}
        failed = plain.Refusal("call_failed", "The book could not work this out: report it with the details.", details)
        return plain.answer_json(failed.as_dict())


def catalogue(_args=None):
    """Every work step, stage, engine field and instrument kind, in the words of the screens."""
    return {
        "trade_version": VERSION,
        "limits_sha256": limits.TABLE_SHA256,
        "stages": [{"id": stage, "title": title} for stage, title in STAGES],
        "steps": [_catalogue_step(step) for step in STEPS],
        "holds": [_catalogue_hold(hold) for hold in HOLDS],
        "engine_fields": [field.as_dict() for field in engine.FIELDS],
        "instrument_kinds": instruments.kinds(),
        "not_measured_reasons": list(NOT_MEASURED),
        "unit_words": dict(quantity.UNIT_WORDS),
        "card_rows": limits.card_rows(),
        "severities": ["STOP", "HOLD", "WARN", "NOTE"],
    }


def _catalogue_step(step):
    return {
        "id": step.id,
        "title": step.title,
        "stage": step.stage,
        "purpose": step.purpose,
        "style": step.style,
        "needs": list(step.needs),
        "instrument_kinds": list(step.instrument_kinds),
        "cautions": [c.as_dict() for c in step.cautions],
        "sources": list(step.sources),
    }


def _catalogue_hold(hold):
    return {
        "id": hold.id,
        "name": hold.name(),
        "before": hold.before,
        "signers": [WORDS[signs_as] for signs_as in hold.signers],
        "in_this_book": bool(hold.lines),
    }


def open_build(args):
    """A build's book from its entries; replaces the one that was open."""
    close(args)
    _builds[args["build"]] = Build(args["build"], _names)
    return add(args)


def add(args):
    """More entries of an open build; the same id again only learns its seq."""
    build = _build(args)
    if "read" in args:
        _take(build, args["read"], args["seqs"])
    if "packed" in args:
        build.take_packed(args["packed"])
    for entry in args.get("entries", ()):
        build.add(entry["text"], entry["seq"])
    return {}


def _take(build, entries, seqs):
    """Many entries whose texts were put into the question as they are: read once instead of twice."""
    if len(entries) != len(seqs):
        raise plain.Refusal("entries_uncounted", "These entries do not come out whole: send them one by one.")
    for entry, seq in zip(entries, seqs):
        build.take(entry, seq)


def close(args):
    if args["build"] in _builds:
        _builds.pop(args["build"]).close()
    return {}


def people(args):
    """Names by person id, so that the book speaks of people by name."""
    _names.clear()
    for person in args["people"]:
        _names[person["id"]] = person["name"]
    _refresh_all()
    return {}


def _refresh_all():
    for key in plain.keys_in_order(_builds):
        _builds[key].refresh()


def _build(args):
    if args["build"] not in _builds:
        raise plain.Refusal(
            "build_not_open", "This engine's book is not open: open it again.", {"build": args["build"]}
        )
    return _builds[args["build"]]


def preview_reading(args):
    """What would follow if a reading were recorded; nothing is stored."""
    work = _build(args).work(args["step"])
    why, corrects = args.get("why") or "first", args.get("corrects")
    gauge, day, at = args.get("instrument"), args.get("day", ""), args.get("at", "")
    return preview(work, args["place"], args["typed"], gauge, why, corrects, day, at)


def places(args):
    """The places of a step for an engine, in walking order."""
    raw = engine.Engine(args["engine"])
    return {"places": [_bare_place(place) for place in step_by_id(args["step"]).places(raw)]}


def _bare_place(place):
    return {"id": place.id, "words": place.words, "short": place.short, "kind": place.kind, "required": place.required}


def judge_readings(args):
    """Values, findings and cautions of a step from readings alone: {step: {place: {text, unit, instrument}}}."""
    step, spec = step_by_id(args["step"]), engine.Engine(args["engine"])
    accepted = {}
    for step_id in plain.keys_in_order(args["readings"]):
        accepted[step_id] = _bench_readings(step_by_id(step_id), spec, args["readings"][step_id])
    bench = Bench(step.id, spec, Limits(None, args.get("limits", [])), Given(accepted))
    found = [{"id": f.id, "severity": f.severity, "words": f.words, "place": f.place} for f in step.findings(bench)]
    values = [Judged(value, bench).view() for value in step.derive(bench)]
    return {"values": values, "flags": found, "cautions": [caution.as_dict() for caution in step.cautions]}


def _bench_readings(step, spec, readings):
    found = {}
    for place in step.places(spec):
        if place.id in readings:
            typed = readings[place.id]
            number = quantity.typed_value(place.kind, typed) if typed["unit"] is not None else None
            found[place.id] = Accepted(number, typed, typed.get("instrument"))
    return found


def check_engine(args):
    """Problems of a specification before it is written, and what follows from it."""
    spec = engine.Engine(args["fields"])
    return {"problems": spec.problems(), "derived": engine.derived(spec)}


def check_entry(args):
    check_entry_dict(plain.from_json(args["text"]))
    return {}


def use_limits(args):
    facts.use_table(args["sha256"], args["text"])
    _refresh_all()
    return {}


def work_out(args):
    """One calculator. They are many, and a screen that asks for none must not wait until they are loaded."""
    from . import reckon

    return reckon.reckon(args["name"], args["inputs"])


def reckon_page(args):
    """The page of the calculators, in words; loaded like them when it is asked for."""
    from . import reckon_page

    return reckon_page.page(args)


def limits_of(args):
    """Cards in force and how each limit came to be; loaded at the desk alone."""
    from . import limit_history

    return limit_history.view(_build(args))


def tightened_in(args):
    """Who tightened what with which wrench; loaded at the desk alone."""
    from . import tightened

    return tightened.view(_build(args))


#: Long answers, and down to which level they are made of short ones: a step to the places of its groups.
LONG = {"step": 4, "tightened": 2}
CALLS = {
    "catalogue": catalogue,
    "open": open_build,
    "add": add,
    "close": close,
    "people": people,
    "state": lambda args: _build(args).state_text(),
    "step": lambda args: _build(args).step(args["step"]),
    "hold": lambda args: _build(args).hold(args["hold"]),
    "guide": lambda args: _build(args).guide(args["step"]),
    "preview": preview_reading,
    "gauges": lambda args: {"notes": gauges.notes(args["instruments"], args["day"])},
    "places": places,
    "judge": judge_readings,
    "check_engine": check_engine,
    "check_entry": check_entry,
    "use_limits": use_limits,
    "reckon": work_out,
    "reckon_page": reckon_page,
    "limits": limits_of,
    "tightened": tightened_in,
}
