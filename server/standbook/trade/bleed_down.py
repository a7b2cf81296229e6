"""The wait for lifters that are full of oil: from when it counts, how long, and what was done before it was over.

A full lifter that is pushed down, or pumped up, gives way slowly, and its valve stands open meanwhile: minutes, up to
half an hour (common practice; the lifter card has the time). Times are those of the entries, as their devices have
them: a question rests on them, never a refusal.
"""

from . import clock, plain, valve_guide, valve_setting
from .work import Finding

OILED, FULL = "oiled", "full"
STATES = ((OILED, "Oiled, not pumped up"), (FULL, "Full of oil"))
BLED, TURNED, FELT = "bled_down", "turned", "felt_again"
OPEN = "A lifter full of oil holds its valve open until it has bled down. "
TURNING = "Its full lifter holds the valve open: wait before the crank is turned."
USUAL = "Minutes, up to half an hour (common practice); the card has the time."


class Settings:
    """The valves as they were set, `place_of(cylinder, side)` each, and the wait that full lifters want after it."""

    def __init__(self, bench, place_of):
        self.bench = bench
        self.place_of = place_of
        self.full = bench.text("state") == FULL
        #: [(cylinder, side, side in words, the setting)], the one that was set last at the end.
        self.made = _in_book_order(
            [(n, side, said, bench.at(place_of(n, side))) for n, side, said in valve_setting.valves(bench)]
        )
        self.minutes = minutes(bench)

    def last(self):
        """The setting of the valve that was set last, None before the first."""
        return self.made[-1][3] if self.made else None

    def since(self):
        """The entry's reading from which the wait counts: the last setting, or that the lifters were full after it."""
        last, told = self.last(), self.bench.at("state")
        if not self.full or last is None:
            return None
        return told if _is_later(told, last) else last

    def waited(self, until):
        """Minutes from there to another reading; None where the clocks do not tell, or there is nothing to wait for."""
        since = self.since()
        return None if since is None else clock.minutes_between(since.made_at, until.made_at)

    def is_early(self, reading):
        """Whether something was read before the wait was over, as far as the clocks tell."""
        waited = self.waited(reading)
        return waited is not None and waited < self.minutes

    def wait_from(self, reading):
        """The wait as a question shows it."""
        return {"since": reading.made_at, "minutes": self.minutes}

    def of_minutes(self, waited):
        return str(int(waited)) + " of " + plain.number_text(self.minutes, 0) + " minutes"


def minutes(bench):
    """Minutes until a lifter full of oil has bled down: the lifter card's, else the usual longest."""
    card = bench.engine.number("bleed_down")
    return bench.limits.number("bleed_down_wait", "high") if card is None else card


def _in_book_order(settings):
    found = [setting for setting in settings if setting[3] is not None]
    if any(setting[3].rank is None for setting in found):
        return found
    return plain.in_order(found, key=lambda setting: setting[3].rank)


def _is_later(one, other):
    return bool(one and other and one.rank and other.rank and other.rank < one.rank)


# --- while valves are set ---


def while_setting(bench, settings):
    """The first valve that was set although the one before it, at another crank position, still stood open.

    It is asked about once: whoever says that the lifters give way at once is not asked at each valve.
    """
    if not settings.full:
        return []
    angles = _angles(bench)
    for before, after in zip(settings.made, settings.made[1:]):
        gone = clock.minutes_between(before[3].made_at, after[3].made_at)
        if gone is not None and gone < settings.minutes and _is_turned(angles, before, after):
            return [_turned_on(settings, before, after, gone)]
    return []


def _turned_on(settings, before, after, gone):
    place = settings.place_of(after[0], after[1])
    words = (
        "Only " + settings.of_minutes(gone) + " since " + valve_setting.words(before[0], before[2]).lower() + " was "
        "set: that lifter is full of oil and may still hold its valve open. Wait before the crank is turned on to "
        + valve_setting.words(after[0], after[2]).lower() + ", and stop at any resistance."
    )  # fmt: skip
    return Finding("early." + place, "WARN", words, place, "wait", settings.wait_from(before[3]))


