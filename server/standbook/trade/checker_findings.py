"""What the checking pushrod's readings give to notice beside values: slips, goes that do not fit."""

from . import checker, checker_guide, plain, pushrod_order
from .checker import SIDES
from .work import FAMILY, Finding, wants

#: The other thread that checkers have: 24 an inch (common practice).
WRONG_PITCH = 25.4 / 24.0
#: From one go to another no valve wants a length so far away (common practice).
FAR = 0.5 * 25.4


def findings(bench, only=None):
    """Wrong method, springs, lifter or caps; misread edges, contacts that cannot be, miscounted turns, goes apart."""
    found = _how_findings(bench) if wants(only, FAMILY) else []
    for valve in checker.valves_on(bench, only):
        for go in valve.goes:
            if wants(only, go.group) and go.begun():
                found.extend(_go_findings(bench, valve, go))
        if wants(only, valve.id):
            found.extend(_valve_findings(valve))
    return found + (_neighbours(bench) + _exchanged(bench) + _no_order(bench) if wants(only, FAMILY) else [])


def _exchanged(bench):
    """A cylinder whose intake lies among the exhausts and whose exhaust among the intakes: filed under each other?"""
    orders, found = pushrod_order.orders_of(bench), []
    at = {valve.id: orders.measured(valve) for valve in orders.found}
    cylinders = [valve.cylinder for valve in orders.found if valve.side == "I" and str(valve.cylinder) + "E" in at]
    for n in cylinders if len(cylinders) > 2 else ():
        middles = {side: plain.median([at[str(m) + side] for m in cylinders if m != n]) for side, _ in SIDES}
        apart = abs(middles["I"] - middles["E"])
        here = [at[str(n) + side] for side in ("I", "E")]
        crossed = max(abs(here[0] - middles["E"]), abs(here[1] - middles["I"]))
        if apart > pushrod_order.inches_of("ideal_length_spread") and crossed < apart / 2.0:
            words = "Cylinder " + str(n) + ": intake and exhaust read like each other's; filed under the wrong valve?"
            found.append(Finding("exchanged." + str(n), "WARN", words, str(n) + "E.1.cal"))
    return found


def _no_order(bench):
    """All was asked that an order needs, and there is none."""
    missing = pushrod_order.orders_of(bench).missing
    if not missing or None in [bench.at(place) for place in ("ball", "flat", "basis", "changes")]:
        return []
    return [Finding("no_order", "HOLD", "No order length yet: missing " + "; ".join(missing) + ".", "basis", "missing")]


def _how_findings(bench):
    rockers, found = checker.rockers(bench.engine), []
    if rockers.missing:
        words = "No length can be told: the specification lacks " + "; ".join(rockers.missing) + "."
        found.append(Finding("figures", "HOLD", words, None, "missing"))
    method = bench.text("method")
    refused = rockers.refuses(method) if method else None
    if refused:
        found.append(Finding("method", "HOLD", refused, "method", "order"))
    for place, answer, severity, words in ASKED:
        if bench.text(place) == answer:
            found.append(Finding("how." + place, severity, words, place, "order"))
    cups = [bench.number(place) for place in ("cup_checker", "cup_real")]
    if bench.text("lifter") == pushrod_order.SOLID_CHECKER and None in cups:
        words = "A checking lifter without both cup heights: the length is not corrected for the real lifter."
        found.append(Finding("cups", "HOLD", words, "cup_checker", "missing"))
    return found


ASKED = (
    ("springs", "no", "HOLD", "The checker is weak: light checking springs first, on every valve that is marked."),
    (
        "gasket",
        "no",
        "WARN",
        "Without the measured gasket the rockers stand elsewhere: correct the length, or mark again.",
    ),
    ("caps", "off", "HOLD", "Lash caps raise the tips: fit them and mark again."),
    (
        "lifter",
        "free",
        "HOLD",
        "A hydraulic lifter that can collapse gives a length too long: lock it, or take a solid one.",
    ),
)


def _go_findings(bench, valve, go):
    found = []
    if go.refused:
        found.append(Finding("impossible." + go.at[:-1], "WARN", valve.words + ": " + go.refused, go.at + "open"))
    found.extend(_count_findings(bench, valve, go) + _strangers(valve, go))
    if go.has_mark() and valve.stem is not None:
        found.extend(_mark_findings(valve, go))
    for what, words in (
        ("closed", "closed contact"),
        ("open", "contact at full lift"),
        ("inner", "inner edge"),
        ("outer", "outer edge"),
    ):
        first, second = go.readings[what]
        if (
            None not in (first, second)
            and abs(first - second) > checker.MOST_DEVIATIONS * checker.ROOT_TWO * checker.EDGE
        ):
            told = valve.words + ": both readings of the " + words + " lie too far apart; ink it anew and read again."
            found.append(Finding("twice." + go.at + what, "WARN", told, go.at + what + "2"))
    return found


def _strangers(valve, go):
    """A length far from the valve's other goes, a contact that does not lie on the stem: digits or unit."""
    name, found = valve.words + ", go " + str(go.number) + ": ", []
    others = [other.caliper for other in valve.goes if other is not go and other.caliper is not None]
    if go.caliper is not None and others and abs(go.caliper - plain.median(others)) > FAR:
        words = name + "far from the other lengths of this valve, look again."
        found.append(Finding("far." + go.at[:-1], "WARN", words, go.at + "cal"))
    for what, again in (("closed", ""), ("open", ""), ("closed", "2"), ("open", "2")):
        contact = go.readings[what][1 if again else 0]
        if None not in (contact, valve.stem) and not 0.0 <= contact <= valve.stem:
            words = name + "this contact does not lie on the stem, look again."
            found.append(Finding("off_stem." + go.at + what + again, "WARN", words, go.at + what + again))
    return found


