"""The checking pushrod on one engine: what each go read, and what all goes of a valve say together.

Lengths in mm; contacts and edges from the inboard edge of the stem, + outboard. A go has a setting: on a stud mount the
locked length of the checker, on a shaft or a pedestal how far the stand was raised (shims less what was milled), since
there no length changes the geometry. Roller tips go by the travel of the contact, all goes together; a sliding pad by
the middle of its mark, two goes at a time. Formulas: `geometry`; thresholds: `limits`.
"""

import math

from . import plain, quantity
from .geometry import pushrod, roller_tip, stamped_tip, witness_mark

#: So many goes a valve has room for; a go that was struck out may be gone anew.
GOES = 6
EIGHTHS = 8
SIDES = (("I", "intake"), ("E", "exhaust"))
TWO_CONTACTS, CENTRE = "two_contacts", "centre"
METHODS = (
    (TWO_CONTACTS, "Two contacts: which way the contact travels"),
    (CENTRE, "Centre the mark"),
)
#: How well one edge or contact line is read, one standard deviation (common practice: to 0.005 in).
EDGE = 0.005 * 25.4
#: Readings further apart than so many deviations hold a misread one (common practice).
MOST_DEVIATIONS = 3.0
ROOT_TWO = 2.0**0.5
#: First trial of a sliding pad, before two goes tell more (common practice: 0.050 or 0.100 in).
TRIAL, FAR_TRIAL, FAR_OFF = 0.050 * 25.4, 0.100 * 25.4, 0.020 * 25.4
CENTRING_WASTES = (
    "On a roller tip centring costs width on either side of the best length: go by the travel of the contact."
)


class Rockers:
    """What the specification says of the rockers, as far as this work needs it; `missing`: words of what it lacks."""

    def __init__(self, engine):
        kind = engine.text("rocker_kind")
        self.fixed = kind in ("pedestal", "shaft")
        self.pad = kind == "stamped" or (self.fixed and engine.text("rocker_tip") == "pad")
        self.ratio = engine.number("rocker_ratio")
        self.arm = engine.number("rocker_arm")
        self.stud_lean = engine.number("stud_lean") or 0.0
        self.pitch = engine.number("checker_pitch")
        self.chamfer = engine.number("stem_chamfer")
        self.stems = {"I": engine.number("stem_tip_intake"), "E": engine.number("stem_tip_exhaust")}
        self.missing = [engine.words(name) for name in self._wanted() if engine.get(name) is None]

    def _wanted(self):
        names = ["rocker_ratio", "stem_tip_intake", "stem_tip_exhaust"]
        return names + ([] if self.pad else ["rocker_arm"]) + (["rocker_tip"] if self.fixed else [])

    def as_length(self, change):
        """A change of setting as the change of pushrod that goes with it."""
        return pushrod.change_for_raise(change, self.ratio) if self.fixed else change

    def as_setting(self, length_change):
        """The change of setting that a change of pushrod amounts to."""
        return pushrod.raise_for_change(length_change, self.ratio) if self.fixed else length_change

    def method(self):
        return CENTRE if self.pad else TWO_CONTACTS

    def refuses(self, method):
        """Why a method does not hold for these rockers, in words; None where it does."""
        if method == CENTRE:
            return None if self.pad else CENTRING_WASTES
        try:
            roller_tip.refuse_stamped(roller_tip.KINDS[1] if self.pad else roller_tip.KINDS[0])
        except plain.MethodRefused as refusal:
            return refusal.message[:1].upper() + refusal.message[1:] + "."
        return None


def rockers(engine):
    return engine.once(Rockers)


def inches(bench, key, end):
    """One end of a limit row in mm."""
    return quantity.to_canonical("length", bench.limits.number(key, end), "in")


def valve_words(cylinder, side):
    """Intake 2, exhaust 7 as a sentence begins with them."""
    return ("Intake " if side == "I" else "Exhaust ") + str(cylinder)


def _mean(numbers):
    known = [number for number in numbers if number is not None]
    return plain.mean(known) if known else None


#: What is read as a number at a go; each has its place.
READ = (
    "turns", "cal", "shim", "milled", "closed", "closed2", "open", "open2", "inner", "inner2", "outer", "outer2",
)  # fmt: skip
#: What is read twice, and the name of the second reading.
CONTACTS = (("closed", "closed2"), ("open", "open2"), ("inner", "inner2"), ("outer", "outer2"))


class GoNames:
    """What the places of one go of a valve are called, made once for an engine."""

    def __init__(self, valve, number):
        self.number = number
        self.group = valve + ".g" + str(number)
        self.at = valve + "." + str(number) + "."
        self.places = [(what, self.at + what) for what in READ]
        self.eighths = self.at + "eighths"
        self.wanted = [place for _, place in self.places] + [self.eighths]


