"""Main bearing oil clearance: by a gauge zeroed on the journal, or by bore less journal."""

from .. import instruments, plain, uncertainty
from ..metal import bearings
from ..slips import WINDOW, Expectation
from ..work import FAMILY, Caution, Finding, Group, Place, Value, wants
from . import common, journals, main_housings

ID = "main_bearing_clearance"
TITLE = "Main bearing clearance"
STAGE = "parts_accepted"
NEEDS = ("main_housings", "journals")
STYLE = "grid"
PURPOSE = (
    "Shells in, caps at full torque. Best: lock a micrometer at the journal's own size, zero the dial gauge in it, "
    "and read the clearance directly."
)
INSTRUMENTS = ("dial_bore_gauge", "dial_bore_gauge_metric", "plastic_strip", "ball_anvil_micrometer", "thermometer")
SOURCES = ("The bearing maker's card comes first; the defaults per inch of journal are common practice.",)
CAUTIONS = (
    Caution("pull", "Caps at final torque: pull, don't push.", "tap"),
    Caution("faces", "No bare fingers on the shell faces."),
    Caution("shells", "Upper shell: oil hole over its passage. Thrust shell in its own place."),
    Caution("strip", "Plastic strip: dry journal, and the crank is not turned on it."),
)
ZEROED, TWO = "zeroed_on_journal", "two_instruments"
METHODS = ((ZEROED, "Gauge zeroed on the journal: reads the clearance"), (TWO, "Bore by gauge, journal by micrometer"))
PLANES = (("V", "upright"), ("P1", "leaning left"), ("P2", "leaning right"))
WALL_GAUGES = ("ball_anvil_micrometer",)
BESIDE = (
    ("upper_code", "upper shell, size code", "text", None),
    ("lower_code", "lower shell, size code", "text", None),
    ("upper_wall", "upper shell, wall", "length", WALL_GAUGES),
    ("lower_wall", "lower shell, wall", "length", WALL_GAUGES),
    ("strip", "plastic strip", "length", ("plastic_strip",)),
)
METHOD_WORDS = "how the clearance was measured"
BORE_TRUST = 0.0002 * 25.4
MICROMETER_TRUST = 0.0001 * 25.4
#: Shells come under-size by 0.010 in and in size codes a thousandth apart (common practice).
SHELL_STEPS = (
    (0.010 * 25.4, "0.010 in", "under-size shells on a standard journal, or the reverse"),
    (0.001 * 25.4, "0.001 in", "a shell of another size code"),
)


class Bearing:
    """Main bearing n of an engine, its names made once; `planes`: its three diameters, the upright one first."""

    def __init__(self, n):
        self.n = n
        self.id = "MB" + str(n)
        self.words = "Main " + str(n)
        self.planes = [self.id + "." + plane for plane, _ in PLANES]
        self.upright = self.planes[0]
        self.plane_words = {place: self.words + " bearing, " + short for place, (_, short) in zip(self.planes, PLANES)}
        self.upper_code, self.lower_code, self.upper_wall, self.lower_wall, self.strip = [
            self.id + "." + name for name, _, _, _ in BESIDE
        ]
        self.walls = [self.upper_wall, self.lower_wall]
        self.housings = ["MH" + str(n) + ".V." + end for end in ("F", "R")]


def _bearings(engine):
    return [Bearing(n) for n in range(1, (engine.number("main_bearings") or 0) + 1)]


def _by_id(engine):
    return {bearing.id: bearing for bearing in engine.once(_bearings)}


def _of_group(engine, only):
    """The bearings that `derive(bench, only)` and `findings(bench, only)` are asked for."""
    if only is None:
        return engine.once(_bearings)
    bearing = engine.once(_by_id).get(only)
    return () if bearing is None else (bearing,)


def groups(engine):
    """How it was measured, then three diameters per bearing with its shells."""
    method = Place("method", "How the clearance is measured", "method", kind="choice", choices=METHODS)
    top = [method] + common.joint("Main caps with shells in, at full torque") + [common.gauge_zero()]
    return [Group("joint", "Method and joint", top)] + [
        Group(bearing.id, bearing.words + " bearing", _places(bearing)) for bearing in engine.once(_bearings)
    ]