def _mark_findings(valve, go):
    at, name = go.at + "outer", valve.words + ", go " + str(go.number) + ": "
    if go.inner > go.outer:
        words = "the inner edge lies outside the outer one: swapped, or measured from the outboard edge?"
        return [Finding("edges." + go.at[:-1], "WARN", name + words, at)]
    if go.inner < 0.0 or go.outer > valve.stem:
        return [
            Finding("beyond." + go.at[:-1], "WARN", name + "the mark lies beyond the stem: read both edges again.", at)
        ]
    if valve.rockers.pad or valve.lift is None or valve.rockers.missing:
        return []
    if go.width() < valve.narrowest() / 2.0:
        words = "narrower than this rocker can mark: engine not turned through, or dye wiped?"
        return [Finding("narrow." + go.at[:-1], "WARN", name + words, at)]
    travelled = go.closed is not None and go.opened is not None and abs(go.opened - go.closed)
    if travelled and travelled > go.width() + checker.EDGE:
        return [Finding("travel." + go.at[:-1], "WARN", name + "contacts lie further apart than the mark is wide.", at)]
    return []


def _count_findings(bench, valve, go):
    """Why caliper and count of turns disagree, where a usual slip explains it."""
    pitch, base = valve.rockers.pitch, bench.number("base")
    at, name = go.at + "cal", valve.words + ", go " + str(go.number) + ": "
    if go.turns is not None and bench.number(go.at + "turns") != int(bench.number(go.at + "turns")):
        return [
            Finding("whole." + go.at[:-1], "WARN", name + "whole turns here, the rest in eighths.", go.at + "turns")
        ]
    if None in (go.count, go.caliper) or _near(go.caliper, go.count, bench):
        return []
    out, whole = go.caliper - base, bench.number(go.at + "turns")
    eighths = int(bench.text(go.at + "eighths") or "0")
    swapped = "turns typed as eighths, and eighths as turns?" if eighths else "eighths typed as whole turns?"
    guesses = (
        (base + (eighths + whole / checker.EIGHTHS) * pitch, swapped),
        (base + go.turns * WRONG_PITCH, "the caliper fits 24 threads an inch: which checker is this?"),
    )
    for length, words in guesses:
        if _near(go.caliper, length, bench):
            return [Finding("count." + go.at[:-1], "WARN", name + words, at)]
    turns = plain.round_away((go.caliper - go.count) / pitch, 0)
    if turns and out > 0 and _near(go.caliper, go.count + turns * pitch, bench):
        words = "one whole turn miscounted?" if abs(turns) == 1 else str(int(abs(turns))) + " whole turns miscounted?"
        return [Finding("count." + go.at[:-1], "WARN", name + words, at)]
    return []


def _near(one, other, bench):
    return abs(plain.round_away(one - other, 6)) <= plain.round_away(
        checker.inches(bench, "checker_caliper_off_count", "high"), 6
    )


def _valve_findings(valve):
    found, last = [], valve.last
    if last is None:
        return found
    if (
        not valve.rockers.pad
        and len(valve.usable) > 1
        and valve.spread() > checker.MOST_DEVIATIONS * valve.deviation(2, 1)
    ):
        words = valve.words + ": the goes do not fit together, an edge was misread; strike out the go that is wrong."
        found.append(Finding("apart." + valve.id, "WARN", words, last.at + "cal"))
    if valve.slope_is_odd():
        words = valve.words + ": longer moved the mark inboard; the stud leans, or an edge was misread."
        found.append(Finding("slope." + valve.id, "WARN", words, last.at + "outer"))
    if valve.refused:
        found.append(Finding("stuck." + valve.id, "WARN", valve.words + ": " + valve.refused, last.at + "outer"))
    if valve.used_up():
        words = valve.words + ": " + checker_guide.USED_UP
        found.append(Finding("used_up." + valve.id, "HOLD", words, last.at + "cal", "missing"))
    return found + _wide(valve)


def _wide(valve):
    if valve.rockers.pad or not valve.good or not valve.last.has_mark():
        return []
    usual = max(pushrod_order.inches_of("mark_width_note"), 2.0 * valve.narrowest())
    if valve.last.width() <= usual:
        return []
    words = valve.words + ": the mark is wider than usual for this lift; look at the pivot's height and the stud."
    return [Finding("wide." + valve.id, "NOTE", words, valve.last.at + "outer", "close")]


def _neighbours(bench):
    """One valve a whole turn of the checker from the others of its side: counted wrong?"""
    orders, found = pushrod_order.orders_of(bench), []
    pitch = orders.rockers.pitch
    for side, _ in SIDES if pitch else ():
        valves = [valve for valve in orders.found if valve.side == side]
        middle = plain.median([orders.measured(valve) for valve in valves]) if len(valves) > 2 else None
        for valve in valves if middle is not None else ():
            off = abs(orders.measured(valve) - middle)
            if abs(off - pitch) <= checker.inches(bench, "checker_caliper_off_count", "high"):
                words = valve.words + ": one turn of the checker from its neighbours; was a turn miscounted?"
                found.append(Finding("turn_off." + valve.id, "WARN", words, valve.last.at + "cal"))
    return found
