"""Values as screens show them: number and unit, every limit with its source and bar, one sentence with what to do."""

from . import judge, plain, quantity

RATIO_DECIMALS = 5
BAR_MARGIN = 0.25
DO_NEXT = {
    "found": "Measure again, or record it as found so with a note; the lead decides.",
    "set": "Set it again, or record it as found so with a note; the lead decides.",
}
#: More digits than these no shop can use; a limit in a foreign unit is rounded to them for the eye.
MOST_DECIMALS = {"in": 5, "thou": 2, "mm": 3}
TRUST_DECIMALS = {"in": 5, "thou": 2, "mm": 4}


class Judged:
    """One derived value with its limits, judged. `view()` is the ValueView of the screens."""

    def __init__(self, value, bench):
        self.value = value
        self.unit, self.decimals = _style(value, bench)
        self.missing = list(value.missing)
        self.limits = []
        self.acceptance = None
        self._shown = None
        if value.acts_on and value.number is not None:
            self.limits = [
                _Against(value, limit, self)
                for limit in bench.limits.in_force(value.acts_on, bench.engine, value.set_or_found)
            ]
            self.missing = [a.limit["missing"] for a in self.limits if a.limit["missing"]]
        self.word = self._word()
        self.severity = self._severity()

    def shown(self):
        """The value in its unit and decimals, None when it has no number."""
        if self._shown is None and self.value.number is not None:
            self._shown = quantity.show(self.value.kind, self.value.number, self.unit, self.decimals)
        return self._shown

    def is_bad(self):
        return self.word in ("out", "too close, measure again", "abort")

    def _word(self):
        if self.value.number is None or self.missing:
            return "cannot judge"
        return judge.worst([against.word for against in self.limits]) or "shown"

    def _severity(self):
        if self.word in ("in", "shown", "cannot judge"):
            return None
        if self.word == "in, close":
            return "NOTE"
        given = [a.limit["severity"] for a in self.limits if a.word == self.word]
        if self.word == "too close, measure again":
            given.append("HOLD")
        return judge.worst_severity(given)

    def _against(self):
        """The limit that the sentence names: of the worst word, the most severe when out, else the tightest."""
        against = [a for a in self.limits if a.word == self.word]
        if self.is_bad():
            return plain.in_order(against, key=lambda a: judge.SEVERITIES.index(a.limit["severity"]))[0]
        return plain.in_order(against, key=_Against.room)[0]

    def sentence(self):
        """What, by which limit from which source, and what to do next."""
        if self.word == "cannot judge":
            return (
                "Cannot judge: missing "
                + "; ".join(self.missing[:3])
                + (" and more." if len(self.missing) > 3 else ".")
            )
        words = self.shown()["words"]
        if not self.limits:
            return words + ", shown only: no limit judges it."
        against = self._against()
        limit = ("Reject limit " if against.limit["severity"] == "STOP" else "Limit ") + against.band()
        tail = words + ". " + limit + ", " + against.limit["source"] + "."
        if self.word == "in":
            return self.value.lead_in + "In: " + tail
        if self.word == "in, close":
            return self.value.lead_in + "In, but close to the limit: " + tail + " The job goes on."
        if self.word == "out":
            do_next = self.value.do_next or DO_NEXT[self.value.set_or_found]
            return self.value.lead_in + "Out by " + against.excess() + ": " + tail + " " + do_next
        return (
            "Too close to tell, measure again: " + tail + " A second equal reading, a better instrument, or the lead."
        )

    def is_what_was_decided(self, body):
        """Whether a decision's body speaks of this value as it stands: the same figure by the same limits."""
        bound, shown = body.get("value"), self.shown()
        if bound is None or shown is None:
            return False
        same = (bound["text"], bound.get("unit")) == (shown["text"], shown["unit"])
        return same and body.get("limit", "") in ("", self.limit_words())

    def limit_words(self):
        """All limits of this value in words, as a decision keeps them."""
        known = [a for a in self.limits if not a.limit["missing"]]
        return "; ".join([a.limit["words"] + " " + a.band() + ", " + a.limit["source"] for a in known])

    def as_shown(self):
        """What a signature binds of this value."""
        shown = self.shown()
        return [self.value.id, shown["words"] if shown else "", self.word, self.limit_words()]

    def view(self):
        value = self.value
        return {
            "id": value.id,
            "words": value.words,
            "short": value.short,
            "group": value.group,
            "shown": self.shown(),
            "verdict": self.word,
            "severity": self.severity,
            "sentence": self.sentence(),
            "missing": self.missing,
            "uses": list(value.uses),
            "limits": [a.view() for a in self.limits if not a.limit["missing"]],
            "accepted_by_lead": self.acceptance,
        }


