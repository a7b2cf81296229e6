"""The calculators: what each takes, gives and does. Names and keys are fixed; a changed formula gets a new name."""

from . import judge, plain, quantity, slips
from .calculator import Calculator, Choice, Input, wrong
from .crank_calculators import CRANK_CALCULATORS
from .geometry import firing, valve_order
from .joint_calculators import JOINT_CALCULATORS
from .limits import Limits
from .metal import bearings, lash
from .rocker_calculators import ROCKER_CALCULATORS
from .valve_calculators import VALVE_CALCULATORS, change_at_the_valve

NEGATIVE = "negative clearance: housing and journal swapped?"
SET_OR_FOUND = ("set", "found")
#: As many decimal places as any gauge of a shop shows.
DECIMALS = (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0)


def _firing_phases(v):
    at = firing.phases(v["firing_order"])
    return {"phases": {str(c): at[c] for c in at}, "companions": firing.companions(v["firing_order"])}


def _shared_journals(v):
    pairs = v["rod_journals"]
    if type(pairs) is not list or not all(type(pair) is list and _are_whole(pair) for pair in pairs):
        raise wrong("rod_journals", ": this is no table of cylinder numbers", "pairs as JSON, such as [[1, 2], [3, 4]]")
    check = firing.shared_journals(v["firing_order"], v["rod_journals"], v["bank_angle"])
    return {"phase_differences": check["differences"], "possible": check["possible"]}


def _are_whole(numbers):
    return all(type(number) is int for number in numbers)


def _repeat(v):
    steps = Limits().number("reading_difference_in_steps", "high")
    first, second, resolution = v["first_reading"], v["second_reading"], v["resolution"]
    return {
        "difference": abs(first - second),
        "allowed_difference": steps * resolution,
        "measure_again": not judge.agree(first, second, resolution, steps),
    }


def _swapped(v):
    unit = "in"
    if v["decimals"] not in DECIMALS:
        raise wrong("decimals", ": how many decimal places were typed, a whole number from 0 to 6")
    ends = [quantity.from_canonical("length", v[key], unit) for key in ("window_low", "window_high")]
    text = quantity.text_in("length", v["reading"], unit, int(v["decimals"]))
    found = slips.swapped_digits(text, ends[0] - 1e-9, ends[1] + 1e-9)
    return {"candidates": [quantity.to_canonical("length", plain.parse_number(other), unit) for other in found]}


def _wrong_unit(v):
    share = Limits().number("wrong_unit_ratio_closeness", "high") / 100.0
    row = slips.wrong_unit(v["reading"], v["nominal"], share)
    return {"guess": row[3] if row else ""}


def _verdict(v):
    return {"verdict": judge.verdict(v["limit_kind"], v["value"], v["low"], v["high"], v["uncertainty"])}


def _fit(v):
    limits = Limits()
    shares = {kind: limits.number("gauge_step_share_of_band", "high", kind) for kind in SET_OR_FOUND}
    fit = judge.fine_enough(v["set_or_found"], v["division"], v["dial"], v["low"], v["high"], shares)
    return {"effective_resolution": fit["step"], "band": fit["band"], "fine_enough": fit["fine"]}


def _reference(v):
    correction, size = bearings.reference_size(
        v["size"], v["expansion"], v["part_temperature"], v["reference_temperature"]
    )
    return {"correction": correction, "size_at_reference": size}


def _clearance(v):
    if v["bearing_bore"] is not None:
        clearance = bearings.clearance(v["bearing_bore"], v["journal_diameter"])
    elif None not in (v["housing_bore"], v["upper_shell_wall"], v["lower_shell_wall"]):
        clearance = bearings.clearance_from_shells(
            v["housing_bore"], v["upper_shell_wall"], v["lower_shell_wall"], v["journal_diameter"]
        )
    else:
        raise plain.Refusal(
            "input_missing", "bearing_bore is missing, or housing_bore with both shell walls.", {"key": "bearing_bore"}
        )
    return {"clearance": clearance, "caution": NEGATIVE if clearance < 0 else ""}


