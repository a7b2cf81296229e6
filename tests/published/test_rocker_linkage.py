"""The rocker linkage, the mark and the pushrod against what stands outside this project.

OC-V1 to OC-V3  one rocker's tip lift, ratios and sideways sweep: the figures that the planar linkage library kimech
                0.7.0 gave, and the library itself over the whole lift (`linkage_solver`).
I4              random rockers against kimech.
marks           whole sweeps against the constraint equations of the linkage (two closed loops), solved by
                scipy.optimize.root from one lobe lift to the next: hundreds of places, for which kimech takes too long.
I5, I6          the narrowest mark against scipy.optimize.minimize_scalar over marks that those equations make.
I7, I3          centred marks against scipy.optimize.brentq on the same curves.
I8 noise law    the library uncertainties, which carries standard deviations through the exact chord.
I11             Euclid, Elements III.35: two chords of a circle cut each other in parts of equal product.
I14             Beer & Johnston, Mechanics of Materials, Example 2.01: a stepped bar under three loads.
"""

import json
import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar, root
from uncertainties import ufloat, umath

from standbook.trade import calls
from tests.published import linkage_solver
from tests.published.linkage_solver import Parts

Point = tuple[float, float]


def ask(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    """A whole answer of one of our calculators; bare numbers are mm and degrees."""
    answer: dict[str, Any] = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    assert "error" not in answer, answer
    return answer


def reckon(name: str, inputs: dict[str, Any]) -> dict[str, Any]:
    """The outputs' values."""
    answer = ask(name, inputs)
    assert "refused" not in answer, answer
    return {key: output["value"] for key, output in answer["outputs"].items()}


# --- one rocker, as kimech 0.7.0 reckoned it ------------------------------------------------------------------------

TILT = 0.2
"""The library's valve axis leans by so many radians: our frame is turned by it, so that the stem stands upright."""


def kimech_rocker() -> dict[str, float]:
    """Pivot at (0, 0), cup at radius 24 and 183 degrees, tip at radius 38 and 10 degrees, pushrod 190 leaning 6
    degrees, lifter along (sin 0.05, cos 0.05), valve along (sin 0.2, -cos 0.2); lengths in mm."""
    cup, lean = math.radians(183.0), math.radians(6.0)
    across = 24.0 * math.cos(cup) - 190.0 * math.sin(lean)
    along = 24.0 * math.sin(cup) - 190.0 * math.cos(lean)
    radius, offset = 5.0, 37.5
    height = radius - 38.0 * math.sin(math.radians(10.0) - TILT)
    return {
        "valve_arm_length": 38.0,
        "roller_radius": radius,
        "pushrod_arm_length": 24.0,
        "arm_angle_between": 173.0,
        "stud_offset": offset,
        "stud_lean": 0.0,
        "lifter_cup_across": across * math.cos(TILT) + along * math.sin(TILT) - offset,
        "lifter_cup_along": along * math.cos(TILT) - across * math.sin(TILT) + height,
        "lifter_lean": math.degrees(0.05 + TILT),
        "pivot_position": height,
        "centre_to_centre_length": 190.0,
    }


def kimech_at(lobe_lift: float) -> dict[str, float]:
    return reckon("linkage-position", {**kimech_rocker(), "lobe_lift": lobe_lift})


def parts_of(inputs: dict[str, float]) -> Parts:
    """Our inputs as the parts of the linkage library's mechanism, in mm."""
    return Parts(
        inputs["valve_arm_length"],
        inputs["roller_radius"],
        inputs["pushrod_arm_length"],
        inputs["arm_angle_between"],
        inputs["stud_offset"],
        inputs["stud_lean"],
        (inputs["lifter_cup_across"], inputs["lifter_cup_along"]),
        inputs["lifter_lean"],
        inputs["pivot_position"],
    )


def test_oc_v1_to_v3_over_the_whole_lift_our_linkage_is_the_librarys() -> None:
    """46 places of its worked rocker; the figures printed for it come out of the library itself as well."""
    lifts = [9.0 * step / 45 for step in range(46)]
    theirs = linkage_solver.lifted(parts_of(kimech_rocker()), 190.0, lifts)
    assert theirs[-1].lift == pytest.approx(13.908915, rel=0, abs=1e-6)
    assert [theirs[at].ratio for at in (0, 23, 45)] == pytest.approx([1.600151, 1.544681, 1.488920], rel=0, abs=1e-6)
    sideways = [place.contact * math.cos(TILT) + place.lift * math.sin(TILT) for place in theirs]
    assert max(sideways) - min(sideways) == pytest.approx(0.7745, rel=0, abs=5e-4)  # its turning point lies between two
    for lobe_lift, place in zip(lifts, theirs, strict=True):
        ours = kimech_at(lobe_lift)
        found = [ours["valve_lift"], ours["contact"], ours["rocker_ratio"]]
        assert found == pytest.approx(list(place), rel=0, abs=1e-6)


def test_oc_v1_the_tip_lifts_as_far_as_the_linkage_library_says() -> None:
    assert kimech_at(0.0)["valve_lift"] == pytest.approx(0.0, abs=1e-9)
    assert kimech_at(9.0)["valve_lift"] == pytest.approx(13.908915, rel=0, abs=1e-6)


@pytest.mark.parametrize(("lobe_lift", "ratio"), [(0.0, 1.600151), (4.6, 1.544681), (9.0, 1.488920)])
def test_oc_v2_the_ratio_of_the_moment_is_the_linkage_librarys(lobe_lift: float, ratio: float) -> None:
    assert kimech_at(lobe_lift)["rocker_ratio"] == pytest.approx(ratio, rel=0, abs=1e-5)


def test_oc_v3_the_tip_sweeps_sideways_as_far_as_the_linkage_library_says() -> None:
    """Its figure is the range of x in its own frame, in which the stem leans by `TILT`."""
    places = [kimech_at(9.0 * step / 450) for step in range(451)]
    x = [place["contact"] * math.cos(TILT) + place["valve_lift"] * math.sin(TILT) for place in places]
    assert max(x) - min(x) == pytest.approx(0.7745, rel=0, abs=1e-4)


# --- random rockers against the linkage library and the constraint equations -------------------------------


class Rocker(NamedTuple):
    """A rocker that stands at zero lash on a closed valve, and the angles of its two moving parts there."""

    inputs: dict[str, float]
    rocker_angle: float
    rod_angle: float

    def pivot(self) -> Point:
        lean, at = math.radians(self.inputs["stud_lean"]), self.inputs["pivot_position"]
        return at * math.sin(lean) - self.inputs["stud_offset"], at * math.cos(lean)

    def place_at(self, lobe_lift: float, start: np.ndarray) -> np.ndarray:
        """Both angles where pivot, cup, ball and lifter close: scipy's root of the two loop equations."""
        given = self.inputs
        (across, along), lean = self.pivot(), math.radians(given["lifter_lean"])
        psi, b, length = math.radians(given["arm_angle_between"]), given["pushrod_arm_length"], self.length()
        foot = (
            given["lifter_cup_across"] + lobe_lift * math.sin(lean),
            given["lifter_cup_along"] + lobe_lift * math.cos(lean),
        )

        def open_by(angles: np.ndarray) -> list[float]:
            rocker, rod = angles
            return [
                across + b * math.cos(rocker + psi) - foot[0] - length * math.cos(rod),
                along + b * math.sin(rocker + psi) - foot[1] - length * math.sin(rod),
            ]

        def slopes(angles: np.ndarray) -> list[list[float]]:
            rocker, rod = angles
            return [
                [-b * math.sin(rocker + psi), length * math.sin(rod)],
                [b * math.cos(rocker + psi), -length * math.cos(rod)],
            ]

        found = root(open_by, start, jac=slopes, method="hybr", options={"xtol": 1e-13})
        assert max(abs(gap) for gap in open_by(found.x)) < 1e-9
        assert max(abs(found.x - start)) < 0.5, "the next place, not another way to close the loops"
        return np.asarray(found.x)

    def length(self) -> float:
        return self.inputs["centre_to_centre_length"]

    def tip_at(self, angle: float) -> Point:
        """(valve lift, contact) of a rocker angle: the roller's lowest point lies on the tip."""
        given, (across, along) = self.inputs, self.pivot()
        arm, radius = given["valve_arm_length"], given["roller_radius"]
        return radius - (along + arm * math.sin(angle)), across + arm * math.cos(angle)

    def walk(self, lobe_lift: float, steps: int) -> list[Point]:
        """(valve lift, contact) at so many lobe lifts up to this one."""
        angles = np.array([self.rocker_angle, self.rod_angle])
        places = [self.tip_at(self.rocker_angle)]
        for step in range(1, steps + 1):
            angles = self.place_at(lobe_lift * step / steps, angles)
            places.append(self.tip_at(float(angles[0])))
        return places


@st.composite
def rockers(draw: st.DrawFn) -> Rocker:
    """Sizes of real ones and beyond; the lifter is put where the pushrod ends."""

    def between(low: float, high: float) -> float:
        return draw(st.floats(low, high))

    arm, radius, b, psi = between(25.0, 60.0), between(3.0, 12.0), between(15.0, 40.0), between(155.0, 185.0)
    offset, stud_lean, arm_angle = arm * between(0.93, 1.0), between(-12.0, 12.0), math.radians(between(0.0, 25.0))
    length, rod_lean = between(120.0, 260.0), math.radians(between(-5.0, 20.0))
    at = (radius - arm * math.sin(arm_angle)) / math.cos(math.radians(stud_lean))
    pivot = (at * math.sin(math.radians(stud_lean)) - offset, at * math.cos(math.radians(stud_lean)))
    cup = arm_angle + math.radians(psi)
    return Rocker(
        {
            "valve_arm_length": arm,
            "roller_radius": radius,
            "pushrod_arm_length": b,
            "arm_angle_between": psi,
            "stud_offset": offset,
            "stud_lean": stud_lean,
            "lifter_cup_across": pivot[0] + b * math.cos(cup) - length * math.sin(rod_lean),
            "lifter_cup_along": pivot[1] + b * math.sin(cup) - length * math.cos(rod_lean),
            "lifter_lean": between(-5.0, 30.0),
            "pivot_position": at,
            "centre_to_centre_length": length,
        },
        arm_angle,
        math.pi / 2 - rod_lean,
    )


def lobe_of(rocker: Rocker, share: float) -> float:
    """A lobe lift by its share of the pushrod arm; beyond half of it the pushrod comes to the end of its reach."""
    return share * rocker.inputs["pushrod_arm_length"]


SHARES = st.floats(0.15, 0.42)
"""From a mild lobe to more than any has: the demo linkage's is 0.38."""


def stud_mounted(rocker: Rocker) -> dict[str, float]:
    """What the whole-sweep calculators take: they find the pivot's position themselves."""
    left_out = ("pivot_position", "centre_to_centre_length")
    return {key: value for key, value in rocker.inputs.items() if key not in left_out}


@settings(max_examples=60)
@given(rockers(), SHARES)
def test_the_linkage_stands_where_the_linkage_library_puts_it(rocker: Rocker, share: float) -> None:
    """Lift and contact to a millionth of a millimetre; the ratio is the library's own velocity of the tip."""
    lobe_lifts = [lobe_of(rocker, share) * step / 3 for step in range(4)]
    for lobe_lift, place in zip(
        lobe_lifts, linkage_solver.lifted(parts_of(rocker.inputs), rocker.length(), lobe_lifts), strict=True
    ):
        ours = reckon("linkage-position", {**rocker.inputs, "lobe_lift": lobe_lift})
        assert ours["valve_lift"] == pytest.approx(place.lift, rel=0, abs=1e-6)
        assert ours["contact"] == pytest.approx(place.contact, rel=0, abs=1e-6)
        assert ours["rocker_ratio"] == pytest.approx(place.ratio, rel=1e-6)


@settings(max_examples=60)
@given(rockers(), SHARES)
def test_a_sweep_leaves_the_mark_that_the_equations_leave(rocker: Rocker, share: float) -> None:
    lobe_lift = lobe_of(rocker, share)
    walked = rocker.walk(lobe_lift, 200)
    contacts = [contact for _, contact in walked]
    length = rocker.inputs["centre_to_centre_length"]
    ours = reckon("rocker-sweep", {**stud_mounted(rocker), "centre_to_centre_length": length, "lobe_lift": lobe_lift})
    assert ours["pivot_position"] == pytest.approx(rocker.inputs["pivot_position"], rel=0, abs=1e-6)
    assert ours["valve_lift"] == pytest.approx(walked[-1][0], rel=0, abs=1e-6)
    assert [ours["contact_closed"], ours["contact_open"]] == pytest.approx([contacts[0], contacts[-1]], rel=0, abs=1e-6)
    # 201 places miss the turning point by half a step at most: 0.00003 mm on the longest arm.
    assert ours["mark_width"] == pytest.approx(max(contacts) - min(contacts), rel=0, abs=5e-5)
    assert ours["mark_mean"] == pytest.approx((max(contacts) + min(contacts)) / 2, rel=0, abs=5e-5)


def standing_at(rocker: Rocker, arm_angle: float) -> Rocker:
    """The same parts with the pivot where the closed valve's arm stands at this angle, and the pushrod that fits."""
    given = dict(rocker.inputs)
    lean = math.radians(given["stud_lean"])
    given["pivot_position"] = (given["roller_radius"] - given["valve_arm_length"] * math.sin(arm_angle)) / math.cos(
        lean
    )
    moved = Rocker(given, arm_angle, 0.0)
    pivot, cup = moved.pivot(), arm_angle + math.radians(given["arm_angle_between"])
    rod = (
        pivot[0] + given["pushrod_arm_length"] * math.cos(cup) - given["lifter_cup_across"],
        pivot[1] + given["pushrod_arm_length"] * math.sin(cup) - given["lifter_cup_along"],
    )
    given["centre_to_centre_length"] = math.hypot(*rod)
    return Rocker(given, arm_angle, math.atan2(rod[1], rod[0]))


def width_at(rocker: Rocker, lobe_lift: float) -> Callable[[float], float]:
    def width(arm_angle: float) -> float:
        moved = standing_at(rocker, arm_angle)
        walked = moved.walk(lobe_lift, 8)
        contacts = [contact for _, contact in walked]
        arm = moved.inputs["valve_arm_length"]
        if walked[-1][0] >= arm * math.sin(arm_angle):  # the arm has come down to the pivot's level and turned there
            contacts.append(moved.pivot()[0] + arm)
        return max(contacts) - min(contacts)

    return width


@settings(max_examples=25)
@given(rockers(), SHARES)
def test_no_pushrod_leaves_a_narrower_mark_than_the_best_one(rocker: Rocker, share: float) -> None:
    lobe_lift = lobe_of(rocker, share)
    ours = reckon("best-pushrod", {**stud_mounted(rocker), "lobe_lift": lobe_lift})
    found = minimize_scalar(width_at(rocker, lobe_lift), bounds=(0.0, 0.5), method="bounded", options={"xatol": 1e-9})
    assert ours["mark_width"] == pytest.approx(found.fun, rel=0, abs=1e-5)
    best = standing_at(rocker, found.x)
    assert ours["centre_to_centre_length"] == pytest.approx(best.length(), rel=0, abs=1e-4)
    assert ours["contact_closed"] == pytest.approx(ours["contact_open"], rel=0, abs=1e-9)


# --- marks on the stem's centre -------------------------------------------------------------------------------------

DEMO_MM = {
    "valve_arm_length": 38.608,
    "roller_radius": 6.35,
    "pushrod_arm_length": 24.13,
    "arm_angle_between": 168.0,
    "stud_offset": 37.846,
    "stud_lean": 0.0,
    "lifter_cup_across": -102.489,
    "lifter_cup_along": -186.7408,
    "lifter_lean": 18.0,
}


@pytest.mark.parametrize("stud_lean", [-6.0, -2.0, 0.0, 3.0])
def test_centred_lengths_are_the_roots_of_the_middle_of_the_mark(stud_lean: float) -> None:
    inputs = {**DEMO_MM, "stud_lean": stud_lean, "lobe_lift": 9.2}
    ours, best = reckon("centred-lengths", inputs), reckon("best-pushrod", inputs)["centre_to_centre_length"]

    def middle(length: float) -> float:
        return float(reckon("rocker-sweep", {**inputs, "centre_to_centre_length": length})["mark_mean"])

    for key, far in (("short_centred_length", best - 11.0), ("long_centred_length", best + 11.0)):
        if middle(best) * middle(far) > 0:
            assert ours[key] is None or abs(ours[key] - best) > 11.0
        else:
            assert ours[key] == pytest.approx(brentq(middle, min(best, far), max(best, far)), rel=0, abs=1e-6)


@given(st.floats(30.0, 50.0), st.floats(12.0, 25.0), st.floats(0.85, 0.985), st.floats(6.0, 16.0))
def test_a_stamped_mark_is_centred_where_its_curve_crosses_the_stem(
    arm: float, pad: float, offset_share: float, lift: float
) -> None:
    offset = arm * offset_share
    inputs = {"valve_arm_length": arm, "pad_radius": pad, "pivot_height": 0.0, "stud_offset": offset}
    answer = ask("stamped-mark", {**inputs, "valve_lift": lift, "rocker_ratio": 1.6})
    heights = np.linspace(lift / 2, math.sqrt(arm**2 - (arm * 0.2) ** 2), 4000)
    middles = [middle_of(arm, offset, height, lift) for height in heights]
    crossing = next((n for n in range(len(middles) - 1) if middles[n] >= 0 > middles[n + 1]), None)
    if crossing is None:
        assert answer["refused"]
        return
    above = brentq(lambda y: middle_of(arm, offset, y, lift), heights[crossing], heights[crossing + 1])
    assert answer["outputs"]["centred_pivot_height"]["value"] == pytest.approx(pad - above, rel=0, abs=1e-6)


def middle_of(arm: float, offset: float, closed_height: float, lift: float) -> float:
    """Middle of the mark from contacts along the lift, the turning point among them."""
    heights = [closed_height, closed_height - lift, *([0.0] if closed_height - lift < 0 < closed_height else [])]
    contacts = [math.sqrt(arm**2 - height**2) - offset for height in heights]
    return (max(contacts) + min(contacts)) / 2


# --- noise, crowns, load --------------------------------------------------------------------------------------------


@given(st.floats(30.0, 50.0), st.floats(8.0, 18.0), st.floats(1.3, 2.0), st.floats(0.02, 0.2), st.integers(1, 6))
def test_the_noise_law_is_what_the_chord_does_to_two_noisy_contacts(
    arm: float, lift: float, ratio: float, deviation: float, readings: int
) -> None:
    """The law leaves a quarter of lift over arm, squared, out (2.5 % here at the most); the library leaves nothing."""
    closed, opened = (ufloat(0.0, deviation / math.sqrt(readings)) for _ in range(2))
    travel = opened - closed
    chord = umath.sqrt(travel**2 + lift**2)
    theirs = (umath.sqrt(arm**2 - chord**2 / 4) * travel / chord * (1 + 1 / ratio)).std_dev
    ours = reckon(
        "pushrod-correction-noise",
        {
            "valve_arm_length": arm,
            "valve_lift": lift,
            "rocker_ratio": ratio,
            "edge_deviation": deviation,
            "readings_per_contact": readings,
            "goes": 1,
        },
    )
    left_out = math.sqrt(1 - (lift / arm) ** 2 / 4)
    assert ours["length_deviation"] * left_out == pytest.approx(theirs, rel=1e-9)


@given(st.floats(4.0, 12.0), st.floats(0.05, 0.9), st.floats(0.05, 0.9), st.floats(100.0, 300.0))
def test_a_crown_is_cut_off_as_euclid_cuts_chords(ball: float, share: float, other: float, caliper: float) -> None:
    flat, circle = sorted((ball * share, ball * other))
    ours = reckon(
        "ball-end",
        {"ball_diameter": ball, "flat_diameter": flat, "gauge_circle_diameter": circle, "caliper_length": caliper},
    )
    lost, gauge_lost = ours["crown_per_end"], ours["gauge_loss_per_end"]
    assert lost * (ball - lost) == pytest.approx((flat / 2) ** 2, rel=1e-9)
    assert gauge_lost * (ball - gauge_lost) == pytest.approx((circle / 2) ** 2, rel=1e-9)
    assert ours["gauge_length"] <= ours["theoretical_length"]
    assert ours["theoretical_length"] - ours["centre_to_centre_length"] == pytest.approx(ball, rel=1e-9)


def test_a_rod_shortens_as_beer_and_johnstons_stepped_bar_does() -> None:
    """60 kip over 12 in of 0.9 in2, -15 kip over 12 in of 0.9, 30 kip over 16 in of 0.3, 29 million psi: 0.075862 in.

    Rods of these areas stand for the bar's parts: a wall of half the diameter is a full rod.
    """
    parts = [(60_000, 12, 0.9, 1), (15_000, 12, 0.9, -1), (30_000, 16, 0.3, 1)]
    total = 0.0
    for load, length, area, sign in parts:
        wall = f"{math.sqrt(area / math.pi):.12f}"
        ours = reckon(
            "pushrod-shortening",
            {
                "outside_diameter": f"{2 * float(wall):.12f} in",
                "wall_thickness": f"{wall} in",
                "length": f"{length} in",
                "load": f"{load} lbf",
                "elastic_modulus": "29000000 psi",
            },
        )
        assert ours["tube_area"] == pytest.approx(area * 25.4**2, rel=1e-9)
        total += sign * ours["shortening"] / 25.4
    assert total == pytest.approx(0.075862, rel=1e-5)
