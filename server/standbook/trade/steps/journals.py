"""Main and rod journals: size and form of the crank before bearings are bought in a size code."""

from .. import uncertainty
from ..metal import bearings
from ..slips import WINDOW
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from . import common

ID = "journals"
TITLE = "Crank journals"
STAGE = "parts_accepted"
NEEDS = ()
STYLE = "grid"
PURPOSE = "Crank clean and at room temperature. Four diameters per journal; the largest one counts for the clearance."
INSTRUMENTS = ("outside_micrometer", "outside_micrometer_metric", "thermometer")
SOURCES = ("Defaults are common practice; the crank maker's or grinder's sheet comes first.",)
CAUTIONS = (
    Caution(
        "crank",
        "Heavy, sharp flanges: stand it on its flange or in a cradle. Hoist and slings checked, nobody underneath?",
        "tap",
    ),
)
ENDS = (("F", "front"), ("R", "rear"))
ANGLES = (("0", "in line with the throw"), ("90", "across the throw"))


class Row:
    """The mains or the rod journals of a crank: what one is called, its nominal's field, and what all are called."""

    def __init__(self, id, words, field, together):
        self.id = id
        self.words = words
        self.field = field
        self.together = together


ROWS = (
    Row("MJ", "Main journal", "main_journal_diameter", "mains"),
    Row("RJ", "Rod journal", "rod_journal_diameter", "rod journals"),
)


class Journal:
    """One journal of a crank, its names made once: `kind` "MJ" or "RJ", `places` its four, `words` of each place."""

    def __init__(self, kind, n, name):
        self.id = kind + str(n)
        self.kind = kind
        self.name = name + " " + str(n)
        self.places = place_ids(self.id)
        ends = [(end_words, angle_words) for _, end_words in ENDS for _, angle_words in ANGLES]
        self.shorts = [end_words + ", " + angle_words for end_words, angle_words in ends]
        self.words = {place: self.name + ", " + short for place, short in zip(self.places, self.shorts)}
        self.rounds = (self.places[0:2], self.places[2:4])
        self.tapers = (self.places[0::2], self.places[1::2])


def place_ids(journal):
    """The four places of one journal, like "MJ2"."""
    return [journal + "." + end + "." + angle for end, _ in ENDS for angle, _ in ANGLES]


def main_places(engine, n):
    """The four places of main journal n, which the crank of this engine has."""
    return engine.once(_mains)[n - 1].places


def largest(bench, n):
    """Largest of the four readings of main journal n, None while one is missing."""
    return _largest(bench.of(ID), bench.engine.once(_mains)[n - 1])


def _largest(bench, journal):
    return bench.kept("largest", _largest_of, journal)


def _largest_of(bench, journal):
    readings = bench.numbers(journal.places)
    return None if readings is None else max(readings)


def missing_words(n):
    return "all four readings of main journal " + str(n)


def count_of(engine, kind):
    """How many journals of a kind ("MJ", "RJ") this crank has."""
    return (engine.number("main_bearings") or 0) if kind == "MJ" else engine.rod_journal_count()


def _journals(engine):
    """Each journal, mains first."""
    return [Journal(row.id, n, row.words) for row in ROWS for n in range(1, count_of(engine, row.id) + 1)]


def _mains(engine):
    return [journal for journal in engine.once(_journals) if journal.kind == "MJ"]


def _by_id(engine):
    return {journal.id: journal for journal in engine.once(_journals)}


def _of_group(engine, only):
    """The journals that `derive(bench, only)` and `findings(bench, only)` are asked for."""
    if only is None:
        return engine.once(_journals)
    journal = engine.once(_by_id).get(only)
    return () if journal is None else (journal,)


def groups(engine):
    """Mains from the front, then rod journals from the front."""
    top = Group("room", "Room", common.temperatures())
    return [top] + [Group(journal.id, journal.name, _places(journal)) for journal in engine.once(_journals)]


def _places(journal):
    return [
        Place(place, journal.words[place], short, family=journal.kind, gauges=common.MICROMETERS)
        for place, short in zip(journal.places, journal.shorts)
    ]


def derive(bench, only=None):
    """Out-of-round, taper and largest size of each journal; spread over the mains and over the rod journals."""
    values = []
    for journal in _of_group(bench.engine, only):
        values.extend(_journal_values(bench, journal))
    if wants(only, FAMILY):
        values.extend([bench.kept("spread", _spread, row) for row in ROWS])
    return values + (common.temperature_values(bench, "room") if wants(only, "room") else [])


def _journal_values(bench, journal):
    group, name, uses = journal.id, journal.name, journal.places
    missing = bench.missing(uses, journal.words)
    u, trust = (0.0, "") if missing else uncertainty.form(bench, uses)
    forms = (("out-of-round", "journal_out_of_round", journal.rounds), ("taper", "journal_taper", journal.tapers))
    made = []
    for short, acts_on, sets in forms:
        number = None if missing else max([bearings.spread(bench.numbers(places)) for places in sets])
        made.append(
            Value(group + "." + acts_on, name + ", " + short, short, group, number, uses, acts_on, missing, u, trust)
        )
    size = _largest(bench, journal)
    made.append(Value(group + ".largest", name + ", largest size", "largest", group, size, uses, "", missing))
    return made


def _ends(numbers, places):
    """Places of the largest and of the smallest: the odd one out is more often a misread than a bad part."""
    return places[numbers.index(max(numbers))] + places[numbers.index(min(numbers))]


def _spread(bench, row):
    """Spread of the largest sizes over the journals that are measured; it wants all of them."""
    numbers, uses, missing = [], [], []
    for journal in bench.engine.once(_journals):
        if journal.kind == row.id:
            size = _largest(bench, journal)
            uses.extend(journal.places)
            (missing if size is None else numbers).append(journal.name if size is None else size)
    number = bearings.spread(numbers) if numbers and not missing else None
    ask = uses if number is None else _ends(numbers, [uses[4 * n : 4 * n + 4] for n in range(len(numbers))])
    u, trust = (0.0, "") if number is None else uncertainty.form(bench, uses)
    return Value(
        row.id + ".spread",
        "Spread over the " + row.together,
        "spread, " + row.together,
        None,
        number,
        uses,
        "journal_size_spread",
        missing,
        u,
        trust,
        ask=ask,
    )


def findings(bench, only=None):
    """A rod journal typed into the main table, or the other way round."""
    found = []
    mains, rods = bench.engine.number("main_journal_diameter"), bench.engine.number("rod_journal_diameter")
    if mains is None or rods is None or abs(mains - rods) < 2 * WINDOW:
        return found
    for journal in _of_group(bench.engine, only):
        own, other = (mains, rods) if journal.kind == "MJ" else (rods, mains)
        found.extend(_in_wrong_table(bench, journal, own, other))
    return found


def _in_wrong_table(bench, journal, own, other):
    found = []
    for place in journal.places:
        number = bench.number(place)
        if number is not None and abs(number - other) < WINDOW < abs(number - own):
            others = "rod" if journal.kind == "MJ" else "main"
            sentence = (
                journal.name + ": this size belongs to the " + others + " journals; was it typed in the wrong table?"
            )
            found.append(Finding("wrong_table." + place, "WARN", sentence, place))
    return found


def expect(bench, place_id):
    """Sizes lie near the nominal of the specification."""
    for row in ROWS:
        if place_id.startswith(row.id):
            return common.around(bench.engine.number(row.field))
    return None