def _eccentricity(v):
    return {"eccentricity": bearings.eccentricity(v["first_leaning_bore"], v["second_leaning_bore"], v["upright_bore"])}


def _head_metal(v):
    return {
        "lash_growth_difference": lash.head_metal_effect(
            v["rocker_ratio"],
            v["pivot_above_deck"],
            v["seat_above_deck"],
            v["new_head_expansion"],
            v["old_head_expansion"],
            v["temperature_rise"],
        )
    }


def _events(v):
    return valve_order.SeatEvents(
        v["intake_opens_btdc"], v["intake_closes_abdc"], v["exhaust_opens_bbdc"], v["exhaust_closes_atdc"]
    )


def _valves(v):
    intake, exhaust = valve_order.valves_at(v["firing_order"], v["crank_angle"], _events(v), v["margin"])
    return {"intake_valves": intake, "exhaust_valves": exhaust}


def _order(v):
    listed = valve_order.one_turn_through(
        v["firing_order"], _events(v), v["after_exhaust_opening"], v["before_intake_closing"]
    )
    return {"setting_list": [[angle, str(cylinder) + side] for angle, cylinder, side in listed]}


LENGTH = Input("length")
MAYBE_LENGTH = Input("length", False)
ANGLE = Input("angle")
ORDER = Input("numbers")
RATIO = Input("ratio")
SEATS = {
    "intake_opens_btdc": ANGLE,
    "intake_closes_abdc": ANGLE,
    "exhaust_opens_bbdc": ANGLE,
    "exhaust_closes_atdc": ANGLE,
}


def _with_order(more):
    inputs = {"firing_order": ORDER}
    inputs.update(more)
    return inputs


def _with_seats(more):
    inputs = _with_order(SEATS)
    inputs.update(more)
    return inputs


