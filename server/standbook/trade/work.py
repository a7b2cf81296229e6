"""What a work step is made of. A step file declares with these; forms, tables, sheets and the API follow from it."""

from . import plain, quantity
from .memos import Laid
from .readings import OneMore

#: In place of a group's id: the values that stand over several groups.
FAMILY = "family"


def wants(only, group):
    """Whether `derive(bench, only)` is asked for the values of a group."""
    return only is None or only == group


class Place:
    """A place that a reading belongs to.

    `kind`: length, temperature, torque, angle, choice, flag, text or wrench (its name; the entry's instrument is it).
    `set_or_found`: the hand adjusts until the gauge agrees (set), or the part says what it is (found). `family`: places
    whose readings should resemble each other.
    """

    def __init__(
        self,
        id,
        words,
        short,
        kind="length",
        required=True,
        set_or_found="found",
        choices=(),
        units=None,
        family=None,
        hint=None,
        gauges=None,
        on_call=False,
        blind=False,
        said=(),
    ):
        self.id = id
        self.words = words
        self.short = short
        self.kind = kind
        self.required = required
        self.set_or_found = set_or_found
        self.choices = choices
        self.units = units or quantity.PICKED.get(kind, ())
        self.family = family
        self.hint = hint
        #: Kinds of gauge that the trade takes for this very place; None: those of the step; (): nobody asks for one.
        self.gauges = gauges
        #: Stands in the form only once the step asks for it, by what was recorded before (`Step.calls`).
        self.on_call = on_call
        #: Read without a look at what was read before or elsewhere: a second reading, a second person's.
        self.blind = blind
        #: Words for texts that a key wrote here, where it is no choice: ((text, words), …).
        self.said = said
        #: Places of the same part: a changed part takes the readings of all of them along.
        self.mates = (id,)

    def is_found_size(self):
        return self.kind == "length" and self.set_or_found == "found"


class Group:
    """Places that belong together: one bearing, one journal, one cylinder. Values with its id stand beside them.

    `aside`: seldom needed; a table folds them away until something stands there.
    """

    def __init__(self, id, words, places, aside=False):
        self.id = id
        self.words = words
        self.places = places
        self.aside = aside
        mates = tuple([place.id for place in places])
        for place in places:
            place.mates = mates


class Value:
    """A derived value before it is judged.

    `number` is canonical, None when inputs are missing (`missing`: their words). `u` is the uncertainty that belongs to
    it, `trust` says in words where u comes from. `acts_on` names the limits; "" = only shown.
    """

    def __init__(
        self,
        id,
        words,
        short,
        group,
        number,
        uses,
        acts_on="",
        missing=(),
        u=0.0,
        trust="",
        kind="length",
        set_or_found="found",
        extra_decimals=0,
        ask=None,
        lead_in="",
        do_next="",
    ):
        self.id = id
        self.words = words
        self.short = short
        self.group = group
        self.number = number
        self.uses = uses
        self.acts_on = acts_on
        self.missing = missing
        self.u = u
        self.trust = trust
        self.kind = kind
        self.set_or_found = set_or_found
        self.extra_decimals = extra_decimals
        #: Places to measure again when the lead asks it of this value; usually all that it uses.
        self.ask = uses if ask is None else ask
        #: A sentence in front of the verdict, where the number alone would not speak.
        self.lead_in = lead_in
        #: What to do where it is out; "": what the trade usually does with a set or a found value.
        self.do_next = do_next


class Finding:
    """Something a step noticed that is not a value against a limit: one sentence, a severity, where.

    A slip, or what must not be at a joint or its part, is asked about before a measured reading is kept, a wait that is
    not over (`sort` "wait") before any answer is; `wait`: from when on and how many minutes it lasts.
    """

    def __init__(self, id, severity, words, place=None, sort="slip", wait=None):
        self.id = id
        self.severity = severity
        self.words = words
        self.place = place
        self.sort = sort
        self.wait = wait


class Caution:
    """A caution: `tap` = one line, one tap when the hand is about to act; `fold` = under "more".

    `at`: the place of a joint's questions before which it stands, where the hand acts before the wrench does.
    """

    def __init__(self, id, line, level="fold", at=None):
        self.id = id
        self.line = line
        self.level = level
        self.at = at

    def as_dict(self):
        return {"id": self.id, "line": self.line, "level": self.level, "at": self.at}


#: Stands with the folded cautions of every step.
DEFER = Caution("defer", "The part maker's sheet, local codes and licensed practice come before this book.")


def _always(_engine):
    return True


def _none(_bench):
    return ()


