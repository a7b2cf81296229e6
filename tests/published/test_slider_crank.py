"""Piston motion and displacement against what stands outside this project.

OC-G3  the 1985 automobile table (open data, 205 rows): engines whose rows agree once a slip in them is repaired.
OC-G5  A. V. Arasu, Thermal Engineering, ch. 3, Illustration 1, p. 139: the swept volume.
OC-K1  a textbook's companion, "Engine Testing and Performance", Example 16.1: a three-litre V6, 20 degrees after TDC.
OC-K2  Meriam & Kraige, Dynamics, the slider-crank sample problem; figures from memory, recomputed apart from our code.
OC-K3  the loop of crank and rod closed by scipy's brentq; speed by the complex step of its closed form, acceleration by
       numerical differentiation of that speed.
OC-K4  the stroke of an offset wrist pin, from two right-angled triangles.
OC-K5  a theory-of-machines companion, Example 15.3, and scipy's minimize_scalar.
OC-K6  the acceleration at both dead centres, r w^2 (1 +- r/L).
"""

import cmath
import json
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from standbook.trade import calls, plain
from standbook.trade.geometry import slider_crank

INCH, FOOT = 25.4, 304.8
ENGINES = ((90.0, 150.0), (101.6, 152.4))
"""Stroke and rod in mm: r/L of 45/150 and 50.8/152.4."""

ANGLES = range(0, 360, 2)


def ask(name: str, **inputs: Any) -> dict[str, Any]:
    """The whole answer of one of our calculators, asked the way a screen asks it."""
    answer: dict[str, Any] = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    return answer


def reckon(name: str, **inputs: Any) -> dict[str, float]:
    """The figures of one of our calculators."""
    answer = ask(name, **inputs)
    assert "error" not in answer, answer
    return {key: output["value"] for key, output in answer["outputs"].items()}


# --- displacement -----------------------------------------------------------------------------------------------

REPAIRED = (
    (6, "3.47", "2.68", 152),
    (4, "3.54", "3.07", 121),
    (4, "3.46", "3.19", 120),
    (4, "2.99", "3.47", 97),
    (4, "3.15", "3.29", 103),
    (8, "3.94", "3.11", 303),
    (4, "3.46", "3.50", 132),
    (4, "3.03", "3.15", 91),
)
"""Cylinders, bore and stroke in inches, and the size in cubic inches that the table lists for such an engine."""


@pytest.mark.parametrize(("cylinders", "bore", "stroke", "listed"), REPAIRED)
def test_oc_g3_a_listed_engine_has_its_listed_size(cylinders: int, bore: str, stroke: str, listed: int) -> None:
    ours = reckon("displacement", bore_diameter=f"{bore} in", stroke=f"{stroke} in", cylinders=str(cylinders))
    assert ours["displacement"] / INCH**3 * 1000 == pytest.approx(listed, rel=0, abs=0.6)


def test_oc_g5_one_cylinder_of_200_by_300_millimetres_sweeps_9_4248_litres() -> None:
    ours = reckon("displacement", bore_diameter="200 mm", stroke="300 mm", cylinders="1")
    assert ours["displacement"] == pytest.approx(9424.8, rel=0, abs=0.05)


# --- worked examples --------------------------------------------------------------------------------------------


def test_oc_k1_a_three_litre_v6_at_3000_rpm() -> None:
    bore = stroke = "86.025 mm"
    assert reckon("displacement", bore_diameter=bore, stroke=stroke, cylinders="6")["displacement"] == pytest.approx(
        3000, rel=1e-4
    )
    mean = reckon("mean-piston-speed", stroke=stroke, engine_speed="3000 rpm")
    assert mean["mean_piston_speed"] == pytest.approx(8.6025, rel=1e-4)
    down = reckon("piston-position", stroke=stroke, rod_length="172 mm", crank_angle="20 deg")["depth_below_tdc"]
    assert down == pytest.approx(3.2243, rel=1e-4)
    assert slider_crank.speed(86.025, 172.0, 20.0, 3000.0) == pytest.approx(5.7117, rel=1e-4)
    # Compression 9 leaves 62.5 cm3 over half a litre; the piston has gone down by a flat disc of the bore.
    assert 62.5 + slider_crank.swept_volume(86.025, down, 1) == pytest.approx(81.2402, rel=1e-4)


