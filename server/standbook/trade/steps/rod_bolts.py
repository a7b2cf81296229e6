"""Rod bolts by stretch: free length, stretch, the second person's own reading, and what a bolt keeps of it for good.

The stretch is the record; the torque that it took is kept beside it. A bolt above the card's maximum is never pulled
again to a new reading: it may have yielded (common practice; the reason is the permanent stretch).
"""

from .. import joint, judge, plain, quantity
from ..metal import stretch as metal
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from . import common

ID = "rod_bolts"
TITLE = "Rod bolts by stretch"
STAGE = "short_block"
NEEDS = ()
STYLE = "grid"
PURPOSE = (
    "Gauge zeroed on the loose bolt, free length first. Tighten by the stretch of the card, bolt by bolt; then a "
    "second person reads each one again without having seen the first reading."
)
INSTRUMENTS = ("stretch_gauge", "outside_micrometer")
SOURCES = (
    "Stretch, lubricant and free length come from the bolt maker's card.",
    "Permanent stretch, spread and torque against its mates: common practice.",
)
CAUTIONS = (
    Caution("journal", "Journal guarded from the bolts, crank blocked, wrench pulled and not pushed?", "tap"),
    Caution("above", "Above the card's maximum: loosen, let it cool, measure the free length. Never pull it again."),
    Caution("turning", "Stop if one keeps turning without getting tighter: it yields. Take it out, fit a new one."),
)
NEW, HISTORY, UNKNOWN = "new", "used_with_history", "used_without_history"
BOLTS = ((NEW, "New"), (HISTORY, "Used before, free lengths in the book"), (UNKNOWN, "Used before, no free lengths"))
#: A stretch gauge is trusted to so much (common practice); growth is the difference of two readings.
TRUST = 0.0003 * 25.4
PAIR = (1, 2)


def applies(engine):
    """An engine whose rod bolts are tightened by stretch."""
    return engine.text("rod_bolt_method") == "stretch"


def _rods(engine):
    return engine.cylinder_numbers() if applies(engine) else []


def _rod(n):
    return "RF" + str(n)


def _bolts(n):
    """(id, words) of the two bolts of a rod."""
    return [(_rod(n), bolt, "Rod " + str(n) + ", bolt " + str(bolt)) for bolt in PAIR]


def groups(engine):
    """Which bolts they are, each rod, then all of them once more by the second person."""
    if not applies(engine):
        return []
    rods = _rods(engine)
    second = [
        # What was set by the gauge is read alike on many bolts: nobody is asked whether each one was measured.
        Place(
            rod + ".second" + str(bolt),
            words + ", read by the second person",
            words,
            set_or_found="set",
            blind=True,
        )
        for n in rods
        for rod, bolt, words in _bolts(n)
    ]
    found = [_how()] + [Group(_rod(n), "Rod " + str(n), _places(n)) for n in rods]
    found.append(Group("second", "The second person reads", second))
    _bolt_by_bolt(found)
    return found


def _bolt_by_bolt(groups):
    """A bolt that is replaced takes its own readings along, the second person's too, and none of its neighbour's."""
    places = [place for group in groups for place in group.places if place.id[:2] == "RF"]
    bolts = {}
    for place in places:
        bolts.setdefault(_bolt_of(place), []).append(place.id)
    for place in places:
        place.mates = tuple(bolts[_bolt_of(place)])


def _bolt_of(place):
    return place.id.partition(".")[0] + place.id[-1]


def _how():
    places = [
        Place("bolts", "The rod bolts", "bolts", kind="choice", choices=BOLTS),
        Place("source", "Where the stretch comes from: card and page, or the lead", "source", kind="text"),
        Place("card_lubricant", "Lubricant as the card names it", "lubricant of the card", kind="text"),
        Place("lubricant", "Lubricant on threads and faces", "lubricant used", kind="choice", choices=joint.LUBRICANTS),
    ]
    return Group("how", "How they are tightened", places)


