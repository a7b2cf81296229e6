"""Rocker, pushrod and lifter as mechanisms of kimech 0.7.0 (MIT), a planar linkage library of general use.

It knows bodies, points, turning and sliding joints, and shares no formula with the brain. Frame as on a drawing of the
valve: origin at the centre of the closed tip, +y along the stem from valve head to tip, +x across it away from the
pivot. Lengths in one unit, angles in degrees.
"""

import math
from collections.abc import Iterable
from typing import Any, NamedTuple

import numpy as np
from kimech import KinematicDriver, Link, Mechanism, Point, solve

Place = Any
"""Two coordinates in an array."""
ACROSS, ALONG = (1.0, 0.0), (0.0, 1.0)


def toward(lean: float) -> Place:
    """Unit vector along an axis that leans so far from the stem, + = upper end outboard."""
    return np.array([math.sin(math.radians(lean)), math.cos(math.radians(lean))])


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
    def pivot(self) -> Place:
        return np.array([-self.stud_offset, 0.0]) + self.pivot_up * toward(self.stud_lean)

    @property
    def arm(self) -> float:
        """Angle of the valve arm above +x with the roller on the closed tip, in radians."""
        return math.asin((self.roller - float(self.pivot[1])) / self.valve_arm)

    @property
    def ball(self) -> Place:
        """The pushrod's ball centre at the rocker, valve closed."""
        turned = self.arm + math.radians(self.arm_angle)
        return self.pivot + self.pushrod_arm * np.array([math.cos(turned), math.sin(turned)])


def zero_lash_length(parts: Parts) -> float:
    """Pushrod length, centre to centre, that leaves neither lash nor preload."""
    return math.dist(parts.ball, parts.lifter)


class Turned(NamedTuple):
    """How far, from zero lash: the pivot up its stud; a screw out of the arm at the pushrod end, at the valve end."""

    pivot: float = 0.0
    pushrod_screw: float = 0.0
    valve_screw: float = 0.0


class Train:
    """A valve train at zero lash: every body with its pose there, every slide with the axis that it follows."""

    def __init__(self, parts: Parts, length: float) -> None:
        self.parts = parts
        self.built = Mechanism()
        self.poses: dict[Link, tuple[float, float, float]] = {}
        self.slides: dict[str, Any] = {}
        turned = parts.arm + math.radians(parts.arm_angle)
        self.rocker = self._body("rocker", parts.pivot, parts.arm)
        foot = self._screw("valve screw", (parts.valve_arm, 0.0), parts.arm, -1.0)
        # Seen from the rocker the pushrod arm points at the arm angle; its screw reaches out a quarter turn further on.
        at = math.radians(parts.arm_angle)
        seat = (parts.pushrod_arm * math.cos(at), parts.pushrod_arm * math.sin(at))
        ball = self._screw("pushrod screw", seat, turned, 1.0)
        self.foot = foot
        lean = np.array(ball_place := parts.ball) - np.array(parts.lifter)
        rod = self._body("pushrod", parts.lifter, math.atan2(lean[1], lean[0]))
        assert math.isclose(math.dist(ball_place, parts.lifter), length, rel_tol=0.2), "not the pushrod of this rocker"
        self.built.revolute(rod.add_point("upper", (length, 0.0)), ball)
        self.lower = rod.add_point("lower", (0.0, 0.0))
        self._pivot()

    def _body(self, name: str, at: Place, angle: float) -> Link:
        body = self.built.add_link(name)
        self.poses[body] = (float(at[0]), float(at[1]), angle)
        return body

    def _screw(self, name: str, seat: tuple[float, float], arm: float, side: float) -> Point:
        """A screw in the rocker, square to its arm; the point that it touches with."""
        root = self.rocker.add_point(name, seat)
        direction = arm - self.parts.arm + side * math.pi / 2
        x, y, angle = self.poses[self.rocker]
        at = np.array([x, y]) + _rotated(seat, angle)
        screw = self._body(name, at, angle)
        end = screw.add_point("end", (0.0, 0.0))
        axis = (math.cos(direction), math.sin(direction))
        self.slides[name] = self.built.prismatic(root, end, axis_a=axis, axis_b=axis)
        return end

    def _pivot(self) -> None:
        axis = tuple(toward(self.parts.stud_lean))
        nut = self._body("nut", self.parts.pivot, 0.0)
        stud = self.built.ground.add_point("stud", tuple(self.parts.pivot))
        self.slides["nut"] = self.built.prismatic(stud, nut.add_point("on the stud", (0, 0)), axis_a=axis, axis_b=axis)
        self.built.revolute(nut.add_point("pivot", (0.0, 0.0)), self.rocker.add_point("pivot", (0.0, 0.0)))

    def slide(self, name: str, at: Place, axis: Place, what: Point) -> None:
        """A point carried along a line fixed in the engine."""
        body, axis = self._body(name, at, 0.0), tuple(axis)
        line = self.built.ground.add_point(name, tuple(at))
        self.slides[name] = self.built.prismatic(line, body.add_point("on it", (0.0, 0.0)), axis_a=axis, axis_b=axis)
        self.built.revolute(body.add_point("carries", (0.0, 0.0)), what)

    def pinned(self, what: Point) -> None:
        """The lifter on its stop."""
        self.built.revolute(self.built.ground.add_point("lifter", self.parts.lifter), what)

    def moved(self, by: Turned, **more: Any) -> Any:
        """kimech's solution with nut and screws driven so far; `more`: other slides, driven over a sweep."""
        driven = {"nut": by.pivot, "pushrod screw": by.pushrod_screw, "valve screw": by.valve_screw}
        drivers = [_driver(self.slides[name], amount, more) for name, amount in driven.items()]
        drivers += [KinematicDriver(self.slides[name], position=at, velocity=1.0) for name, at in more.items()]
        return solve(self.built, drivers=drivers, initial_guess=self.poses)