class ValveNames:
    """A marked valve of an engine and its goes by name. `id`: cylinder and side, as 1I."""

    def __init__(self, cylinder, side):
        self.cylinder, self.side = cylinder, side
        self.id = str(cylinder) + side
        self.words = valve_words(cylinder, side)
        self.lift, self.clear = self.id + ".lift", self.id + ".clear"
        self.goes = [GoNames(self.id, number) for number in range(1, GOES + 1)]
        #: The groups of places that are this valve's.
        self.groups = dict.fromkeys([self.id, self.clear] + [go.group for go in self.goes], True)
        self.go_of = {go.group: go for go in self.goes}


def _names(engine):
    return [ValveNames(cylinder, side) for cylinder, side in marked(engine)]


def names_of(engine, only=None):
    """The marked valves of an engine by name; of one group only the valve whose it is."""
    return [names for names in engine.once(_names) if only is None or only in names.groups]


class Go:
    """One go as it was read. `best`: the setting at which closed and open contact would meet, by this go alone."""

    def __init__(self, bench, valve, names):
        self.number, self.group, self.at = names.number, names.group, names.at
        self._numbers = {what: bench.number(place) for what, place in names.places}
        self.turns = self._turned(bench, names)
        self.caliper = self._numbers["cal"]
        base, pitch = bench.number("base"), valve.rockers.pitch
        self.count = None
        if None not in (base, pitch, self.turns):
            self.count = pushrod.checking_length(base, self.turns, pitch)
        self.length = self.count if self.caliper is None else self.caliper
        self.setting = self._stand() if valve.rockers.fixed else self.length
        self.readings = {what: [self._numbers[what], self._numbers[again]] for what, again in CONTACTS}
        self.closed, self.opened = _mean(self.readings["closed"]), _mean(self.readings["open"])
        self.inner, self.outer = _mean(self.readings["inner"]), _mean(self.readings["outer"])
        self.raised, self.best, self.refused = None, None, None

    def _turned(self, bench, names):
        whole, eighths = self._numbers["turns"], bench.text(names.eighths)
        if whole is None:
            return None
        return whole + (int(eighths) / EIGHTHS if eighths else 0.0)

    def _stand(self):
        shim, milled = self._numbers["shim"], self._numbers["milled"]
        return None if shim is None else shim - (milled or 0.0)

    def begun(self):
        """Whether anything of it was read."""
        edges = [number for what, _ in CONTACTS for number in self.readings[what]]
        return any(x is not None for x in [self.turns, self.caliper, self.setting] + edges)

    def has_mark(self):
        return self.inner is not None and self.outer is not None

    def width(self):
        return witness_mark.width(self.inner, self.outer)

    def offset(self, stem):
        return witness_mark.offset(self.inner, self.outer, stem)

    def margin(self, stem, chamfer):
        return witness_mark.edge_margin(self.inner, self.outer, stem, chamfer)


