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


def _bearing(n):
    return "MB" + str(n)


def _mains(engine):
    return range(1, (engine.number("main_bearings") or 0) + 1)


def groups(engine):
    """How it was measured, then three diameters per bearing with its shells."""
    method = Place("method", "How the clearance is measured", "method", kind="choice", choices=METHODS)
    top = [method] + common.joint("Main caps with shells in, at full torque") + [common.gauge_zero()]
    return [Group("joint", "Method and joint", top)] + [
        Group(_bearing(n), "Main " + str(n) + " bearing", _places(n)) for n in _mains(engine)
    ]


def _places(n):
    bearing, words = _bearing(n), "Main " + str(n) + " bearing, "
    sizes = [
        Place(bearing + "." + plane, words + short, short, family=plane, gauges=common.BORE_GAUGES)
        for plane, short in PLANES
    ]
    return sizes + [
        Place(bearing + "." + name, words + short, short, kind=kind, required=False, family=name, gauges=gauges)
        for name, short, kind, gauges in BESIDE
    ]


def derive(bench, only=None):
    """Clearance and eccentricity of each main, what shells and strip say beside it, and the spread over the mains."""
    values = []
    for n in _mains(bench.engine):
        if wants(only, _bearing(n)):
            clearance = _clearance(bench, n)
            values.extend([clearance, _eccentricity(bench, n)] + _beside(bench, n, clearance.number))
    if wants(only, FAMILY):
        values.extend(_spread(bench, [_clearance(bench, n) for n in _mains(bench.engine)]))
    return values + (common.temperature_values(bench, "joint") if wants(only, "joint") else [])


def _clearance(bench, n):
    upright = _bearing(n) + ".V"
    size, journal, method = bench.number(upright), journals.largest(bench, n), bench.text("method")
    missing = list(bench.missing([upright], {upright: "Main " + str(n) + " bearing, upright"}))
    if method is None:
        missing.append(METHOD_WORDS)
    if method == TWO and journal is None:
        missing.append(journals.missing_words(n))
    number = None if missing else size if method == ZEROED else bearings.clearance(size, journal)
    u, trust = _trust(bench, n, upright, method)
    return Value(
        _bearing(n) + ".clearance",
        "Main " + str(n) + ", oil clearance",
        "oil clearance",
        _bearing(n),
        number,
        [upright],
        "main_clearance",
        missing,
        u,
        trust,
    )


def _trust(bench, n, upright, method):
    """u of the clearance: direct zero, or both instruments' full figures."""
    if method != TWO:
        u, _ = uncertainty.form(bench, [upright])
        return u, "gauge zeroed on the journal"
    journal_place = journals.place_ids("MJ" + str(n))[0]
    micrometer = uncertainty.single(bench.of(journals.ID), journal_place, MICROMETER_TRUST)
    return uncertainty.two_instruments(uncertainty.single(bench, upright, BORE_TRUST), micrometer)


def _eccentricity(bench, n):
    words = {place.id: place.words for place in _places(n)}
    upright, left, right = uses = [_bearing(n) + "." + plane for plane, _ in PLANES]
    missing = bench.missing(uses, words)
    number = None if missing else bearings.eccentricity(bench.number(left), bench.number(right), bench.number(upright))
    u, trust = uncertainty.form(bench, uses)
    return Value(
        _bearing(n) + ".eccentricity",
        "Main " + str(n) + ", eccentricity",
        "eccentricity",
        _bearing(n),
        number,
        uses,
        "bearing_eccentricity",
        missing,
        u,
        trust,
        extra_decimals=1,
    )


def _beside(bench, n, clearance):
    """Clearance per inch of journal, prediction from the shell walls, plastic strip against the gauge: where known."""
    journal = journals.largest(bench, n)
    found = []
    if clearance is not None and journal:
        found.append(
            _value(
                n, "per_inch", "clearance per inch of journal", clearance / journal, [_bearing(n) + ".V"], kind="ratio"
            )
        )
    walls = bench.numbers([_bearing(n) + ".upper_wall", _bearing(n) + ".lower_wall"])
    housing = bench.of(main_housings.ID).numbers(["MH" + str(n) + ".V." + end for end in ("F", "R")])
    if walls and housing and journal:
        number = bearings.clearance_from_shells(min(housing), walls[0], walls[1], journal)
        uses = [_bearing(n) + ".upper_wall", _bearing(n) + ".lower_wall"]
        found.append(
            _value(n, "predicted", "clearance predicted from the shells (for choosing size codes)", number, uses)
        )
    strip = bench.number(_bearing(n) + ".strip")
    if strip is not None and clearance is not None:
        found.append(
            _value(
                n,
                "strip_off",
                "plastic strip off the gauge",
                abs(strip - clearance),
                [_bearing(n) + ".strip", _bearing(n) + ".V"],
                "plastic_strip_off_gauge",
            )
        )
    return found


def _value(n, name, short, number, uses, acts_on="", kind="length"):
    return Value(
        _bearing(n) + "." + name, "Main " + str(n) + ", " + short, short, _bearing(n), number, uses, acts_on, kind=kind
    )


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
    band = _band(bench)
    for n in _mains(bench.engine):
        if wants(only, _bearing(n)):
            found.extend(_clearance_findings(bench, n, band))
            found.extend(_shell_findings(bench, n))
    return found


def _joint_findings(bench):
    sizes = [_bearing(n) + "." + plane for n in _mains(bench.engine) for plane, _ in PLANES]
    measured = any(bench.number(place) is not None for place in sizes)
    return common.torque_findings(bench, sizes) + _warm_block_findings(bench, measured)


def _warm_block_findings(bench, measured):
    """An aluminium housing grows away from a steel crank: its clearance holds only where the temperature is known."""
    if bench.engine.text("block_material") != "aluminium" or not measured:
        return []
    if None not in (bench.number("temperature"), bench.number("room_temperature")):
        return []
    words = "Aluminium block: its clearance holds at room temperature only; record part and room temperature."
    return [Finding("warm_block", "NOTE", words, "temperature", "missing")]


def _clearance_findings(bench, n, band):
    place = _bearing(n) + ".V"
    number = _clearance(bench, n).number
    if number is None:
        return []
    name = "Main " + str(n) + ": "
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


def _shell_findings(bench, n):
    upper, lower = bench.text(_bearing(n) + ".upper_code"), bench.text(_bearing(n) + ".lower_code")
    if upper is None or lower is None or upper == lower:
        return []
    words = "Main " + str(n) + ": shells of two size codes (" + upper + " and " + lower + "), declared here."
    return [Finding("two_codes." + str(n), "NOTE", words, _bearing(n) + ".upper_code")]


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
