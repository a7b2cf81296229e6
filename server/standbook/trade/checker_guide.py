"""The checking pushrod as the screen shows it: what to do and why, the tip of the stem, goes, order.

Every number of the drawing is a share of the stem's diameter from its inboard edge; every text is ready to be shown.
"""

from . import checker, plain, pushrod_order, quantity
from .geometry import pushrod, roller_tip

USED_UP = (
    "six goes are used up. Look for a misread edge, a leaning stud, a wrong arm length; strike out what does not fit "
    "and go on, or the lead decides."
)
GOOD, STOP = "good", "stop"


def guide(bench, status, step_id, groups, called):
    """`Goes` of the screens. `status(place)`: as in `valve_guide`; `called`: places wanted by now."""
    rockers = checker.rockers(bench.engine)
    valves = checker.valves_on(bench)
    wanted = [(group, [p for p in group.places if p.required or p.id in called]) for group in groups]
    left = [(group, places, p) for group, places in wanted for p in places if status(p.id)[0] == "open"]
    group, places, now = left[0] if left else (None, [], None)
    shown = _shown_valve(valves, group)
    again = _to_read_again(shown, group)
    begins = shown is not None and (again is not None or _begins(shown, group, places, now))
    at = again or (now.id if now else None)
    refused = _refused(rockers, bench.text("method"))
    return {
        "step": step_id,
        "methods": [{"id": id, "words": words, "refused": rockers.refuses(id)} for id, words in checker.METHODS],
        "refused": refused,
        "now": at,
        "begins": begins,
        "key": _key(group, again),
        "card": None if shown is None or refused else _Card(bench, shown).view(),
        "done": len([valve for valve in valves if valve.good]),
        "of": len(valves),
        "order": _order(bench) if now is None else [],
    }


def _refused(rockers, method):
    if rockers.missing:
        return "No length can be told: the specification lacks " + "; ".join(rockers.missing) + "."
    return rockers.refuses(method) if method else None


def _shown_valve(valves, group):
    """The valve under the hand where its goes say something, else the one before it."""
    begun = [valve for valve in valves if any(go.begun() for go in valve.goes)]
    here = [valve for valve in begun if group is not None and group.id.split(".")[0] == valve.id]
    return here[0] if here else begun[-1] if begun else None


def _latest(valve):
    return [go for go in valve.goes if go.begun()][-1]


def _to_read_again(valve, group):
    """The contact of a go that cannot be, once all of it was read; None otherwise."""
    if valve is None or not _latest(valve).refused:
        return None
    go = _latest(valve)
    inside = group is not None and group.id == valve.id + ".g" + str(go.number)
    return None if inside else go.at + "closed"


def _begins(valve, group, places, now):
    """Whether the next place begins a new stretch, so that what the last go says is looked at first."""
    if group is None or now is not places[0]:
        return False
    own = group.id.split(".")
    if own[0] == valve.id:
        return len(own) > 1 and own[1] != "g1"
    return not valve.good


def _key(group, again):
    """What the next key begins, in words."""
    if again is not None:
        return "Read the contacts again"
    if group is None:
        return ""
    if group.id.endswith(".clear"):
        return "On to the clearances"
    return "Next: " + group.words.split(", ")[-1] if ".g" in group.id else "Next: " + group.words


def unit_of(bench):
    return "mm" if bench.engine.usual_unit("bore") == "mm" else "in"


def length_shown(bench, number):
    """A length as the trade says it here: thousandths of an inch, hundredths of a millimetre."""
    unit = unit_of(bench)
    return quantity.show("length", number, unit, 3 if unit == "in" else 2)


def said(bench, number):
    """The same as words in one unit."""
    shown = length_shown(bench, number)
    return quantity.with_unit(shown["text"], shown["unit"])


#: One eighth to seven, as large type shows them.
FRACTIONS = ("", "\u215b", "\u00bc", "\u215c", "\u00bd", "\u215d", "\u00be", "\u215e")


def turn_words(eighths):
    """2 turns, 1\u215c turns, \u215c turn."""
    whole, rest = eighths // checker.EIGHTHS, eighths % checker.EIGHTHS
    return (str(whole) if whole else "") + FRACTIONS[rest] + (" turn" if eighths <= checker.EIGHTHS else " turns")


