"""The tightening order of any pattern: every fastener once, centre-out."""

import json
import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standbook.trade import calls
from standbook.trade.geometry.joint_patterns import natural
from tests.micropython import Brain

#: Coordinates are rounded to 0.01 in before they make a level.
LEVEL = 0.254
Points = dict[str, list[float]]
IDS = st.text("LU0123456789", min_size=1, max_size=4)
#: A grid of eighths of an inch and free places: rows that nearly share a level as well as rows that do.
PLACES = st.one_of(st.integers(-40, 40).map(lambda eighths: eighths * 3.175), st.floats(-200, 200))
PATTERNS = st.dictionaries(IDS, st.tuples(PLACES, PLACES).map(list), min_size=1, max_size=24)


def sequence(points: Points, pattern: str = "rows") -> list[str]:
    asked = json.dumps({"name": "bolt-sequence", "inputs": {"points": points, "pattern": pattern}})
    answer: dict[str, Any] = json.loads(calls.call("reckon", asked))
    order: list[str] = answer["outputs"]["sequence"]["value"]
    return order


def away(points: Points, pattern: str) -> dict[str, float]:
    """Each fastener's distance from the middle: along x, or from the centroid."""
    middle = [math.fsum(at[axis] for at in points.values()) / len(points) for axis in (0, 1)]
    if pattern == "rows":
        return {name: abs(at[0] - middle[0]) for name, at in points.items()}
    return {name: math.dist(at, middle) for name, at in points.items()}


@given(PATTERNS, st.sampled_from(["rows", "round"]))
def test_every_fastener_comes_once(points: Points, pattern: str) -> None:
    assert sorted(sequence(points, pattern)) == sorted(points)


@given(PATTERNS, st.sampled_from(["rows", "round"]))
def test_the_order_goes_from_the_centre_outward(points: Points, pattern: str) -> None:
    distance = away(points, pattern)
    # Within one level, 0.01 in wide, the order is free to come back by less than its width.
    for earlier, later in pairwise(sequence(points, pattern)):
        assert distance[later] > distance[earlier] - LEVEL * (1 + 1e-6)


@given(PATTERNS, st.sampled_from(["rows", "round"]))
def test_within_a_level_the_next_is_the_farthest_from_the_last(points: Points, pattern: str) -> None:
    order = sequence(points, pattern)
    distance = away(points, pattern)
    for at in range(1, len(order)):
        last, chosen = points[order[at - 1]], order[at]
        # Only those that surely share the chosen one's level: equal distances to the last bit of arithmetic.
        mates = [name for name in order[at + 1 :] if abs(distance[name] - distance[chosen]) < 1e-10]
        for name in mates:
            assert math.dist(points[chosen], last) >= math.dist(points[name], last) - 1e-5


@given(PATTERNS, st.sampled_from(["rows", "round"]), st.randoms(use_true_random=False))
def test_the_order_in_which_the_pattern_was_drawn_does_not_matter(points: Points, pattern: str, luck: Any) -> None:
    shuffled = list(points.items())
    luck.shuffle(shuffled)
    assert sequence(dict(shuffled), pattern) == sequence(points, pattern)


@pytest.mark.parametrize("bolts", [4, 5, 6, 8, 10])
def test_a_two_row_head_is_tightened_alike_as_rows_and_as_a_round_pattern(bolts: int) -> None:
    # Common practice: "on a two-row head both rules give the same list".
    head = {f"{row}{n + 1}": [n * 101.6, y] for row, y in (("L", 0.0), ("U", 88.9)) for n in range(bolts)}
    assert sequence(head, "rows") == sequence(head, "round")


def test_a_round_cover_is_crossed_from_side_to_side() -> None:
    six = {str(n + 1): [50 * math.cos(math.radians(60 * n)), 50 * math.sin(math.radians(60 * n))] for n in range(6)}
    # One level: the lowest id, then always the farthest from the last, ties to the lowest id.
    assert sequence(six, "round") == ["1", "4", "2", "5", "3", "6"]


def test_ids_count_as_people_count() -> None:
    assert sorted(["L10", "L2", "10", "2", "L", "U1", "L2b"], key=natural) == ["2", "10", "L", "L2", "L2b", "L10", "U1"]
    row = {str(n): [0.0, float(n)] for n in (2, 10)}
    assert sequence(row) == ["2", "10"]


def test_a_level_is_a_hundredth_of_an_inch_wide() -> None:
    # The outer two lie as far from the middle but for a hair: one level, so the lower id comes first.
    hair = {"1": [-100.10, 0.0], "2": [99.95, 0.0], "3": [0.15, 0.0]}
    assert sequence(hair) == ["3", "1", "2"]
    # A twentieth of an inch nearer is a level of its own.
    nearer = {"1": [-100.6, 0.0], "2": [99.3, 0.0], "3": [1.3, 0.0]}
    assert sequence(nearer) == ["3", "2", "1"]


def test_inches_and_millimetres_give_one_order() -> None:
    inches: Any = {"a": ["0 in", "0 in"], "b": ["4 in", "0 in"], "c": ["8 in", "3.5 in"], "d": ["8 in", "0 in"]}
    millimetres = {"a": [0.0, 0.0], "b": [101.6, 0.0], "c": [203.2, 88.9], "d": [203.2, 0.0]}
    assert sequence(inches) == sequence(millimetres)


@pytest.fixture(scope="module")
def phone() -> Iterator[Brain]:
    with Brain() as brain:
        yield brain


@given(PATTERNS, st.sampled_from(["rows", "round"]))
def test_the_phone_tightens_any_pattern_as_the_server_does(phone: Brain, points: Points, pattern: str) -> None:
    asked = json.dumps({"name": "bolt-sequence", "inputs": {"points": points, "pattern": pattern}})
    assert json.loads(phone.call("reckon", asked))["outputs"] == json.loads(calls.call("reckon", asked))["outputs"]