class Step:
    """A work step, built from the names that a step module declares."""

    def __init__(self, module):
        self.id = module.ID
        self.title = module.TITLE
        self.stage = module.STAGE
        self.needs = module.NEEDS
        self.style = module.STYLE
        self.purpose = module.PURPOSE
        self.instrument_kinds = module.INSTRUMENTS
        self.cautions = tuple(module.CAUTIONS) + (DEFER,)
        self.sources = module.SOURCES
        self.groups = module.groups
        #: derive(bench, only=None): all values, or those of one group, or those over several (`FAMILY`).
        self.derive = module.derive
        #: findings(bench, only=None): what else there is to notice, in all, of one group, or over several.
        self.findings = module.findings
        self.expect = module.expect
        self.guide = getattr(module, "guide", None)
        #: joints_of(engine): what a step of style "joint" tightens; its guide is a view of them.
        self.joints_of = getattr(module, "joints_of", None)
        #: calls(bench): {place id: True} of the places on call that are wanted by now.
        self.calls = getattr(module, "calls", None)
        #: kind_of(place id), where the engine does not decide which places there are.
        self.kind_of = getattr(module, "kind_of", None)
        self.applies = getattr(module, "applies", _always)
        #: not_needed(bench): required places that the answers on the bench make needless.
        self.not_needed = getattr(module, "not_needed", _none)
        self._more_cautions = getattr(module, "cautions", None)

    def cautions_on(self, bench):
        """The step's cautions, and those that what is on the bench calls for (a hot engine)."""
        return (tuple(self._more_cautions(bench)) if self._more_cautions else ()) + self.cautions

    def places(self, engine):
        """Every place in walking order."""
        return [place for group in self.groups(engine) for place in group.places]


class Accepted:
    """The accepted reading of a place, as a step sees it."""

    def __init__(self, number, typed, instrument, rank=None, made_at="", entries=()):
        self.number = number
        self.typed = typed
        self.instrument = instrument
        #: How many decimal places were typed.
        self.decimals = plain.decimals_of(typed["text"])
        #: Where the first reading that it rests on stands in the order of the book; None outside a book.
        self.rank = rank
        #: All live readings of the place in the order of the book, for who made them and when; none outside a book.
        self.entries = entries
        #: When the last of them was made, as its device has it; "" outside a book.
        self.made_at = made_at


class Bench:
    """What lies on the bench for one step: the engine, the limits in force, and accepted readings by step and place.

    `readings`: answers `at(step, place)`; see `readings.py`. `memos`: keeps what is worked out from them. `watch`:
    {step: {place: True}} where somebody looked. `made`: on a bench that lives no longer than one look at it, what was
    worked out on it.
    """

    def __init__(self, step_id, engine, limits, readings, memos=None, watch=None, made=None):
        self.step_id = step_id
        self.engine = engine
        self.limits = limits
        self._readings = readings
        self._found = readings.found(step_id)
        self._memos = memos
        self._watch = watch
        self._seen = None if watch is None else watch.setdefault(step_id, {})
        self._made = made

    def once(self, key, make):
        """What `make()` gives from readings; worked out once on a bench that lives no longer than one look at it."""
        if self._made is None:
            return make()
        if key not in self._made:
            self._made[key] = make()
        return self._made[key]

    def kept(self, sort, make, about):
        """What `make(bench, about)` gives from readings, kept until one that it looked at changes; it holds no bench.

        `about`: a thing with an `id` of which there is one of a sort in a step.
        """
        if self._memos is None:
            return self.once((sort, about.id), lambda: make(self, about))
        return self._memos.get((self.step_id, sort, about.id), self, make, about)

    def of(self, step_id):
        """The same bench seen from another step."""
        return self.once(("of", step_id), lambda: self._like(step_id, self._watch, self._made))

    def watched(self, watch):
        """This bench; notes in `watch` at which places somebody looks."""
        return self._like(self.step_id, watch, {})

    def _like(self, step_id, watch, made):
        return Bench(
            step_id, self.engine, self.limits, self._readings, self._memos, watch, None if made is None else {}
        )

    def with_reading(self, place, reading):
        """This bench with one reading laid over it, or without that place's where `reading` is None."""
        laid = OneMore(self._readings, self.step_id, place, reading)
        memos = None if self._memos is None else Laid(self._memos, self.step_id, place)
        return Bench(self.step_id, self.engine, self.limits, laid, memos, self._watch, {})

    def rests_on(self, seen):
        """What is taken from here rests on these places too: {step: {place: True}}."""
        if self._watch is not None:
            for step, places in seen.items():  # any order: each is noted for itself
                self._watch.setdefault(step, {}).update(places)

    def at(self, place):
        """The accepted reading of a place, None when there is none."""
        if self._seen is not None:
            self._seen[place] = True
        found = self._found
        if place not in found:
            found[place] = self._readings.at(self.step_id, place)
        return found[place]

    def all(self, places):
        """The same of many places."""
        if self._seen is not None:
            self._seen.update(dict.fromkeys(places, True))
        found = self._found
        return [found[place] if place in found else self.at(place) for place in places]

    def before(self, place, rank):
        """What stood accepted at a set place before that rank in the order of the book; None when nothing did."""
        self.rests_on({self.step_id: {place: True}})
        return self._readings.before(self.step_id, place, rank)

    def number(self, place):
        found = self.at(place)
        return None if found is None else found.number

    def text(self, place):
        found = self.at(place)
        return None if found is None or found.typed is None else found.typed["text"]

    def numbers(self, places):
        """Numbers of all the places, None unless every one is there."""
        found = [None if read is None else read.number for read in self.all(places)]
        return None if None in found or not found else found

    def missing(self, places, words):
        """Words of the places that have no accepted number."""
        read = zip(places, self.all(places))
        return tuple([words[place] for place, found in read if found is None or found.number is None])

    def instrument(self, place):
        found = self.at(place)
        return None if found is None else found.instrument