class Valve:
    """One valve that is marked: its goes in order, and what they say. `id`: cylinder and side, as 1I.

    `last`: the latest go that says something; `change`: of the setting, wanted after it; `good`: none is.
    """

    def __init__(self, bench, names):
        self.id, self.words = names.id, names.words
        self.cylinder, self.side = names.cylinder, names.side
        self.clear = names.clear
        self.rockers = rockers(bench.engine)
        self.stem, self.lift = self.rockers.stems[names.side], bench.number(names.lift)
        self.goes = [Go(bench, self, go) for go in names.goes]
        self.stop_at = inches(bench, "mark_offset_target" if self.rockers.pad else "pushrod_length_error", "high")
        self.usable, self.last, self.change, self.ideal = [], None, None, None
        self.good, self.refused = False, None
        if not self.rockers.missing:
            (self._centre if self.rockers.pad else self._fit)()
        self.last = self.usable[-1] if self.usable else None

    # --- roller tips: all goes together ---

    def _fit(self):
        if self.lift is None:
            return
        for go in self.goes:
            if None not in (go.setting, go.closed, go.opened):
                self._best_of(go)
        self.usable = [go for go in self.goes if go.best is not None]
        if not self.usable:
            return
        self.ideal = plain.mean([go.best for go in self.usable])
        self.change = self.ideal - self.usable[-1].setting
        self.good = abs(plain.round_away(self.rockers.as_length(self.change), 6)) < self.stop_at

    def _best_of(self, go):
        try:
            go.raised = roller_tip.pivot_raise(self.rockers.arm, self.lift, go.closed, go.opened)
        except plain.MethodRefused as refusal:
            go.refused = refusal.message
            return
        length = pushrod.change_for_raise(go.raised, self.rockers.ratio)
        go.best = go.setting + (go.raised if self.rockers.fixed else length)

    def deviation(self, readings, goes):
        """Standard deviation of a length by so many readings of each contact in so many goes; roller tips only."""
        lever = roller_tip.noise_lever(self.rockers.arm, self.lift, self.rockers.ratio)
        return roller_tip.noise(lever, EDGE, readings, goes)

    def spread(self):
        """How far apart, as pushrod length, the goes put the best setting."""
        bests = [go.best for go in self.usable]
        return self.rockers.as_length(max(bests) - min(bests))

    def narrowest(self):
        return roller_tip.narrowest_width(self.rockers.arm, self.lift)

    # --- sliding pads: the middle of the mark, two goes at a time ---

    def _centre(self):
        self.usable = [go for go in self.goes if go.setting is not None and go.has_mark()]
        if not self.usable:
            return
        go = self.usable[-1]
        mean = go.offset(self.stem)
        self.good = abs(plain.round_away(mean, 6)) <= plain.round_away(self.stop_at, 6)
        if self.good:
            self.ideal, self.change = go.setting, 0.0
        elif self.before() is None:
            self.change = self._trial(mean)
        else:
            self._by_two(self.before(), go)

    def _trial(self, mean):
        """The first change, before two goes tell more; a stand is tried with a shim, since what is milled is gone."""
        if self.rockers.fixed:
            return self.rockers.as_setting(TRIAL)
        trial = FAR_TRIAL if abs(mean) > FAR_OFF else TRIAL
        return -trial if mean > 0 else trial

    def before(self):
        """The latest go before the last one that had another setting; None where there is none."""
        others = [go for go in self.usable[:-1] if go.setting != self.usable[-1].setting]
        return others[-1] if others else None

    def _by_two(self, before, go):
        try:
            moved = go.setting - before.setting
            self.change = stamped_tip.next_change(before.offset(self.stem), go.offset(self.stem), moved)
        except plain.MethodRefused as refusal:
            self.refused = refusal.message

    def slope_is_odd(self):
        """A longer pushrod that moved the mark of a pad inboard."""
        if not self.rockers.pad or not self.usable or self.before() is None:
            return False
        before, go = self.before(), self.usable[-1]
        return (go.offset(self.stem) - before.offset(self.stem)) * (go.setting - before.setting) < 0.0

    # --- what a change of setting would make of the mark ---

    def predicted(self, change):
        """(inner edge, outer edge) after a change of setting; None where the goes cannot tell.

        A pivot that rises on a leaning stud carries the whole mark along (derived: geometry); of a stud whose lean the
        specification does not give it is taken for upright.
        """
        go = self.usable[-1]
        if self.rockers.pad:
            return self._by_line(change)
        closed_height = self.lift / 2.0 + go.raised
        across = go.closed - roller_tip.reach(self.rockers.arm, closed_height)
        raised = change if self.rockers.fixed else pushrod.raise_for_change(change, self.rockers.ratio)
        try:
            aside = across + raised * math.tan(math.radians(self.rockers.stud_lean))
            mark = roller_tip.mark(self.rockers.arm, closed_height - raised, self.lift, aside)
        except plain.MethodRefused:
            return None
        return mark.inner, mark.outer

    def _by_line(self, change):
        before, go = self.before(), self.usable[-1]
        if before is None:
            return None
        share = change / (go.setting - before.setting)
        return go.inner + (go.inner - before.inner) * share, go.outer + (go.outer - before.outer) * share

    # --- where it stands ---

    def used_up(self):
        return self.last is not None and not self.good and self.last.number == GOES

    def next_go(self):
        """Number of the go that is wanted next; None when the length is found or no go is left."""
        if self.good or self.used_up() or self.refused:
            return None
        return self.last.number + 1 if self.last else 1


def valve_of(bench, names):
    """A marked valve as the bench has it."""
    return bench.once(("valve", names.id), lambda: Valve(bench, names))


def valves_on(bench, only=None):
    """The marked valves as the bench has them; of one group only the valve whose it is, if anything was read there."""
    return [valve_of(bench, names) for names in names_of(bench.engine, only) if not _is_blank(bench, names, only)]


def _is_blank(bench, names, group):
    """Whether this is the group of a go at which nothing was read yet: it has nothing to say."""
    go = names.go_of.get(group)
    return go is not None and all(bench.at(place) is None for place in go.wanted)


def marked(engine):
    """[(cylinder, side)] of the valves that are marked before pushrods are ordered (common practice): both ends of one
    bank and one pair on the other bank; where nobody knows how they lie, all."""
    if engine.text("rocker_kind") is None:
        return []
    rows = [row for row in engine.get("numbering") or [] if row]
    cylinders = []
    for row in rows:
        cylinders.extend([row[0], row[-1]] if row is rows[0] else [row[0]])
    once = [n for at, n in enumerate(cylinders) if n not in cylinders[:at]]
    return [(n, side) for n in (once or engine.cylinder_numbers()) for side, _ in SIDES]
