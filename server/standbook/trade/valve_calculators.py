"""The calculators of lash and preload beyond those of `calculators`: they bind `metal.lash` and `geometry.preload`."""

from .calculator import Calculator, Input, ListInput
from .geometry import preload
from .metal import lash
from .rocker_inputs import TRAIN, train_of, with_more


def change_at_the_valve(v):
    """Lash change for the turns of an adjuster, by its place."""
    return lash.change(preload.adjuster_named(v["adjuster"]), v["turns"], v["thread_pitch"], v["rocker_ratio"])


def _preload(v):
    adjuster, turns, pitch = preload.adjuster_named(v["adjuster"]), v["turns"], v["thread_pitch"]
    return {
        "pivot_drop": preload.pivot_drop(adjuster, turns, pitch),
        "preload_depth": preload.depth(adjuster, turns, pitch, v["rocker_ratio"]),
        "lash_change": change_at_the_valve(v),
        "turns_times_pitch": turns * pitch,
    }


def _linkage(v):
    drop = v["pivot_drop"]
    return {"preload_depth": preload.plunger(train_of(v), v["pivot_position"], v["centre_to_centre_length"], drop)}


def _turns(v):
    return {"turns": [preload.turns_for(depth, v["thread_pitch"], v["rocker_ratio"]) for depth in v["depths"]]}


def _growth(v):
    head, at_the_lash = lash.growth(
        v["rocker_ratio"],
        v["pivot_above_deck"],
        v["seat_above_deck"],
        v["expansion_difference"],
        v["temperature_rise"],
    )
    return {"head_growth": head, "lash_growth": at_the_lash}


LENGTH = Input("length")
SIZE = Input("length", over=0.0)
RATIO = Input("ratio", over=0.0)
JUDGE_THE_DEPTH = "The depth is judged, by the lifter card: turns are only the way there."
PARALLEL = "The lever knows no lean: with pushrod and lifter both at 15\u00b0 to the stud it says 3.5 % too much depth."
BOTTOMED = "A bottomed lifter holds the valve open: let it bleed down, then turn the engine slowly by hand."

VALVE_CALCULATORS = {
    "preload": Calculator(
        {
            "adjuster": Input("text", False, preload.STUD_NUT),
            "turns": Input("count", least=0.0),
            "thread_pitch": SIZE,
            "rocker_ratio": RATIO,
        },
        {"pivot_drop": "length", "preload_depth": "length", "lash_change": "length", "turns_times_pitch": "length"},
        _preload,
        "geometry",
        (JUDGE_THE_DEPTH, PARALLEL, BOTTOMED),
    ),
    "preload-linkage": Calculator(
        with_more(TRAIN, {"pivot_position": LENGTH, "centre_to_centre_length": SIZE, "pivot_drop": SIZE}),
        {"preload_depth": "length"},
        _linkage,
        "geometry",
        ("Pivot position and pushrod length must belong to the same zero lash.", BOTTOMED),
    ),
    "preload-turns": Calculator(
        {"depths": ListInput("length"), "thread_pitch": SIZE, "rocker_ratio": RATIO},
        {"turns": "count"},
        _turns,
        "geometry",
        (JUDGE_THE_DEPTH, PARALLEL),
    ),
    "lash-growth": Calculator(
        {
            "pivot_above_deck": LENGTH,
            "seat_above_deck": LENGTH,
            "expansion_difference": Input("expansion"),
            "temperature_rise": Input("temperature-difference"),
            "rocker_ratio": RATIO,
        },
        {"head_growth": "length", "lash_growth": "length"},
        _growth,
        "physics",
    ),
}