def test_oc_k2_a_crank_of_5_inches_and_a_rod_of_14_at_1500_rpm() -> None:
    stroke, rod = 10 * INCH, 14 * INCH
    leaning = reckon("rod-angle", stroke="10 in", rod_length="14 in", crank_angle="60 deg")["rod_angle"]
    assert leaning == pytest.approx(18.02, rel=1e-3)
    assert slider_crank.speed(stroke, rod, 60.0, 1500.0) * 1000 / FOOT == pytest.approx(67.3, rel=1e-3)
    assert slider_crank.acceleration(stroke, rod, 60.0, 1500.0) * 1000 / FOOT == pytest.approx(3310, rel=1e-3)


def test_oc_k4_an_offset_wrist_pin_travels_a_little_more_than_the_stroke() -> None:
    ours = reckon(
        "piston-position", stroke="90 mm", rod_length="150 mm", crank_angle="0 deg", wrist_pin_offset="1.5 mm"
    )
    assert ours["true_stroke"] == pytest.approx(90.004946, rel=0, abs=1e-6)


def test_oc_k5_the_greatest_speed_is_the_exact_one_and_not_that_of_two_terms() -> None:
    ours = reckon("peak-piston-speed", stroke="600 mm", rod_length="1000 mm", engine_speed="200 rpm")
    assert ours["peak_angle"] == pytest.approx(74.529, rel=0, abs=0.01)
    assert ours["peak_piston_speed"] == pytest.approx(6.5617, rel=1e-4)
    # The book's series of two terms: 75 degrees and 6.54 m/s, 0.3 % less.
    assert ours["peak_piston_speed"] / 6.54 - 1 == pytest.approx(0.003, rel=0, abs=0.0008)


# --- against numerical solutions --------------------------------------------------------------------------------


def loop_depth(stroke: float, rod: float, offset: float, angle: float) -> float:
    """Piston depth by closing the loop: the wrist pin is where it is one rod length from the rod journal."""
    radius, theta = stroke / 2, math.radians(angle)
    journal = (radius * math.sin(theta), radius * math.cos(theta))

    def misfit(height: float) -> float:
        return math.hypot(offset - journal[0], height - journal[1]) - rod

    height = brentq(misfit, journal[1], journal[1] + 2 * rod, xtol=1e-13, rtol=1e-15)
    highest = brentq(lambda top: math.hypot(offset, top) - rod - radius, 0, 2 * rod, xtol=1e-13, rtol=1e-15)
    return float(highest - height)


@pytest.mark.parametrize("offset", [0.0, 1.5, -1.5])
@pytest.mark.parametrize(("stroke", "rod"), ENGINES)
def test_oc_k3_the_piston_stands_where_the_loop_closes(stroke: float, rod: float, offset: float) -> None:
    for angle in ANGLES:
        expected = loop_depth(stroke, rod, offset, angle)
        assert slider_crank.depth(stroke, rod, angle, offset) == pytest.approx(expected, rel=0, abs=1e-6)


def stepped_speed(stroke: float, rod: float, theta: float) -> float:
    """Slope of the depth by a complex step, in mm a radian: no difference of near numbers, so exact."""
    step = 1e-20
    at = complex(theta, step)
    height = stroke / 2 * cmath.cos(at) + cmath.sqrt(rod**2 - (stroke / 2 * cmath.sin(at)) ** 2)
    return -height.imag / step


def stepped_acceleration(stroke: float, rod: float, theta: float) -> float:
    """Slope of that slope by five points."""
    h = 1e-3
    ends = stepped_speed(stroke, rod, theta - 2 * h) - stepped_speed(stroke, rod, theta + 2 * h)
    near = stepped_speed(stroke, rod, theta + h) - stepped_speed(stroke, rod, theta - h)
    return (ends + 8 * near) / (12 * h)


@pytest.mark.parametrize(("stroke", "rod"), ENGINES)
def test_oc_k3_speed_and_acceleration_are_the_slopes_of_the_position(stroke: float, rod: float) -> None:
    turning = 2 * math.pi * 6000 / 60
    for angle in ANGLES:
        theta = math.radians(angle)
        speed = stepped_speed(stroke, rod, theta) * turning / 1000
        slope = stepped_acceleration(stroke, rod, theta) * turning**2 / 1000
        top = stroke / 2 * turning / 1000
        assert slider_crank.speed(stroke, rod, angle, 6000.0) == pytest.approx(speed, rel=0, abs=1e-9 * top)
        ours = slider_crank.acceleration(stroke, rod, angle, 6000.0)
        assert ours == pytest.approx(slope, rel=0, abs=1e-9 * top * turning)


