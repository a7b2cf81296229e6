"""What the gauges of a step have to say: calibration past, zero not checked, too coarse for the band."""

from . import clock, instruments, judge, plain, quantity
from .work import Finding


def problems(work):
    """Findings about the instruments of the readings that live in a step."""
    return _overdue(work) + _coarse(work) + _zero_due(work)


def _overdue(work):
    """An instrument past its calibration date when it was used: a torque wrench stops the work, others warn."""
    first = {}
    for entry in [entry for said in work.said() for entry in said.overdue]:
        gauge = entry.body["instrument"]["id"]
        if gauge not in first or entry.rank < first[gauge].rank:
            first[gauge] = entry
    return [_overdue_finding(first[gauge]) for gauge in plain.keys_in_order(first)]


def _overdue_finding(entry):
    gauge = entry.body["instrument"]
    return Finding("overdue." + gauge["id"], _weight(gauge), instruments.why_overdue(gauge), entry.place)


def _weight(gauge):
    return "STOP" if gauge["kind"] in instruments.TORQUE_KINDS else "WARN"


def notes(given, day):
    """What to know of each instrument before it is taken, by its id: words, the check, whether it is overdue."""
    return {gauge["id"]: _note(gauge, day) for gauge in given}


def _note(gauge, day):
    overdue = instruments.is_overdue(gauge, day)
    return {
        "words": ", ".join(_about(gauge)),
        "check": instruments.check_of(gauge["kind"]),
        "severity": _weight(gauge) if overdue else None,
        "overdue": instruments.why_overdue(gauge) if overdue else None,
    }


def _about(gauge):
    step, trust, reads = gauge["step"], gauge["trust"], instruments.range_words(gauge)
    found = ["reads to " + quantity.with_unit(step["text"], step["unit"])]
    found.append("trusted to \u00b1" + quantity.with_unit(gauge.get("band") or trust["text"], trust["unit"]))
    if reads:
        found.append(reads)
    if gauge.get("calibration_due"):
        found.append("calibration due " + gauge["calibration_due"])
    return found


def kinds_at(step, place):
    """Kinds of gauge that fit a place, best first; of a quantity that is no length its own, whatever the step names."""
    if place.gauges == ():
        return ()
    if place.kind in instruments.KINDS_FOR:
        return instruments.KINDS_FOR[place.kind]
    return step.instrument_kinds if place.kind in instruments.ASKED else ()


def _coarse(work):
    """Each instrument that is too coarse for a sort of value, once."""
    found = {}
    for finding in work.coarse:
        found.setdefault(finding.id, finding)
    return [found[key] for key in plain.keys_in_order(found)]


def too_coarse(work, bench, values):
    """An instrument that cannot see the band of a value it was used for."""
    found, uses, doubtful = [], None, []
    for judged in [judged for judged in values if judged.limits]:
        if judged.value.uses is not uses:
            uses = judged.value.uses
            doubtful = _doubtful(work, bench, uses)
        for place, gauge in doubtful:
            if not _sees(judged, gauge, bench.limits):
                words = gauge["name"] + " is too coarse for the " + judged.value.short + ": take a finer instrument."
                found.append(Finding("coarse." + gauge["id"] + "." + judged.value.acts_on, "WARN", words, place))
    return found


def _doubtful(work, bench, places):
    """(place, gauge) where it is none that the trade names there; of places in a row that are alike the first."""
    found, before, kinds_before = [], None, None
    for place, read in zip(places, bench.all(places)):
        gauge = read and read.instrument
        if not gauge:
            continue
        at = work.by_id.get(place)
        kinds = work.step.instrument_kinds if at is None or at.gauges is None else at.gauges
        if gauge is not before or kinds is not kinds_before:
            before, kinds_before = gauge, kinds
            if not _is_the_right_one(kinds, gauge):
                found.append((place, gauge))
    return found


def _is_the_right_one(kinds, gauge):
    """The gauge that the trade names for a place, as fine as its kind usually is, is fine enough."""
    usual = instruments.usual_step(gauge["kind"])
    return gauge["kind"] in kinds and usual is not None and instruments.step_of(gauge) <= usual + 1e-9


def _sees(judged, gauge, limits):
    step = instruments.step_of(gauge)
    shares = {kind: limits.number("gauge_step_share_of_band", "high", kind) for kind in ("set", "found")}
    for against in judged.limits:
        low, high = against.limit["low"] or 0.0, against.limit["high"]
        if high is not None and judged.value.kind == "length":
            fit = judge.fine_enough(judged.value.set_or_found, step, gauge["dial"], low, high, shares)
            if not fit["fine"]:
                return False
    return True


def _zero_due(work):
    """Too many readings, or too long, since a gauge's zero was last checked; where the step has a place for it."""
    if "gauge_zero" not in work.by_id:
        return []
    since = work.since_zero()
    most = work.facts.limits.number("dial_readings_since_zero", "high")
    longest = work.facts.limits.number("minutes_since_zero", "high")
    if len(since) > most:
        words = "Re-check the gauge's zero: " + str(len(since)) + " readings since it was last checked."
    elif since and _minutes(since) > longest:
        words = "Re-check the gauge's zero: " + str(int(_minutes(since))) + " minutes since it was last checked."
    else:
        return []
    return [Finding("zero_due", "WARN", words, "gauge_zero")]


def since_zero(readings, folds):
    """Live readings with a gauge whose zero wanders, latest first, back to where the zero was last found right."""
    since = []
    for entry in reversed(readings):
        fold = folds.get(entry.place)
        if fold is None or entry.id in fold.struck:
            continue
        if entry.place != "gauge_zero":
            gauge = entry.body.get("instrument")
            if gauge and gauge["kind"] in instruments.ZEROED:
                since.append(entry)
        elif (entry.body["value"] or {}).get("text") == "yes":
            break
    return since


def _minutes(since):
    gone = clock.minutes_between(since[-1].made_at, since[0].made_at)
    return 0.0 if gone is None else gone
