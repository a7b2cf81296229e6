"""A planar solver of rocker, pushrod and lifter that shares no formula with the brain.

The parts are points and rigid distances; scipy's `root` (Powell's hybrid method) finds where the points stand. Frame
as on a drawing of the valve: origin at the centre of the closed tip, +y along the stem from valve head to tip, +x
across it away from the pivot. Inches, degrees.
"""

import math
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import root

Point = Any
"""Two coordinates in an array."""


def toward(lean: float) -> Point:
    """Unit vector along an axis that leans so far from the stem, + = upper end outboard."""
    return np.array([math.sin(math.radians(lean)), math.cos(math.radians(lean))])


def turned(vector: Point, degrees: float) -> Point:
    """A vector turned counter-clockwise."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, -s], [s, c]]) @ vector


class Parts(NamedTuple):
    """What does not change while a nut or a screw is turned."""

    valve_arm: float
    roller: float
    pushrod_arm: float
    arm_angle: float
    stud_offset: float
    stud_lean: float
    lifter: tuple[float, float]
    lifter_lean: float
    pivot_up: float
    """Where the pivot stands on its stud at zero lash, counted from the tip plane."""

    @property
    def pivot(self) -> Point:
        return np.array([-self.stud_offset, 0.0]) + self.pivot_up * toward(self.stud_lean)


def solved(equations: Any, start: list[float]) -> Point:
    """The root next to `start`."""
    found = root(equations, start, tol=1e-13)
    assert float(np.abs(found.fun).max()) < 1e-11, found
    return found.x


def closed(parts: Parts, pivot: Point) -> tuple[Point, Point]:
    """(roller centre, pushrod ball) with the roller on the closed tip, as two points of one rigid rocker."""
    across = parts.valve_arm**2 + parts.pushrod_arm**2
    across -= 2 * parts.valve_arm * parts.pushrod_arm * math.cos(math.radians(parts.arm_angle))

    def misfit(at: Point) -> list[float]:
        roller, ball = at[:2], at[2:]
        return [
            math.dist(roller, pivot) - parts.valve_arm,
            math.dist(ball, pivot) - parts.pushrod_arm,
            math.dist(roller, ball) - math.sqrt(across),
            roller[1] - parts.roller,
        ]

    first = turned(np.array([parts.pushrod_arm, 0.0]), parts.arm_angle)
    x = solved(misfit, [pivot[0] + parts.valve_arm, parts.roller, *(pivot + first)])
    return x[:2], x[2:]


def zero_lash_length(parts: Parts) -> float:
    """Pushrod length, centre to centre, that leaves neither lash nor preload."""
    return math.dist(closed(parts, parts.pivot)[1], parts.lifter)


def plunger(parts: Parts, ball: Point, length: float) -> float:
    """How deep the plunger stands below its stop when the upper ball is there."""

    def misfit(deep: Point) -> list[float]:
        return [math.dist(ball, np.array(parts.lifter) - deep[0] * toward(parts.lifter_lean)) - length]

    return float(solved(misfit, [0.0])[0])


def lash(parts: Parts, pivot: Point, length: float, screw: tuple[float, float] = (0.0, 0.0)) -> float:
    """Gap at the tip along the stem, the lifter on its stop, the rocker resting on the pushrod.

    `screw`: how far an adjuster reaches out of the arm at the pushrod end, and at the valve end.
    """
    start = closed(parts, parts.pivot)[0] - parts.pivot
    begun = math.degrees(math.atan2(start[1], start[0]))

    def gap_and_misfit(turn: float) -> tuple[float, float]:
        roller, ball = reached(parts, pivot, begun + turn, screw)
        return float(roller[1]) - parts.roller, math.dist(ball, parts.lifter) - length

    at = solved(lambda turn: [gap_and_misfit(float(turn[0]))[1]], [0.0])
    return gap_and_misfit(float(at[0]))[0]


def reached(parts: Parts, pivot: Point, angle: float, screw: tuple[float, float]) -> tuple[Point, Point]:
    """(roller centre or foot, pushrod ball) with the valve arm standing at `angle`; screws are square to their arms."""
    along_valve = turned(np.array([1.0, 0.0]), angle)
    along_pushrod = turned(along_valve, parts.arm_angle)
    roller = pivot + parts.valve_arm * along_valve + screw[1] * turned(along_valve, -90)
    return roller, pivot + parts.pushrod_arm * along_pushrod + screw[0] * turned(along_pushrod, 90)


def depth_by_nut(parts: Parts, down: float) -> float:
    """Plunger depth when a stud nut brings the pivot down its stud."""
    length = zero_lash_length(parts)
    return plunger(parts, closed(parts, parts.pivot - down * toward(parts.stud_lean))[1], length)


def lash_by_nut(parts: Parts, up: float) -> float:
    """Lash when a stud nut lets the pivot up its stud."""
    return lash(parts, parts.pivot + up * toward(parts.stud_lean), zero_lash_length(parts))


def depth_by_pushrod_screw(parts: Parts, out: float) -> float:
    """Plunger depth when the screw at the pushrod end reaches further out, the pivot fixed."""
    roller = closed(parts, parts.pivot)[0] - parts.pivot
    angle = math.degrees(math.atan2(roller[1], roller[0]))
    return plunger(parts, reached(parts, parts.pivot, angle, (out, 0.0))[1], zero_lash_length(parts))


def lash_by_pushrod_screw(parts: Parts, back: float) -> float:
    """Lash when the screw at the pushrod end is turned back."""
    return lash(parts, parts.pivot, zero_lash_length(parts), (-back, 0.0))


def depth_by_valve_screw(parts: Parts, out: float) -> float:
    """Plunger depth when the screw at the valve end reaches further out: its foot stays on the tip."""
    roller = closed(parts, parts.pivot)[0] - parts.pivot
    begun = math.degrees(math.atan2(roller[1], roller[0]))

    def misfit(turn: Point) -> list[float]:
        return [float(reached(parts, parts.pivot, begun + float(turn[0]), (0.0, out))[0][1]) - parts.roller]

    turn = float(solved(misfit, [0.0])[0])
    return plunger(parts, reached(parts, parts.pivot, begun + turn, (0.0, out))[1], zero_lash_length(parts))


def lash_by_valve_screw(parts: Parts, back: float) -> float:
    """Lash when the screw at the valve end is turned back."""
    return lash(parts, parts.pivot, zero_lash_length(parts), (0.0, -back))