class _Card:
    """What the last go of a valve says."""

    def __init__(self, bench, valve):
        self.bench = bench
        self.valve = valve
        self.rockers = valve.rockers
        self.go = _latest(valve)
        self.known = valve.last is not None and valve.change is not None
        self.change = self._doable(valve.change) if self.known else 0.0

    def _doable(self, change):
        """The change as it can be made: in eighths of a turn; a stand to the last digit that is shown."""
        pitch = self.rockers.pitch
        if self.rockers.fixed or pitch is None:
            unit = unit_of(self.bench)
            decimals = 3 if unit == "in" else 2
            rounded = plain.round_away(quantity.from_canonical("length", change, unit), decimals)
            return quantity.to_canonical("length", rounded, unit)
        eighths = max(1.0, plain.round_away(abs(change) / pitch * checker.EIGHTHS, 0))
        return (eighths if change > 0 else -eighths) * pitch / checker.EIGHTHS

    def view(self):
        way = self._way()
        moves = way not in (GOOD, STOP)
        return {
            "words": self.valve.words + ", go " + str(self.go.number),
            "way": way,
            "say": self._say(way),
            "to": self._to() if moves else None,
            "out": self._out() if moves else "",
            "why": self._why(way),
            "tip": self._tip(moves),
            "readings": self._readings(),
            "goes": [self._go(go) for go in self.valve.goes if go.begun()],
        }

    # --- the sentence ---

    def _way(self):
        if self.go.refused or self.valve.refused or not self.known or self.valve.used_up():
            return STOP
        if self.valve.good:
            return GOOD
        if self.rockers.fixed:
            return "up" if self.change > 0 else "down"
        return "longer" if self.change > 0 else "shorter"

    def _say(self, way):
        if way == STOP:
            return "Read it again" if self.go.refused else "Stop and look" if self.valve.last else "Not yet"
        if way == GOOD:
            return "Good enough"
        if self.rockers.fixed:
            return ("Raise" if way == "up" else "Lower") + " the stand " + said(self.bench, abs(self.change))
        if self.rockers.pitch is None:
            return said(self.bench, abs(self.change)) + " " + way
        eighths = int(plain.round_away(abs(self.change) / self.rockers.pitch * checker.EIGHTHS, 0))
        return turn_words(eighths) + " " + way

    def _to(self):
        last = self.valve.last
        if not self.rockers.fixed:
            return "to " + said(self.bench, last.setting + self.change)
        longer = self.rockers.as_length(self.change)
        rod = said(self.bench, abs(longer)) + (" longer" if longer > 0 else " shorter")
        return ("by a shim" if self.change > 0 else "mill it: shims cannot help") + "; the checker then " + rod

    def _out(self):
        """The new length in the other unit, and as turns out from closed where they are counted."""
        last, pitch = self.valve.last, self.rockers.pitch
        if self.rockers.fixed:
            return ""
        echo = length_shown(self.bench, last.setting + self.change)["echo"]
        if pitch is None or last.turns is None:
            return echo
        eighths = int(plain.round_away((last.turns + self.change / pitch) * checker.EIGHTHS, 0))
        whole, rest = eighths // checker.EIGHTHS, eighths % checker.EIGHTHS
        if eighths < 0:
            return "shorter than the closed checker: take a shorter one"
        return echo + ", " + str(whole) + " turns" + (" and " + str(rest) + "/8" if rest else "") + " out from closed"

    def _why(self, way):
        valve = self.valve
        if self.go.refused or valve.refused:
            return self.go.refused or valve.refused
        if valve.last is None:
            return "The go is not whole yet: length and marks make it one."
        if valve.used_up():
            return USED_UP[:1].upper() + USED_UP[1:]
        reason = self._pad_why(way) if self.rockers.pad else self._roller_why(way)
        many = len(valve.usable)
        all_of_them = "Both" if many == 2 else "All " + str(many)
        together = " " + all_of_them + " goes taken together." if many > 1 and not self.rockers.pad else ""
        return reason + together

    def _roller_why(self, way):
        bench, valve = self.bench, self.valve
        if way == GOOD:
            off = abs(self.rockers.as_length(valve.change))
            raised = pushrod.raise_for_change(valve.stop_at, self.rockers.ratio)
            costs = said(bench, roller_tip.extra_width(self.rockers.arm, valve.lift, raised))
            words = said(bench, off) + " off the best length, nearer than " + said(bench, valve.stop_at)
            return words + ": that much widens the mark by " + costs + " only. Another go would chase the loupe."
        travel = valve.last.opened - valve.last.closed
        if plain.round_away(travel, 6) == 0.0:
            return "The goes together say so, though the contacts of the last one meet."
        outboard = travel > 0
        cause = "the pivot stands too low" if outboard else "the pivot stands too high"
        way_words = "outboard" if outboard else "inboard"
        return (
            "The contact travels "
            + said(bench, abs(travel))
            + " "
            + way_words
            + " while the valve opens: "
            + cause
            + "."
        )

    def _pad_why(self, way):
        valve = self.valve
        mean = valve.last.offset(valve.stem)
        where = said(self.bench, abs(mean)) + (" outboard" if mean > 0 else " inboard") + " of the stem's centre"
        if way == GOOD:
            margin = self._margin(valve.last)
            words = "The middle of the mark lies " + where + ", within " + said(self.bench, valve.stop_at) + "."
            least = checker.inches(self.bench, "edge_margin", "low")
            if margin is not None and margin < least:
                return words + " It still comes too near the edge of the flat, and no length helps that: ask the lead."
            return words
        trial = " A trial: two goes tell how far." if valve.before() is None else " By the last two goes."
        return "The middle of the mark lies " + where + "." + trial

    # --- the tip of the stem ---

    def _margin(self, go):
        if not go.has_mark() or None in (self.valve.stem, self.rockers.chamfer):
            return None
        return go.margin(self.valve.stem, self.rockers.chamfer)

    def _share(self, pair):
        """Two places across the stem as shares of its diameter."""
        if pair is None or None in pair:
            return None
        return [plain.round_away(min(1.0, max(0.0, x / self.valve.stem)), 4) for x in pair]

    def _tip(self, moves):
        valve, go = self.valve, self.go
        if valve.stem is None:
            return None
        chamfer = self.rockers.chamfer or 0.0
        predicted = valve.predicted(self.change) if moves and valve.last is not None else None
        margin = self._margin(go)
        mark = said(self.bench, go.width()) + " wide" if go.has_mark() else "edges not read"
        return {
            "flat": self._share((chamfer, valve.stem - chamfer)),
            "mark": self._share((go.inner, go.outer)),
            "predicted": self._share(predicted),
            "margin": self._share(self._gap(chamfer)),
            "stem_words": "Stem " + said(self.bench, valve.stem),
            "mark_words": mark,
            "margin_words": "" if margin is None else said(self.bench, margin) + " to the edge of the flat",
            "predicted_words": self._predicted_words(predicted),
        }

    def _gap(self, chamfer):
        """From the mark to the nearer edge of the usable flat."""
        go = self.go
        if not go.has_mark():
            return None
        inboard, outboard = (chamfer, go.inner), (go.outer, self.valve.stem - chamfer)
        return inboard if go.inner - chamfer <= outboard[1] - go.outer else outboard

    def _predicted_words(self, predicted):
        if predicted is None:
            return ""
        inner, outer = predicted
        words = "after the change about " + said(self.bench, outer - inner) + " wide"
        chamfer = self.rockers.chamfer
        if chamfer is None:
            return words
        margin = min(inner - chamfer, self.valve.stem - chamfer - outer)
        return words + ", " + said(self.bench, margin) + " to the edge"

    # --- readings and goes ---

    def _readings(self):
        go, bench = self.go, self.bench
        rows = [("Length", go.length), ("Closed", go.closed), ("Full lift", go.opened)]
        rows += [("Inner edge", go.inner), ("Outer edge", go.outer)]
        if self.rockers.fixed:
            rows.insert(0, ("Stand raised", go.setting))
        return [{"words": words, "shown": said(bench, x)} for words, x in rows if x is not None]

    def _go(self, go):
        bench = self.bench
        setting = "stand " + said(bench, go.setting) if self.rockers.fixed and go.setting is not None else None
        length = said(bench, go.length) if go.length is not None else "length not read"
        mark = said(bench, go.width()) + " wide" if go.has_mark() else "mark not read"
        says = go.refused or ""
        if go.best is not None:
            says = "best by this go: " + said(bench, go.best)
        elif self.rockers.pad and go.has_mark() and self.valve.stem is not None:
            says = "middle at " + said(bench, go.offset(self.valve.stem))
        return {"number": go.number, "length": setting or length, "mark": mark, "says": says}