def _places(bearing):
    sizes = [
        Place(place, bearing.plane_words[place], short, family=plane, gauges=common.BORE_GAUGES)
        for place, (plane, short) in zip(bearing.planes, PLANES)
    ]
    words = bearing.words + " bearing, "
    return sizes + [
        Place(bearing.id + "." + name, words + short, short, kind=kind, required=False, family=name, gauges=gauges)
        for name, short, kind, gauges in BESIDE
    ]


def derive(bench, only=None):
    """Clearance and eccentricity of each main, what shells and strip say beside it, and the spread over the mains."""
    values = []
    for bearing in _of_group(bench.engine, only):
        clearance = _clearance(bench, bearing)
        values.extend([clearance, _eccentricity(bench, bearing)] + _beside(bench, bearing, clearance.number))
    if wants(only, FAMILY):
        values.extend(_spread(bench, [_clearance(bench, bearing) for bearing in bench.engine.once(_bearings)]))
    return values + (common.temperature_values(bench, "joint") if wants(only, "joint") else [])


def _clearance(bench, bearing):
    return bench.kept("clearance", _clearance_of, bearing)


def _clearance_of(bench, bearing):
    upright = bearing.upright
    size, journal, method = bench.number(upright), journals.largest(bench, bearing.n), bench.text("method")
    missing = list(bench.missing([upright], bearing.plane_words))
    if method is None:
        missing.append(METHOD_WORDS)
    if method == TWO and journal is None:
        missing.append(journals.missing_words(bearing.n))
    number = None if missing else size if method == ZEROED else bearings.clearance(size, journal)
    u, trust = _trust(bench, bearing, method)
    return Value(
        bearing.id + ".clearance",
        bearing.words + ", oil clearance",
        "oil clearance",
        bearing.id,
        number,
        [upright],
        "main_clearance",
        missing,
        u,
        trust,
    )


def _trust(bench, bearing, method):
    """u of the clearance: direct zero, or both instruments' full figures."""
    if method != TWO:
        u, _ = uncertainty.form(bench, [bearing.upright])
        return u, "gauge zeroed on the journal"
    journal_place = journals.main_places(bench.engine, bearing.n)[0]
    micrometer = uncertainty.single(bench.of(journals.ID), journal_place, MICROMETER_TRUST)
    return uncertainty.two_instruments(uncertainty.single(bench, bearing.upright, BORE_TRUST), micrometer)


def _eccentricity(bench, bearing):
    upright, left, right = uses = bearing.planes
    missing = bench.missing(uses, bearing.plane_words)
    number = None if missing else bearings.eccentricity(bench.number(left), bench.number(right), bench.number(upright))
    u, trust = uncertainty.form(bench, uses)
    return Value(
        bearing.id + ".eccentricity",
        bearing.words + ", eccentricity",
        "eccentricity",
        bearing.id,
        number,
        uses,
        "bearing_eccentricity",
        missing,
        u,
        trust,
        extra_decimals=1,
    )


def _beside(bench, bearing, clearance):
    """Clearance per inch of journal, prediction from the shell walls, plastic strip against the gauge: where known."""
    journal = journals.largest(bench, bearing.n)
    upright = bearing.upright
    found = []
    if clearance is not None and journal:
        per_inch = clearance / journal
        found.append(_value(bearing, "per_inch", "clearance per inch of journal", per_inch, [upright], kind="ratio"))
    walls = bench.numbers(bearing.walls)
    housing = bench.of(main_housings.ID).numbers(bearing.housings)
    if walls and housing and journal:
        number = bearings.clearance_from_shells(min(housing), walls[0], walls[1], journal)
        words = "clearance predicted from the shells (for choosing size codes)"
        found.append(_value(bearing, "predicted", words, number, bearing.walls))
    strip = bench.number(bearing.strip)
    if strip is not None and clearance is not None:
        uses, acts_on = [bearing.strip, upright], "plastic_strip_off_gauge"
        found.append(_value(bearing, "strip_off", "plastic strip off the gauge", abs(strip - clearance), uses, acts_on))
    return found


def _value(bearing, name, short, number, uses, acts_on="", kind="length"):
    words = bearing.words + ", " + short
    return Value(bearing.id + "." + name, words, short, bearing.id, number, uses, acts_on, kind=kind)