def _driver(joint: Any, amount: float, more: dict[str, Any]) -> KinematicDriver:
    """A slide held at one place, for every sample of what is swept."""
    samples = [len(at) for at in more.values()]
    position = np.full(samples[0], amount) if samples else amount
    return KinematicDriver(joint, position=position, velocity=0.0 if samples else None)


def _rotated(vector: tuple[float, float], angle: float) -> Place:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([c * vector[0] - s * vector[1], s * vector[0] + c * vector[1]])


class Lifted(NamedTuple):
    """One place of a sweep over the lobe: valve lift, where the roller touches the tip, the ratio of the moment."""

    lift: float
    contact: float
    ratio: float


def lifted(parts: Parts, length: float, lobe_lifts: Iterable[float]) -> list[Lifted]:
    """The linkage at these lobe lifts, the first of them zero."""
    train = Train(parts, length)
    train.slide("lifter", parts.lifter, toward(parts.lifter_lean), train.lower)
    found = train.moved(Turned(), lifter=list(lobe_lifts))
    places, speeds = found.point_positions(train.foot), found.point_velocities(train.foot)
    return [
        Lifted(parts.roller - float(at[1]), float(at[0]), -float(speed[1]))
        for at, speed in zip(places, speeds, strict=True)
    ]


def plunger_depth(parts: Parts, by: Turned) -> float:
    """How deep the plunger stands below its stop, the roller or foot on the closed tip."""
    train = Train(parts, zero_lash_length(parts))
    foot = np.array([float(parts.pivot[0]) + parts.valve_arm * math.cos(parts.arm), parts.roller])
    train.slide("tip", foot, ACROSS, train.foot)
    train.slide("plunger", parts.lifter, toward(parts.lifter_lean), train.lower)
    return -float(train.moved(by).joint_coordinates(train.slides["plunger"])[0])


def lash(parts: Parts, by: Turned) -> float:
    """Gap at the tip along the stem, the lifter on its stop, the rocker resting on the pushrod."""
    train = Train(parts, zero_lash_length(parts))
    train.pinned(train.lower)
    return float(train.moved(by).point_positions(train.foot)[0][1]) - parts.roller


def depth_by_nut(parts: Parts, down: float) -> float:
    """Plunger depth when a stud nut brings the pivot down its stud."""
    return plunger_depth(parts, Turned(pivot=-down))


def lash_by_nut(parts: Parts, up: float) -> float:
    """Lash when a stud nut lets the pivot up its stud."""
    return lash(parts, Turned(pivot=up))


def depth_by_pushrod_screw(parts: Parts, out: float) -> float:
    """Plunger depth when the screw at the pushrod end reaches further out, the pivot fixed."""
    return plunger_depth(parts, Turned(pushrod_screw=out))


def lash_by_pushrod_screw(parts: Parts, back: float) -> float:
    """Lash when the screw at the pushrod end is turned back."""
    return lash(parts, Turned(pushrod_screw=-back))


def depth_by_valve_screw(parts: Parts, out: float) -> float:
    """Plunger depth when the screw at the valve end reaches further out: its foot stays on the tip."""
    return plunger_depth(parts, Turned(valve_screw=out))


def lash_by_valve_screw(parts: Parts, back: float) -> float:
    """Lash when the screw at the valve end is turned back."""
    return lash(parts, Turned(valve_screw=-back))