def _angles(bench):
    """(cylinder, side) -> crank position at which a valve is due; nothing where the order is not known."""
    try:
        return {(n, side): angle for angle, n, side in valve_guide.order(bench, bench.text("method"))}
    except plain.Refusal:
        return {}


def _is_turned(angles, before, after):
    """Whether the crank is turned between two valves."""
    ends = [angles.get(one[:2]) for one in (before, after)]
    return None not in ends and ends[0] != ends[1]


def sinking(bench, settings, valve, depth_place):
    """A depth read at a full lifter that was set so short a time ago that it still sinks."""
    n, side, said = valve
    turned, depth = bench.at(settings.place_of(n, side)), bench.at(depth_place)
    if not settings.full or not _is_later(depth, turned):
        return []
    gone = clock.minutes_between(turned.made_at, depth.made_at)
    if gone is None or gone >= settings.minutes:
        return []
    words = (
        valve_setting.words(n, said) + ": depth measured " + settings.of_minutes(gone) + " after it was set. A full "
        "lifter still sinks: measure it once it has bled down."
    )  # fmt: skip
    return [Finding("sinking." + depth_place, "WARN", words, depth_place, "wait", settings.wait_from(turned))]


# --- after the last valve ---


def after_the_last(bench, settings):
    """Said to have bled down, turned or felt again before its time."""
    if not settings.full:
        return []
    return _bled(bench, settings) + _turned(bench, settings) + _felt(bench, settings)


def _bled(bench, settings):
    answer = bench.at(BLED)
    if answer is None:
        return []
    if answer.typed["text"] == "no":
        return [Finding("not_bled", "HOLD", "Full lifters, and no wait: do not turn the engine yet.", BLED, "order")]
    if not settings.is_early(answer):
        return []
    words = "Bled down after " + settings.of_minutes(settings.waited(answer)) + ": wait, and feel two valves again."
    return [Finding("bled_early", "WARN", words, BLED, "wait", settings.wait_from(settings.since()))]


def _turned(bench, settings):
    turned = bench.at(TURNED)
    if turned is None or turned.typed["text"] != "yes" or _is_bled(bench, turned):
        return []
    waited = settings.waited(turned)
    if waited is not None and waited >= settings.minutes:
        return []
    words = "Turned before the full lifters were recorded as bled down: a valve may have stood open."
    wait = None if waited is None else settings.wait_from(settings.since())
    return [Finding("turned_full", "WARN", words, TURNED, "wait", wait)]


def _felt(bench, settings):
    felt = bench.at(FELT)
    if felt is None or _is_bled(bench, felt) or not settings.is_early(felt):
        return []
    words = "Felt again after " + settings.of_minutes(settings.waited(felt)) + ": zero lash is felt too high on a "
    words += "lifter that has not bled down. Wait, and feel two valves again."
    return [Finding("felt_early", "WARN", words, FELT, "wait", settings.wait_from(settings.since()))]


def _is_bled(bench, reading):
    """Whether somebody had said by then that the lifters have bled down."""
    bled = bench.at(BLED)
    return bled is not None and bled.typed["text"] == "yes" and not _is_later(bled, reading)


# --- on the screen ---


def view(bench, settings, upcoming, place):
    """The wait as the guide shows it (`wait` of `Guide`): before the next valve, or after the last one; None: none.

    `upcoming`: (crank angle, cylinder, side) of the next valve with its `place`; None after the last one.
    """
    since = settings.since()
    if since is None or bench.text(BLED) == "yes":
        return None
    if upcoming is None:
        card = "Time by the lifter card." if bench.engine.number("bleed_down") is not None else USUAL
        return _view(settings, since, BLED, "after the last valve", OPEN + card)
    last = settings.made[-1]
    if not _is_turned(_angles(bench), last, upcoming[1:]):
        return None
    name = valve_guide.valve_words(last[0], last[1])
    return _view(settings, last[3], place, "after " + name, TURNING)


def _view(settings, since, place, after, words):
    return {
        "place": place,
        "minutes": settings.minutes,
        "since": since.made_at,
        "after": after,
        "words": words,
    }
