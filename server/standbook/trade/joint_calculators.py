"""Calculators of joints and fasteners, and of the odd reading in a family."""

from . import families, limits, plain
from .calculator import Calculator, Choice, Input, ListInput, read_quantity, wrong
from .geometry import joint_patterns
from .metal import grades, stretch, tension, threads

#: Setting wrenches above 10 N*m (published: ISO 6789, type II class A).
WRENCH = limits.highest("wrench_error", "ratio")
#: More than this and a rod bolt is replaced, unless its card says less (common practice).
ALLOWED_STRETCH = limits.highest("rod_bolt_permanent_stretch", "length")
#: How near a proof stress must come to its grade's: a card may print it in another unit, rounded.
GRADE_CLOSENESS = 0.01
LONGEST_ID = 40


def _stress_area(v):
    """Where the smallest pitch diameter is given, the stricter area of a strong inch thread."""
    if v["min_pitch_diameter"] is not None:
        if v["thread_family"] != "unified":
            raise plain.Refusal(
                "input_wrong",
                "min_pitch_diameter: the stricter area is of inch threads (unified), leave it out here.",
                {"key": "min_pitch_diameter"},
            )
        return {"stress_area": threads.strict_area(v["min_pitch_diameter"], v["thread_pitch"])}
    return {"stress_area": threads.stress_area(v["thread_diameter"], v["thread_pitch"], v["thread_family"])}


def _proof_load(v):
    return {"proof_load": threads.proof_load(v["proof_stress"], _stress_area(v)["stress_area"])}


def _ask_grade(v, _results):
    strength = grades.strength(v["grade"], v["thread_diameter"]) if v["grade"] else None
    if strength is None or abs(v["proof_stress"] / strength["proof"] - 1.0) <= GRADE_CLOSENESS:
        return []
    listed = plain.number_text(strength["proof"], 0)
    return ["proof_stress: " + v["grade"] + " of this size is listed with " + listed + " kPa, check grade and unit."]


def _tension(v):
    force = tension.tension_from_torque(v["torque"], v["nut_factor"], v["thread_diameter"])
    return {"tension": force, "share_of_proof": force / v["proof_load"] if v["proof_load"] else None}


def _ask_proof(_v, results):
    share = results["share_of_proof"] or 0.0
    if share > 1:
        return ["Past the proof load by this estimate: the fastener may yield."]
    if share > limits.highest("tension_share_of_proof", "ratio"):
        return ["Above " + limits.window("tension_share_of_proof")[1] + " % of the proof load by this estimate."]
    return []


def _torque(v):
    basic = threads.pitch_diameter(v["thread_diameter"], v["thread_pitch"])
    diameter = basic if v["pitch_diameter"] is None else v["pitch_diameter"]
    if diameter <= 0:
        raise wrong(
            "thread_pitch",
            ": this pitch leaves no metal in a thread of this diameter, look whether they were swapped",
        )
    torque = tension.torque_from_tension(
        v["tension"], v["thread_pitch"], diameter, v["turning_face_diameter"], v["thread_friction"], v["head_friction"]
    )
    return {
        "torque": torque,
        "equivalent_nut_factor": tension.nut_factor(torque, v["tension"], v["thread_diameter"]),
    }


def _segments(given):
    """(length, area) of each part in series."""
    wants = 'rows of a length and an area as JSON, such as [[29.2, 71.3]] or [["1.15 in", "0.1104 in^2"]]'
    if type(given) is not list or not given:
        raise wrong("segments", ": there is no part in this table", wants)
    found = []
    for row in given:
        if type(row) is not list or len(row) != 2:
            raise wrong("segments", ": each part has two figures", wants)
        length, area = read_quantity("segments", "length", row[0]), read_quantity("segments", "area", row[1])
        if length <= 0 or area <= 0:
            raise wrong("segments", ": lengths and areas must be above zero", wants)
        found.append((length, area))
    return found