def _spread(bench, clearances):
    if not clearances:
        return []
    missing = [c.words for c in clearances if c.number is None]
    number = None if missing else bearings.spread([c.number for c in clearances])
    uses = [place for c in clearances for place in c.uses]
    u, trust = uncertainty.form(bench, uses)
    ask = uses if number is None else _ends(clearances)
    name, acts_on = "spread over the mains", "main_clearance_spread"
    return [Value("MB.spread", "Spread over the mains", name, None, number, uses, acts_on, missing, u, trust, ask=ask)]


def _ends(clearances):
    """Upright places of the widest and of the tightest main."""
    ordered = plain.in_order(clearances, key=lambda clearance: clearance.number)
    return [ordered[0].uses[0], ordered[-1].uses[0]]


def findings(bench, only=None):
    """Swapped sizes, shells of another size, a gauge not to be trusted, caps not tight."""
    found = _joint_findings(bench) if wants(only, FAMILY) else []
    for bearing in _of_group(bench.engine, only):
        found.extend(_clearance_findings(bench, bearing))
        found.extend(_shell_findings(bench, bearing))
    return found


def _joint_findings(bench):
    sizes = [place for bearing in bench.engine.once(_bearings) for place in bearing.planes]
    measured = any(found is not None and found.number is not None for found in bench.all(sizes))
    return common.torque_findings(bench, sizes) + _warm_block_findings(bench, measured)


def _warm_block_findings(bench, measured):
    """An aluminium housing grows away from a steel crank: its clearance holds only where the temperature is known."""
    if bench.engine.text("block_material") != "aluminium" or not measured:
        return []
    if None not in (bench.number("temperature"), bench.number("room_temperature")):
        return []
    words = "Aluminium block: its clearance holds at room temperature only; record part and room temperature."
    return [Finding("warm_block", "NOTE", words, "temperature", "missing")]


def _clearance_findings(bench, bearing):
    n, place = bearing.n, bearing.upright
    number, band = _clearance(bench, bearing).number, _band(bench)
    if number is None:
        return []
    name = bearing.words + ": "
    if number < 0:
        return [
            Finding("negative." + str(n), "WARN", name + "negative clearance: were housing and journal swapped?", place)
        ]
    found = []
    if (bench.instrument(place) or {}).get("kind") in instruments.LOW_TRUST:
        words = name + "a telescoping gauge is not for clearance decisions: measure with a dial bore gauge."
        found.append(Finding("low_trust." + str(n), "WARN", words, place, "instrument"))
    if band is not None and not band[0] <= number <= band[1]:
        found.extend(_step_finding(n, number, band, place))
    return found


def _step_finding(n, number, band, place):
    for step, text, meaning in SHELL_STEPS:
        if any(band[0] <= moved <= band[1] for moved in (number - step, number + step)):
            words = "Main " + str(n) + ": " + text + " off would bring it in: " + meaning + "? Read the size codes."
            return [Finding("shell_step." + str(n), "NOTE", words, place)]
    return []


def _shell_findings(bench, bearing):
    upper, lower = bench.text(bearing.upper_code), bench.text(bearing.lower_code)
    if upper is None or lower is None or upper == lower:
        return []
    words = bearing.words + ": shells of two size codes (" + upper + " and " + lower + "), declared here."
    return [Finding("two_codes." + str(bearing.n), "NOTE", words, bearing.upper_code)]


def _band(bench):
    for limit in bench.limits.in_force("main_clearance", bench.engine):
        if limit["low"] is not None and limit["high"] is not None:
            return limit["low"], limit["high"]
    return None


def expect(bench, place_id):
    """Direct readings lie in the clearance band; bores lie the band above the journal."""
    bearing, _, plane = place_id.partition(".")
    band = _band(bench)
    if band is None or plane not in ("V", "P1", "P2"):
        return None
    middle = (band[0] + band[1]) / 2.0
    if bench.text("method") != TWO:
        return Expectation(middle, band[0] - WINDOW, band[1] + WINDOW)
    journal = journals.largest(bench, int(bearing[2:])) or bench.engine.number("main_journal_diameter")
    return common.around(journal + middle, journal + band[0], journal + band[1]) if journal else None