CALCULATORS = {
    "firing-phases": Calculator(
        {"firing_order": ORDER}, {"phases": "table", "companions": "table"}, _firing_phases, "geometry"
    ),
    "shared-journal-check": Calculator(
        _with_order({"rod_journals": Input("table"), "bank_angle": ANGLE}),
        {"phase_differences": "angle", "possible": "flag"},
        _shared_journals,
        "geometry",
        ("A swap of companions always passes and needs its own camshaft: compare the order with the cam card.",),
    ),
    "repeat-reading": Calculator(
        {"first_reading": LENGTH, "second_reading": LENGTH, "resolution": LENGTH},
        {"difference": "length", "allowed_difference": "length", "measure_again": "flag"},
        _repeat,
        "practice",
    ),
    "combined-uncertainty": Calculator(
        {"first_uncertainty": LENGTH, "second_uncertainty": LENGTH},
        {"combined_uncertainty": "length"},
        lambda v: {"combined_uncertainty": judge.combined(v["first_uncertainty"], v["second_uncertainty"])},
        "arithmetic",
    ),
    "micrometer-turn": Calculator(
        {
            "reading": LENGTH,
            "expected": LENGTH,
            "turn_length": Input("length", False, 0.635, over=0.0),
            "closeness": Input("length", False, 0.0762),
        },
        {"turns_off": "count"},
        lambda v: {"turns_off": slips.turns_off(v["reading"], v["expected"], v["turn_length"], v["closeness"])},
        "practice",
    ),
    "swapped-digits": Calculator(
        {"reading": LENGTH, "window_low": LENGTH, "window_high": LENGTH, "decimals": Input("count")},
        {"candidates": "length"},
        _swapped,
        "practice",
    ),
    "wrong-unit": Calculator({"reading": RATIO, "nominal": RATIO}, {"guess": "text"}, _wrong_unit, "practice"),
    "limit-verdict": Calculator(
        {
            "limit_kind": Choice(judge.KINDS),
            "value": LENGTH,
            "low": MAYBE_LENGTH,
            "high": MAYBE_LENGTH,
            "uncertainty": LENGTH,
        },
        {"verdict": "text"},
        _verdict,
        "practice",
    ),
    "instrument-fit": Calculator(
        {
            "set_or_found": Choice(SET_OR_FOUND),
            "division": LENGTH,
            "dial": Input("flag", False, False),
            "low": LENGTH,
            "high": LENGTH,
        },
        {"effective_resolution": "length", "band": "length", "fine_enough": "flag"},
        _fit,
        "practice",
    ),
    "reference-size": Calculator(
        {
            "size": LENGTH,
            "expansion": Input("expansion"),
            "part_temperature": Input("temperature"),
            "reference_temperature": Input("temperature", False, 20.0),
        },
        {"correction": "length", "size_at_reference": "length"},
        _reference,
        "physics",
    ),
    "bearing-clearance": Calculator(
        {
            "bearing_bore": MAYBE_LENGTH,
            "housing_bore": MAYBE_LENGTH,
            "upper_shell_wall": MAYBE_LENGTH,
            "lower_shell_wall": MAYBE_LENGTH,
            "journal_diameter": LENGTH,
        },
        {"clearance": "length", "caution": "text"},
        _clearance,
        "arithmetic",
    ),
    "bearing-eccentricity": Calculator(
        {"first_leaning_bore": LENGTH, "second_leaning_bore": LENGTH, "upright_bore": LENGTH},
        {"eccentricity": "length"},
        _eccentricity,
        "arithmetic",
    ),
    "housing-growth": Calculator(
        {
            "bore_diameter": LENGTH,
            "block_expansion": Input("expansion"),
            "shaft_expansion": Input("expansion"),
            "temperature_rise": Input("temperature-difference"),
        },
        {"growth": "length"},
        lambda v: {
            "growth": bearings.growth(
                v["bore_diameter"], v["block_expansion"], v["shaft_expansion"], v["temperature_rise"]
            )
        },
        "physics",
        ("Free growth is an upper bound: caps and studs hold part of it back.",),
    ),
    "lash-change": Calculator(
        {
            "adjuster": Input("text", False, "stud nut"),
            "turns": Input("count"),
            "thread_pitch": LENGTH,
            "rocker_ratio": RATIO,
        },
        {"lash_change": "length"},
        lambda v: {"lash_change": change_at_the_valve(v)},
        "geometry",
        ("Lash is set by the feeler, never by counting turns.",),
    ),
    "cold-lash": Calculator(
        {"hot_lash": LENGTH, "correction": LENGTH},
        {"cold_lash": "length"},
        lambda v: {"cold_lash": lash.cold(v["hot_lash"], v["correction"])},
        "practice",
    ),
    "head-material-lash": Calculator(
        {
            "rocker_ratio": RATIO,
            "pivot_above_deck": LENGTH,
            "seat_above_deck": LENGTH,
            "new_head_expansion": Input("expansion"),
            "old_head_expansion": Input("expansion"),
            "temperature_rise": Input("temperature-difference"),
        },
        {"lash_growth_difference": "length"},
        _head_metal,
        "physics",
    ),
    "valves-that-may-be-set": Calculator(
        _with_seats(
            {
                "crank_angle": ANGLE,
                "seat_basis_lobe_rise": MAYBE_LENGTH,
                "margin": Input("angle", False, valve_order.MARGIN),
            }
        ),
        {"intake_valves": "count", "exhaust_valves": "count"},
        _valves,
        "geometry",
        ("Use seat figures, never those at 0.050 in, and keep the margin: the ramp reaches further than the figure.",),
    ),
    "setting-order": Calculator(
        _with_seats(
            {
                "after_exhaust_opening": Input("angle", False, valve_order.AFTER_EXHAUST_OPENING),
                "before_intake_closing": Input("angle", False, valve_order.BEFORE_INTAKE_CLOSING),
            }
        ),
        {"setting_list": "table"},
        _order,
        "geometry",
        ("Turning the engine against its springs: hands clear.",),
    ),
}
CALCULATORS.update(CRANK_CALCULATORS)
CALCULATORS.update(JOINT_CALCULATORS)
CALCULATORS.update(ROCKER_CALCULATORS)
CALCULATORS.update(VALVE_CALCULATORS)