def _stretch_load(v):
    segments = _segments(v["segments"])
    soft = stretch.compliance(segments, v["elastic_modulus"])
    force = stretch.tension(v["stretch"], soft)
    return {"compliance": soft, "tension": force, "thread_stress": stretch.stress(force, segments[-1][1])}


def _turn_angle(v):
    angle = stretch.turn_angle(v["tension"], v["bolt_compliance"], v["joint_compliance"], v["thread_pitch"])
    return {"turn_angle": angle}


def _wrench_setting(v):
    setting = tension.wrench_setting(v["joint_torque"], v["wrench_length"], v["adapter_length"], v["adapter_angle"])
    return {"wrench_torque": setting}


def _wrench_band(v):
    if not 0 <= v["tolerance"] < 1:
        raise wrong("tolerance", ": this is no tolerance of a wrench", "a share such as 0.04 or 4 %")
    low, high = tension.wrench_band(v["set_torque"], v["tolerance"])
    return {"lowest_torque": low, "highest_torque": high}


def _points(given):
    """(id, x, y) of each fastener."""
    wants = 'the coordinates of each fastener as JSON, such as {"1": [0, 0], "2": ["4 in", 0]}'
    if type(given) is not dict or not given:
        raise wrong("points", ": there is no fastener in this table", wants)
    found = []
    for name in plain.keys_in_order(given):
        at = given[name]
        if type(at) is not list or len(at) != 2 or len(name) > LONGEST_ID:
            raise wrong("points", ": each fastener has a short id and two coordinates", wants)
        found.append((name, read_quantity("points", "length", at[0]), read_quantity("points", "length", at[1])))
    return found


def _sequence(v):
    return {"sequence": joint_patterns.centre_out(_points(v["points"]), v["pattern"])}


def _permanent(v):
    growth, beyond = stretch.permanent(v["free_length_before"], v["free_length_after"], v["allowed_stretch"])
    return {"permanent_stretch": growth, "replace": beyond}


def _ask_shorter(_v, results):
    shorter = results["permanent_stretch"] < 0
    return ["Shorter than when new: were the two lengths swapped, or was one bolt warm?"] if shorter else []


def _stretch_reading(v):
    band = v["band"]
    if len(band) != 2 or band[0] > band[1]:
        raise wrong(
            "band", ": the card's lowest and highest stretch, in this order", "two lengths such as [0.14, 0.165]"
        )
    return {"verdict": stretch.reading(v["stretch"], band[0], band[1])}


def _outlier(v):
    factor = limits.highest("outlier_distance_in_mad", "ratio")
    return families.outliers(v["values"], factor, v["smallest_deviation"])


LENGTH = Input("length", over=0.0)
FORCE = Input("force", over=0.0)
TORQUE = Input("torque", over=0.0)
STRETCH = Input("length", least=0.0)
RATIO = Input("ratio", over=0.0)
FRICTION = Input("ratio", least=0.0)


def _thread(more):
    inputs = {
        "thread_diameter": LENGTH,
        "thread_pitch": LENGTH,
        "thread_family": Input("text"),
        "min_pitch_diameter": Input("length", False, None, 0.0),
    }
    inputs.update(more)
    return inputs


