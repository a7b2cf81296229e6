"""The calculators of crank, rod and piston. They only bind the formulas of `geometry.slider_crank`."""

import math

from .calculator import Calculator, Input, wrong
from .geometry import slider_crank
from .geometry.firing import MOST_CYLINDERS


def _displacement(v):
    cylinders = v["cylinders"]
    if not 1 <= cylinders <= MOST_CYLINDERS or cylinders != math.floor(cylinders):
        raise wrong("cylinders", ": give a whole number from 1 to " + str(MOST_CYLINDERS))
    return {"displacement": slider_crank.swept_volume(v["bore_diameter"], v["stroke"], cylinders)}


def _position(v):
    stroke, rod, offset = v["stroke"], v["rod_length"], v["wrist_pin_offset"]
    slider_crank.check_turns(stroke, rod, offset)
    return {
        "depth_below_tdc": slider_crank.depth(stroke, rod, v["crank_angle"], offset),
        "highest_position_angle": slider_crank.highest_angle(stroke, rod, offset),
        "true_stroke": slider_crank.true_stroke(stroke, rod, offset),
    }


def _mean_speed(v):
    return {"mean_piston_speed": slider_crank.mean_speed(v["stroke"], v["engine_speed"])}


def _peak_speed(v):
    stroke, rod = v["stroke"], v["rod_length"]
    slider_crank.check_turns(stroke, rod)
    angle = slider_crank.peak_angle(stroke, rod)
    return {"peak_angle": angle, "peak_piston_speed": slider_crank.speed(stroke, rod, angle, v["engine_speed"])}


def _acceleration(v):
    stroke, rod = v["stroke"], v["rod_length"]
    slider_crank.check_turns(stroke, rod)
    return {"acceleration_at_tdc": slider_crank.acceleration(stroke, rod, 0.0, v["engine_speed"])}


def _rod_angle(v):
    stroke, rod = v["stroke"], v["rod_length"]
    slider_crank.check_turns(stroke, rod)
    return {"rod_angle": slider_crank.rod_angle(stroke, rod, v["crank_angle"]), "rod_ratio": rod / stroke}


def _deck_stack(v):
    return {
        "deck_clearance": slider_crank.deck_clearance(
            v["deck_height"], v["stroke"], v["rod_length"], v["compression_height"]
        )
    }


SIZE = Input("length", over=0.0)
SPEED = Input("speed", over=0.0)

CRANK_CALCULATORS = {
    "displacement": Calculator(
        {"bore_diameter": SIZE, "stroke": SIZE, "cylinders": Input("count")},
        {"displacement": "volume"},
        _displacement,
        "geometry",
    ),
    "piston-position": Calculator(
        {
            "stroke": SIZE,
            "rod_length": SIZE,
            "crank_angle": Input("angle"),
            "wrist_pin_offset": Input("length", False, 0.0),
        },
        {"depth_below_tdc": "length", "highest_position_angle": "angle", "true_stroke": "length"},
        _position,
        "geometry",
        ("An offset toward the major thrust side is negative.",),
    ),
    "mean-piston-speed": Calculator(
        {"stroke": SIZE, "engine_speed": SPEED}, {"mean_piston_speed": "velocity"}, _mean_speed, "geometry"
    ),
    "peak-piston-speed": Calculator(
        {"stroke": SIZE, "rod_length": SIZE, "engine_speed": SPEED},
        {"peak_angle": "angle", "peak_piston_speed": "velocity"},
        _peak_speed,
        "geometry",
    ),
    "piston-acceleration": Calculator(
        {"stroke": SIZE, "rod_length": SIZE, "engine_speed": SPEED},
        {"acceleration_at_tdc": "acceleration"},
        _acceleration,
        "physics",
    ),
    "rod-angle": Calculator(
        {"stroke": SIZE, "rod_length": SIZE, "crank_angle": Input("angle", False, 90.0)},
        {"rod_angle": "angle", "rod_ratio": "ratio"},
        _rod_angle,
        "geometry",
    ),
    "deck-stack": Calculator(
        {"deck_height": SIZE, "stroke": SIZE, "rod_length": SIZE, "compression_height": SIZE},
        {"deck_clearance": "length"},
        _deck_stack,
        "geometry",
    ),
}