def _places(n):
    """Free lengths of both bolts before anything is pulled, then the stretch of each; the rest where it is wanted."""
    bolts = _bolts(n)
    free = [
        Place(rod + ".free" + str(bolt), words + ", free length", "bolt " + str(bolt) + ", free length", family="free")
        for rod, bolt, words in bolts
    ]
    pulled = [
        Place(
            rod + ".stretch" + str(bolt),
            words + ", stretch",
            "bolt " + str(bolt) + ", stretch",
            set_or_found="set",
            family="stretch",
        )
        for rod, bolt, words in bolts
    ]
    more = []
    for rod, bolt, words in bolts:
        name = "bolt " + str(bolt) + ", "
        more.append(
            Place(
                rod + ".torque" + str(bolt),
                words + ", torque that it took",
                name + "torque",
                kind="torque",
                required=False,
                set_or_found="set",
            )
        )
        more.append(
            Place(
                rod + ".after" + str(bolt),
                words + ", free length after loosening",
                name + "free length after",
                required=False,
            )
        )
    return free + pulled + more


# --- values ---


def derive(bench, only=None):
    """Stretch against the card, growth of the free length; the spread over all."""
    values = []
    for n in _rods(bench.engine):
        if wants(only, _rod(n)):
            for rod, bolt, words in _bolts(n):
                values.append(_stretch(bench, rod, bolt, words))
                values.extend(_growth(bench, rod, bolt, words))
    return values + ([_spread(bench)] if wants(only, FAMILY) and _rods(bench.engine) else [])


def _stretch(bench, rod, bolt, words):
    place = rod + ".stretch" + str(bolt)
    number = bench.number(place)
    missing = bench.missing([place], {place: words + ", stretch"})
    do_next = _do_next(bench, number)
    return Value(
        place + ".value",
        words + ", stretch",
        "bolt " + str(bolt) + ", stretch",
        rod,
        number,
        [place],
        "rod_bolt_stretch",
        missing,
        set_or_found="set",
        do_next=do_next,
    )


def _do_next(bench, number):
    """What to do with a bolt outside the card's band: below it is another matter than above."""
    band = _band(bench)
    if number is None or band is None:
        return ""
    verdict = metal.reading(number, band[0], band[1])
    return "Loosen it and tighten it again." if verdict == metal.TOO_LOW else ABOVE


ABOVE = (
    "Loosen it, let it cool to room temperature, measure its free length. Grown beyond the limit: replace it, "
    "else ask the lead. Never pull it again."
)


def _band(bench):
    """The card's (lowest, highest) stretch; None without a card that gives both."""
    limits = bench.limits.in_force("rod_bolt_stretch", bench.engine, "set")
    ends = [limits[0][end] for end in ("low", "high")] if limits else [None]
    return None if None in ends else ends


def _growth(bench, rod, bolt, words):
    """The permanent stretch of a bolt that was loosened and measured again."""
    before, after = rod + ".free" + str(bolt), rod + ".after" + str(bolt)
    if bench.at(after) is None:
        return []
    numbers = bench.numbers([before, after])
    missing = bench.missing([before, after], {before: words + ", free length", after: "free length after loosening"})
    growth = None if numbers is None else metal.permanent(numbers[0], numbers[1], 0.0)[0]
    value = Value(
        rod + ".growth" + str(bolt),
        words + ", permanent stretch",
        "bolt " + str(bolt) + ", permanent stretch",
        rod,
        growth,
        [before, after],
        "rod_bolt_permanent_stretch",
        missing,
        judge.combined(TRUST, TRUST),
        "two readings of the free length",
        do_next="It keeps its stretch: fit a new bolt.",
    )
    return [value]


def _stretch_places(engine):
    return [rod + ".stretch" + str(bolt) for n in _rods(engine) for rod, bolt, _ in _bolts(n)]


def _spread(bench):
    """Largest against smallest stretch of the engine, once all are there."""
    places = _stretch_places(bench.engine)
    numbers = bench.numbers(places)
    number = None if numbers is None else max(numbers) - min(numbers)
    missing = [] if number is not None else ["the stretch of every bolt"]
    words = "Spread of stretch over all rod bolts"
    return Value(
        "RF.spread", words, "spread of stretch", None, number, places, "rod_bolt_stretch_spread", missing,
        set_or_found="set",
    )  # fmt: skip


# --- findings ---


def findings(bench, only=None):
    """Bolts without history, a stretch without its free length, a bolt pulled again, a torque out of family."""
    found = _how_findings(bench) if wants(only, "how") else []
    for n in _rods(bench.engine):
        for rod, bolt, words in _bolts(n):
            if wants(only, rod):
                found.extend(_bolt_findings(bench, rod, bolt, words))
            if wants(only, "second"):
                found.extend(_second_findings(bench, rod, bolt, words))
    return found + (_torque_findings(bench) if wants(only, FAMILY) else [])