JOINT_CALCULATORS = {
    "stress-area": Calculator(_thread({}), {"stress_area": "area"}, _stress_area, "threads"),
    "proof-load": Calculator(
        _thread({"grade": Input("text", False), "proof_stress": Input("pressure", over=0.0)}),
        {"proof_load": "force"},
        _proof_load,
        "threads",
        ("Performance rod bolts and head studs are stronger than any listed grade: their spec card tells.",),
        _ask_grade,
    ),
    "tension-from-torque": Calculator(
        {
            "torque": TORQUE,
            "nut_factor": RATIO,
            "lubricant": Input("text", False),
            "thread_diameter": LENGTH,
            "proof_load": Input("force", False, over=0.0),
        },
        {"tension": "force", "share_of_proof": "ratio"},
        _tension,
        "nut factor",
        (
            "An estimate: at one torque the tension scatters by 25 to 30 % either way, by stretch only 3 to 5 %.",
            "A maker's torque holds only for the lubricant stated beside it; never turn this figure into a new torque.",
        ),
        _ask_proof,
    ),
    "torque-from-tension": Calculator(
        {
            "tension": FORCE,
            "thread_pitch": LENGTH,
            "pitch_diameter": Input("length", False, over=0.0),
            "turning_face_diameter": LENGTH,
            "thread_diameter": LENGTH,
            "thread_friction": FRICTION,
            "head_friction": FRICTION,
        },
        {"torque": "torque", "equivalent_nut_factor": "ratio"},
        _torque,
        "physics",
        ("Friction is never known this well: the maker's torque and lubricant come first.",),
    ),
    "stretch-load": Calculator(
        {
            "segments": Input("table"),
            "elastic_modulus": Input("pressure", False, stretch.STEEL, over=0.0),
            "stretch": STRETCH,
        },
        {"compliance": "compliance", "tension": "force", "thread_stress": "pressure"},
        _stretch_load,
        "physics",
        ("The last part of the table is the thread: the stress is over its area.",),
    ),
    "turn-angle": Calculator(
        {
            "tension": FORCE,
            "bolt_compliance": Input("compliance", over=0.0),
            "joint_compliance": Input("compliance", least=0.0),
            "thread_pitch": LENGTH,
        },
        {"turn_angle": "angle"},
        _turn_angle,
        "physics",
        ("The angle counts from snug, when all gaps are closed; a maker's angle comes first.",),
    ),
    "wrench-setting": Calculator(
        {
            "joint_torque": TORQUE,
            "wrench_length": LENGTH,
            "adapter_length": Input("length", least=0.0),
            "adapter_angle": Input("angle", False, 0.0),
        },
        {"wrench_torque": "torque"},
        _wrench_setting,
        "physics",
        ("Hold the wrench at the hand mark. A straight socket extension on the drive's axis needs no other setting.",),
    ),
    "wrench-band": Calculator(
        {"set_torque": TORQUE, "tolerance": Input("ratio", False, WRENCH)},
        {"lowest_torque": "torque", "highest_torque": "torque"},
        _wrench_band,
        "wrenches",
        ("4 % is for setting wrenches above 10 N\u00b7m; at 10 N\u00b7m and below it is 6 %.",),
    ),
    "staged-torque": Calculator(
        {"final_torque": TORQUE, "fractions": ListInput("ratio", False, tension.USUAL_STAGES)},
        {"steps": "torque"},
        lambda v: {"steps": tension.staged(v["final_torque"], v["fractions"])},
        "practice",
        ("The maker's own steps come first.",),
    ),
    "bolt-sequence": Calculator(
        {"points": Input("table"), "pattern": Choice(joint_patterns.PATTERNS, "rows")},
        {"sequence": "list"},
        _sequence,
        "practice",
        ("The maker's drawing wins; this order is for a joint without one.",),
    ),
    "permanent-stretch": Calculator(
        {
            "free_length_before": LENGTH,
            "free_length_after": LENGTH,
            "allowed_stretch": Input("length", False, ALLOWED_STRETCH, least=0.0),
        },
        {"permanent_stretch": "length", "replace": "flag"},
        _permanent,
        "practice",
        ("Measure both lengths at one temperature; the card may allow less.",),
        _ask_shorter,
    ),
    "stretch-reading": Calculator(
        {"stretch": STRETCH, "band": ListInput("length", least=0.0)},
        {"verdict": "text"},
        _stretch_reading,
        "practice",
        ("A bolt above its maximum is never pulled again to a new reading.",),
    ),
    "family-outlier": Calculator(
        {"values": ListInput("ratio"), "smallest_deviation": Input("ratio", False, 0.0, least=0.0)},
        {
            "median": "ratio",
            "median_absolute_deviation": "ratio",
            "outliers": "ratio",
            "modified_z_of_worst": "ratio",
        },
        _outlier,
        "practice",
        ("The odd one out is more often a misread than a bad part: measure it and its neighbours again.",),
    ),
}