class _Against:
    """One value against one limit in force."""

    def __init__(self, value, limit, judged):
        self.value = value
        self.limit = limit
        self.judged = judged
        self._ends = {}
        self.word = "cannot judge"
        if not limit["missing"]:
            note_only = limit["severity"] == "NOTE"
            self.word = judge.verdict(limit["kind"], value.number, limit["low"], limit["high"], value.u, note_only)

    def room(self):
        """Distance to the nearer end, canonical."""
        return judge.room(self.value.number, self.limit["low"], self.limit["high"])

    def band(self):
        low, high = [self._end(end) for end in ("low", "high")]
        if low is None:
            return "up to " + quantity.with_unit(high["text"], high["unit"])
        if high is None:
            return "at least " + quantity.with_unit(low["text"], low["unit"])
        return low["text"] + " to " + quantity.with_unit(high["text"], high["unit"])

    def _end(self, end):
        x = self.limit[end]
        if x is not None and end not in self._ends:
            self._ends[end] = quantity.show(self.value.kind, x, self.judged.unit, self._decimals(x))
        return self._ends.get(end)

    def _decimals(self, x):
        """As many decimals as the number needs, at least the unit's usual ones or the value's own where fewer."""
        unit = self.judged.unit
        fewest, most = min(self.judged.decimals, quantity.DECIMALS.get(unit, 3)), MOST_DECIMALS.get(unit, 3)
        number = quantity.from_canonical(self.value.kind, x, unit)
        for decimals in range(fewest, most):
            if abs(plain.round_away(number, decimals) - number) < 1e-7:
                return decimals
        return max(fewest, most)

    def excess(self):
        """How far outside, in the value's unit."""
        number, low, high = self.value.number, self.limit["low"], self.limit["high"]
        over = low - number if low is not None and number < low else number - high
        return quantity.with_unit(
            quantity.text_in(self.value.kind, over, self.judged.unit, self._decimals(over)), self.judged.unit
        )

    def trust(self):
        """How far the figure is trusted, in words; nothing where no uncertainty is known."""
        if not self.value.u:
            return ""
        u = quantity.text_in(self.value.kind, self.value.u, self.judged.unit, TRUST_DECIMALS.get(self.judged.unit))
        why = " (" + self.value.trust + ")" if self.value.trust else ""
        return "Trusted to \u00b1" + quantity.with_unit(u, self.judged.unit) + why

    def view(self):
        limit = self.limit
        return {
            "id": limit["id"],
            "words": limit["words"],
            "low": self._end("low"),
            "high": self._end("high"),
            "band": self.band(),
            "source": limit["source"],
            "card": limit["card"],
            "kind": limit["kind"],
            "severity": limit["severity"],
            "verdict": self.word,
            "trust": self.trust(),
            "bar": bar(self.value.number, limit["low"], limit["high"]),
        }


def bar(value, low, high):
    """Places of value and limits on a bar, 0 to 1: the band in the middle, a margin on both sides."""
    first = low if low is not None else min(0.0, value)
    last = high if high is not None else max(value, first + abs(first) + 1.0)
    margin = (last - first) * BAR_MARGIN if last > first else 1.0
    start, width = first - margin, last - first + 2.0 * margin
    return {
        "low": None if low is None else _clamped((low - start) / width),
        "high": None if high is None else _clamped((high - start) / width),
        "value": _clamped((value - start) / width),
    }


def _clamped(share):
    return plain.round_away(min(1.0, max(0.0, share)), 4)


def _style(value, bench):
    """Unit and decimals of a derived value: the unit that the hand typed, the decimals of the worse of its inputs."""
    if value.kind == "ratio":
        return "1", RATIO_DECIMALS
    if value.kind == "temperature-difference":
        fahrenheit = bench.at(value.uses[0]).typed["unit"] == "degF"
        return ("ddegF", 0) if fahrenheit else ("K", 1)
    units = quantity.units_of(value.kind)
    sized = [f for f in bench.all(value.uses) if f is not None and f.typed is not None and f.typed["unit"] in units]
    if not sized:
        unit = "mm" if bench.engine.usual_unit("bore") == "mm" else "in"
        return unit, quantity.DECIMALS[unit] + value.extra_decimals
    unit = sized[0].typed["unit"]
    decimals = min([f.decimals for f in sized if f.typed["unit"] == unit])
    return unit, min(decimals, quantity.DECIMALS[unit]) + value.extra_decimals
