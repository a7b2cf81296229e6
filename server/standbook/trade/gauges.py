"""What the gauges of a step have to say: calibration past, zero not checked, too coarse for the band."""

from . import clock, instruments, judge, plain
from .work import Finding


def problems(work):
    """Findings about the instruments that were used in a step."""
    readings = work.build.book.step_readings(work.step.id)
    return (
        _overdue([entry for entry in readings if entry.body.get("instrument")])
        + _too_coarse(work)
        + _zero_due(work, readings)
    )


def _overdue(readings):
    """An instrument past its calibration date when it was used: a torque wrench stops the work, others warn."""
    found = {}
    for entry in readings:
        gauge = entry.body["instrument"]
        due = gauge.get("calibration_due")
        if due is not None and due < clock.day_of(entry.made_at):
            severity = "STOP" if gauge["kind"] in instruments.TORQUE_KINDS else "WARN"
            words = gauge["name"] + ": calibration was due on " + due + "; check it on a standard, or use another."
            found.setdefault(gauge["id"], Finding("overdue." + gauge["id"], severity, words, entry.place))
    return [found[key] for key in plain.keys_in_order(found)]


def _too_coarse(work):
    """An instrument that cannot see the band. Those that the step itself names are fine enough for it."""
    shares = {kind: work.facts.limits.number("gauge_step_share_of_band", "high", kind) for kind in ("set", "found")}
    found = {}
    for judged in work.values:
        for place in judged.value.uses:
            gauge = work.bench.instrument(place)
            if gauge and gauge["kind"] not in work.step.instrument_kinds and not _sees(judged, gauge, shares):
                words = gauge["name"] + " is too coarse for the " + judged.value.short + ": take a finer instrument."
                name = "coarse." + gauge["id"] + "." + judged.value.acts_on
                found.setdefault(name, Finding(name, "WARN", words, place))
    return [found[key] for key in plain.keys_in_order(found)]


def _sees(judged, gauge, shares):
    step = instruments.step_of(gauge)
    for against in judged.limits:
        low, high = against.limit["low"] or 0.0, against.limit["high"]
        if (
            high is not None
            and not judge.fine_enough(judged.value.set_or_found, step, gauge["dial"], low, high, shares)["fine"]
        ):
            return False
    return True


def _zero_due(work, readings):
    """Too many readings, or too long, since a gauge's zero was last checked; where the step has a place for it."""
    if "gauge_zero" not in work.by_id:
        return []
    since = _since_zero(readings, work.live_ids())
    most = work.facts.limits.number("dial_readings_since_zero", "high")
    longest = work.facts.limits.number("minutes_since_zero", "high")
    if not since or (len(since) <= most and not _longer(since, longest)):
        return []
    words = "Re-check the gauge's zero: " + str(len(since)) + " readings since it was last checked."
    return [Finding("zero_due", "NOTE", words, "gauge_zero")]


def _since_zero(readings, live):
    """Live readings with a gauge whose zero wanders, since the last zero check."""
    since = []
    for entry in readings:
        gauge = entry.body.get("instrument")
        if entry.place == "gauge_zero":
            since = []
        elif gauge and gauge["kind"] in instruments.ZEROED and entry.id in live:
            since.append(entry)
    return since


def _longer(since, longest):
    start, end = clock.minutes(since[0].made_at), clock.minutes(since[-1].made_at)
    return start is not None and end is not None and end - start > longest