@pytest.mark.parametrize(("stroke", "rod"), [*ENGINES, (600.0, 1000.0), (95.25, 155.575), (80.0, 50.0)])
def test_oc_k5_the_greatest_speed_is_where_a_search_finds_it(stroke: float, rod: float) -> None:
    found = minimize_scalar(
        lambda theta: -stepped_speed(stroke, rod, theta), bounds=(0, math.pi), method="bounded", options={"xatol": 1e-9}
    )
    ours = reckon("peak-piston-speed", stroke=f"{stroke} mm", rod_length=f"{rod} mm", engine_speed="1000 rpm")
    assert ours["peak_angle"] == pytest.approx(math.degrees(found.x), rel=0, abs=0.001)
    assert ours["peak_piston_speed"] == pytest.approx(-found.fun * 2 * math.pi * 1000 / 60 / 1000, rel=1e-9)


@pytest.mark.parametrize(("stroke", "rod"), ENGINES)
def test_oc_k6_the_acceleration_at_both_dead_centres(stroke: float, rod: float) -> None:
    radius, turning = stroke / 2, 2 * math.pi * 6500 / 60
    top = radius / 1000 * turning**2 * (1 + radius / rod)
    bottom = -radius / 1000 * turning**2 * (1 - radius / rod)
    ours = reckon("piston-acceleration", stroke=f"{stroke} mm", rod_length=f"{rod} mm", engine_speed="6500 rpm")
    assert ours["acceleration_at_tdc"] == pytest.approx(top, rel=1e-9)
    assert slider_crank.acceleration(stroke, rod, 180.0, 6500.0) == pytest.approx(bottom, rel=1e-9)


# --- whatever is typed ------------------------------------------------------------------------------------------

STROKES, RODS = st.floats(1, 200), st.floats(1, 300)
OFFSETS = st.floats(-50, 50)


@given(stroke=STROKES, rod=RODS, offset=OFFSETS, angle=st.floats(-720, 720))
def test_a_crank_that_turns_moves_its_piston_over_its_true_stroke_and_another_is_refused(
    stroke: float, rod: float, offset: float, angle: float
) -> None:
    if rod <= stroke / 2 + abs(offset):
        with pytest.raises(plain.Refusal, match="rod_length: the crank could not turn"):
            slider_crank.check_turns(stroke, rod, offset)
        return
    slider_crank.check_turns(stroke, rod, offset)
    travel = slider_crank.true_stroke(stroke, rod, offset)
    assert -1e-9 <= slider_crank.depth(stroke, rod, angle, offset) <= travel + 1e-9
    assert travel >= stroke - 1e-9
    highest = slider_crank.highest_angle(stroke, rod, offset)
    assert slider_crank.depth(stroke, rod, highest, offset) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "inputs", "words"),
    [
        (
            "displacement",
            {"bore_diameter": "0 in", "stroke": "3.75 in", "cylinders": "8"},
            "bore_diameter: this must be above zero",
        ),
        ("displacement", {"bore_diameter": "4 in", "stroke": "3.75 in", "cylinders": "7.5"}, "cylinders: give a whole"),
        ("displacement", {"bore_diameter": "4 in", "stroke": "3.75 in", "cylinders": "17"}, "cylinders: give a whole"),
        (
            "displacement",
            {"bore_diameter": "4 psi", "stroke": "3.75 in", "cylinders": "8"},
            "bore_diameter: ",
        ),
        ("mean-piston-speed", {"stroke": "3.75 in", "engine_speed": "-1 rpm"}, "engine_speed: this must be above zero"),
        ("rod-angle", {"stroke": "3.75 in", "rod_length": "1.5 in"}, "rod_length: the crank could not turn"),
        ("peak-piston-speed", {"stroke": "3.75 in", "rod_length": "6 in"}, "engine_speed is missing"),
    ],
)
def test_bad_input_is_refused_by_its_name(name: str, inputs: dict[str, str], words: str) -> None:
    assert ask(name, **inputs)["error"]["message"].startswith(words)
