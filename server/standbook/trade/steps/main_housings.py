"""Main housing bores: are the holes that clamp the shells round, straight and in line?"""

from .. import uncertainty
from ..metal import bearings
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from . import common

ID = "main_housings"
TITLE = "Main housing bores"
STAGE = "parts_accepted"
NEEDS = ()
STYLE = "grid"
PURPOSE = "Before bearings: caps seated in their registers, the final fasteners at full torque, final lubricant."
INSTRUMENTS = ("dial_bore_gauge", "dial_bore_gauge_metric", "straight_edge", "thermometer")
SOURCES = ("Defaults are common practice; the housing size comes from the bearing maker's card.",)
CAUTIONS = (
    Caution("pull", "Caps at final torque: pull, don't push.", "tap"),
    Caution("caps", "Tap the caps off evenly; levering in the fastener hole bruises it."),
)
ENDS = (("F", "front"), ("R", "rear"))
PLANES = (("V", "upright"), ("P1", "leaning left"), ("P2", "leaning right"))
#: An upright bore so much shorter than the leaning ones means a cap on the wrong seat (common practice).
CAP_SHIFT = 0.002 * 25.4
LINE_GAUGES = ("straight_edge", "test_indicator")


class Housing:
    """Main housing n of an engine, its names made once; `bores`: (plane, end) -> place, `words` of each place."""

    def __init__(self, n):
        self.n = n
        self.id = "MH" + str(n)
        self.name = "Main " + str(n) + " housing"
        self.bores = {(plane, end): self.id + "." + plane + "." + end for plane, _ in PLANES for end, _ in ENDS}
        self.words, self.shorts = {}, {}
        for end, end_words in ENDS:
            for plane, words in PLANES:
                place = self.bores[(plane, end)]
                self.shorts[place] = words + ", " + end_words
                self.words[place] = self.name + ", " + self.shorts[place]
        #: In walking order.
        self.places = [self.bores[(plane, end)] for end, _ in ENDS for plane, _ in PLANES]
        self.rounds = [self.places[0:3], self.places[3:6]]
        self.tapers = [[self.bores[(plane, end)] for end, _ in ENDS] for plane, _ in PLANES]


def _housings(engine):
    return [Housing(n) for n in _mains(engine)]


def _by_id(engine):
    return {housing.id: housing for housing in engine.once(_housings)}


def _of_group(engine, only):
    """The housings that `derive(bench, only)` and `findings(bench, only)` are asked for."""
    if only is None:
        return engine.once(_housings)
    housing = engine.once(_by_id).get(only)
    return () if housing is None else (housing,)


def _mains(engine):
    return range(1, (engine.number("main_bearings") or 0) + 1)


def groups(engine):
    """Six diameters per housing, then the line from housing to housing."""
    top = common.joint("Main caps seated, at full torque with the final fasteners") + [common.gauge_zero()]
    line = [_line_place(n) for n in _mains(engine)[:-1]] + [_line_overall()]
    housings = [Group(housing.id, housing.name, _housing_places(housing)) for housing in engine.once(_housings)]
    return [Group("joint", "Caps and fasteners", top)] + housings + [Group("line", "Main line", line)]


def _housing_places(housing):
    return [
        Place(place, housing.words[place], housing.shorts[place], family="bore", gauges=common.BORE_GAUGES)
        for place in housing.places
    ]


def _line_place(n):
    words = "between " + str(n) + " and " + str(n + 1)
    return _on_the_line("ML" + str(n), "Main line, step " + words, words)


def _line_overall():
    return _on_the_line("ML", "Main line, over all", "over all")


def _on_the_line(id, words, short):
    return Place(id, words, short, required=False, hint="Straight-edge or alignment bar.", gauges=LINE_GAUGES)


def derive(bench, only=None):
    """Out-of-round and taper of each housing, its size against the card, steps of the main line."""
    values = []
    for housing in _of_group(bench.engine, only):
        values.extend(_housing_values(bench, housing))
    if wants(only, "line"):
        for n in _mains(bench.engine)[:-1]:
            values.extend(_line_value(bench, "ML" + str(n), "main_alignment_neighbours"))
        values.extend(_line_value(bench, "ML", "main_alignment_overall"))
    return values + (common.temperature_values(bench, "joint") if wants(only, "joint") else [])


def _housing_values(bench, housing):
    return [
        _form(bench, housing, "out-of-round", "main_housing_out_of_round", housing.rounds),
        _form(bench, housing, "taper", "main_housing_taper", housing.tapers),
        _size(bench, housing, ENDS[0]),
        _size(bench, housing, ENDS[1]),
    ]


def _form(bench, housing, short, acts_on, sets):
    """Largest spread over the sets of places: out-of-round at each end, or taper in each plane."""
    group, name = housing.id, housing.name
    uses = [place for places in sets for place in places]
    missing = bench.missing(uses, housing.words)
    number = None if missing else max([bearings.spread(bench.numbers(places)) for places in sets])
    u, trust = uncertainty.form(bench, uses)
    return Value(group + "." + acts_on, name + ", " + short, short, group, number, uses, acts_on, missing, u, trust)


def _size(bench, housing, end):
    """Upright size at one end: a tight end changes crush and clearance however large the other one is."""
    place = housing.bores[("V", end[0])]
    short = "size, " + end[1]
    u = uncertainty.single(bench, place, 0.0002 * 25.4)
    number, missing = bench.number(place), bench.missing([place], housing.words)
    return Value(
        housing.id + ".size." + end[0],
        housing.name + ", upright " + short,
        short,
        housing.id,
        number,
        [place],
        "main_housing_size",
        missing,
        u,
        "one instrument",
    )


def _line_value(bench, place, acts_on):
    number = bench.number(place)
    if number is None:
        return []
    u, trust = uncertainty.form(bench, [place])
    words = "Main line, over all" if place == "ML" else "Main line, step after main " + place[2:]
    return [Value(place + ".step", words, "main line", "line", number, [place], acts_on, (), u, trust)]


def findings(bench, only=None):
    """Caps loose or unrecorded; a cap reversed or on a wrong seat."""
    found = common.torque_findings(bench, bench.engine.once(_bores)) if wants(only, FAMILY) else []
    for housing in _of_group(bench.engine, only):
        for end, _ in ENDS:
            found.extend(_cap_finding(bench, housing, end))
    return found


def _bores(engine):
    return [housing.bores[(plane, end)] for housing in _housings(engine) for plane, _ in PLANES for end, _ in ENDS]


def _cap_finding(bench, housing, end):
    upright, left, right = [bench.number(housing.bores[(plane, end)]) for plane, _ in PLANES]
    if None in (upright, left, right):
        return []
    if abs(left - right) <= CAP_SHIFT and (left + right) / 2.0 - upright <= CAP_SHIFT:
        return []
    words = housing.name + ": the diameters differ strongly; is the cap on its own seat and the right way round?"
    name = "cap_seat." + str(housing.n) + "." + end
    return [Finding(name, "WARN", words, housing.bores[("V", end)])]


def expect(bench, place_id):
    """Housing sizes lie near the nominal of the specification; a step of the main line near nothing at all."""
    return common.around(bench.engine.number("main_housing_diameter")) if place_id.startswith("MH") else None