def _how_findings(bench):
    found = []
    if bench.text("bolts") == UNKNOWN:
        words = "Rod bolts that were used before are used again only with their free lengths in the book: fit new ones."
        found.append(Finding("no_history", "HOLD", words, "bolts", "joint"))
    if bench.text("lubricant") in (joint.OTHER, joint.DRY):
        words = "The lubricant is not the one that the card names. Ask the maker before a bolt is pulled."
        found.append(Finding("lubricant", "HOLD", words, "lubricant", "joint"))
    return found


def _bolt_findings(bench, rod, bolt, words):
    pulled, free = rod + ".stretch" + str(bolt), rod + ".free" + str(bolt)
    found, stretched, length = [], bench.at(pulled), bench.at(free)
    if stretched is None:
        return found
    if length is None or _is_later(length, stretched):
        late = words + ": stretch read before its free length, which is what a later check rests on."
        found.append(Finding("no_free." + pulled, "HOLD", late, free, "order"))
    if _pulled_again(bench, stretched, rod + ".after" + str(bolt)):
        again = words + ": pulled again after it stood above the card's maximum. " + ABOVE
        found.append(Finding("again." + pulled, "STOP", again, pulled, "joint"))
    return found


def _is_later(one, other):
    return bool(one.rank and other.rank and other.rank < one.rank)


def _pulled_again(bench, stretched, after):
    """Whether an earlier reading stood above the maximum, with no free length taken before the bolt was pulled anew."""
    band = _band(bench)
    if band is None:
        return False
    measured = bench.at(after)
    above = False
    for entry in stretched.entries:
        if above and not (measured and measured.rank and measured.rank < entry.rank):
            return True
        number = quantity.typed_value("length", entry.body["value"])
        above = metal.reading(number, band[0], band[1]) == metal.TOO_HIGH
    return False


def _second_findings(bench, rod, bolt, words):
    """The second person is another one, reads after the pull, and finds the same."""
    place, pulled = rod + ".second" + str(bolt), rod + ".stretch" + str(bolt)
    second, first = bench.at(place), bench.at(pulled)
    if second is None or first is None:
        return []
    found = []
    if first.entries and second.entries and first.entries[-1].person == second.entries[-1].person:
        own = words + ": read twice by the same person. Somebody else reads it, the lead where nobody is."
        found.append(Finding("own_check." + place, "HOLD", own, place, "joint"))
    if _is_later(first, second):
        old = words + ": tightened again after the second person's reading. It is read again."
        found.append(Finding("check_old." + place, "HOLD", old, place, "order"))
    if abs(second.number - first.number) > judge.combined(TRUST, TRUST):
        apart = words + ": two persons read this stretch differently. Zero the gauge on a loose bolt, both read again."
        found.append(Finding("apart." + place, "HOLD", apart, place, "disagree"))
    return found


def _torque_findings(bench):
    """A bolt that takes much more or less torque than its mates for the same stretch is suspect."""
    taken = []
    for n in _rods(bench.engine):
        for rod, bolt, words in _bolts(n):
            torque, pulled = bench.number(rod + ".torque" + str(bolt)), bench.number(rod + ".stretch" + str(bolt))
            if torque is not None and pulled:
                taken.append((torque / pulled, rod + ".torque" + str(bolt), words))
    if len(taken) < 4:
        return []
    usual = plain.median([ratio for ratio, _, _ in taken])
    share = bench.limits.number("rod_bolt_torque_off_mates", "high") / 100.0
    return [
        Finding(
            "off_mates." + place,
            "WARN",
            words + ": took much " + ("more" if ratio > usual else "less") + " torque for its stretch than the others. "
            "Suspect: look at thread, lubricant and bolt.",
            place,
            "joint",
        )
        for ratio, place, words in taken
        if abs(ratio / usual - 1.0) > share
    ]


def expect(bench, place_id):
    """A stretch lies near the middle of the card's band."""
    band = _band(bench)
    if band is None or ".stretch" not in place_id:
        return None
    return common.around((band[0] + band[1]) / 2.0, band[0], band[1])