# --- the order ---


def _order(bench):
    """Lines for the order, or what is lacking for it."""
    orders = pushrod_order.Orders(bench)
    if orders.missing:
        return [{"words": "No order yet", "shown": "", "why": "Missing: " + "; ".join(orders.missing) + "."}]
    return [_order_line(bench, orders, order) for order in orders.lists]


def _order_line(bench, orders, order):
    sides = " and ".join([dict(checker.SIDES)[side] for side in order.sides])
    basis = dict(pushrod_order.BASES)[orders.basis]
    off = order.length - order.wanted
    rounded = "worked out " + said(bench, order.wanted) + ", rounded to the step of " + said(bench, orders.step)
    preload = orders.preload()
    with_preload = ", with " + said(bench, preload) + " of preload" if preload else ""
    changed = orders.changed()
    with_preload += ", with " + said(bench, changed) + " for what changes after the marks" if changed else ""
    return {
        "words": sides[:1].upper() + sides[1:] + ", " + basis[:1].lower() + basis[1:],
        "shown": length_shown(bench, order.length)["words"],
        "why": "Measured at zero lash"
        + with_preload
        + ": "
        + rounded
        + "."
        + _after_rounding(bench, orders, order, off),
    }


def _after_rounding(bench, orders, order, off):
    if orders.rockers.fixed:
        if not orders.preload():
            return " The adjuster takes up the rest; one or two threads of it show below the rocker, the card first."
        return " Preload then " + said(bench, orders.preload() + off) + "."
    moved = said(bench, abs(pushrod.raise_for_change(off, orders.rockers.ratio)))
    widths = [orders.width_off(side, order.length - orders.zero_lash(side) - orders.preload()) for side in order.sides]
    if None in widths:
        return " Rounding moves the pivot " + moved + "."
    return " Rounding moves the pivot " + moved + "; the mark is then about " + said(bench, max(widths)) + " wide."
