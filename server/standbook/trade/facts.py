"""What the book says of the whole engine: specification, limits in force, signatures and the lead's decisions."""

from . import limits as limit_table
from . import plain
from .engine import Engine
from .instruments import ASKED
from .slips import FEWEST_MATES
from .work import FAMILY

#: Default tables that are not this version's own, by sha256: a build keeps the table that it was opened with.
_tables = {}


def use_table(sha256, text):
    """Takes a frozen table of defaults (canonical text, checked against its hash by the caller)."""
    _tables[sha256] = plain.from_json(text)["rows"]


class Layout:
    """The places of a step: by group, in walking order, by id."""

    def __init__(self, step, groups):
        self.groups = groups
        self.places = [place for group in groups for place in group.places]
        self.by_id = {place.id: place for place in self.places}
        self.group_of = {place.id: group.id for group in groups for place in group.places}
        #: The places of each family of found sizes that has enough of them to tell an odd one.
        self.families = _families(self.places)
        #: What of the step is worked out for itself: each group, and what stands over several; under which key.
        self.parts = [(step.id, "part", group.id) for group in groups] + [(step.id, "part", FAMILY)]
        #: What the places of each group say for themselves.
        self.said = [((step.id, "said", group.id), group) for group in groups]
        #: The sizes that are found, in walking order.
        self.sizes = [place for place in self.places if place.is_found_size()]


def _families(places):
    families = {}
    for place in places:
        if place.family and place.set_or_found == "found" and place.kind in ASKED:
            families.setdefault((place.kind, place.family), []).append(place)
    return [families[key] for key in plain.keys_in_order(families) if len(families[key]) > FEWEST_MATES]


class Facts:
    """Facts of one book, read once; `Build` makes a new one when an entry changes them."""

    def __init__(self, book):
        self.opened = _first(book.of_kind("build_opened"))
        self.frozen = _last(book.of_kind("limits_frozen"))
        self.engine_entries = {entry.body["field"]: entry for entry in book.of_kind("engine_value")}
        raw = {name: self.engine_entries[name].body["value"] for name in self.engine_entries}
        self.engine = Engine(raw)
        self.limits = limit_table.Limits(self.rows_of(self.frozen), self.cards())
        self.decisions = book.of_kind("decision")
        self._decided = {(entry.step, entry.body["about"]): entry for entry in self.decisions}
        signed = book.of_kind("step_signed")
        self.signatures = {entry.step: entry for entry in signed}
        self.first_signatures = {entry.step: entry for entry in reversed(signed)}
        self.hold_signatures = book.of_kind("hold_signed")
        self.hold_openings = book.of_kind("hold_opened")
        #: How many gauge steps two readings of one place may differ.
        self.steps_apart = self.limits.number("reading_difference_in_steps", "high")
        self._layouts = {}

    def layout(self, step):
        """The places of a step on this engine."""
        if step.id not in self._layouts:
            self._layouts[step.id] = Layout(step, step.groups(self.engine))
        return self._layouts[step.id]

    def defaults(self):
        """sha256 of the frozen defaults, None before limits were frozen."""
        return self.frozen.body["defaults"] if self.frozen else None

    def cards(self):
        return self.frozen.body["cards"] if self.frozen else []

    def needs_blob(self):
        """The frozen table is neither this version's own nor was it handed over yet."""
        sha256 = self.defaults()
        return sha256 is not None and sha256 != limit_table.TABLE_SHA256 and sha256 not in _tables

    def rows_of(self, frozen):
        """The rows of the defaults that an entry froze; None for this version's own, and for one that is not here."""
        return _tables.get(frozen.body["defaults"]) if frozen else None

    def asking(self, step):
        """The lead's latest decisions about something of a step that ask to measure it again."""
        return [
            entry
            for entry in self.decisions
            if entry.step == step
            and entry.body["decision"] == "measure_again"
            and self._decided[(step, entry.body["about"])] is entry
        ]

    def decision_about(self, step, about):
        """The lead's latest decision about a value, place or flag of a step (None: of the whole engine)."""
        return self._decided.get((step, about))


def _first(entries):
    return entries[0] if entries else None


def _last(entries):
    return entries[-1] if entries else None
