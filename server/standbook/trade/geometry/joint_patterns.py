"""The order in which the fasteners of a joint are tightened: centre-out, level by level.

Common practice: the clamped part is pressed flat from its middle, so that it creeps outward and traps no bow. The
maker's drawing wins; this is for a joint without one. Coordinates in mm.
"""

import math

from .. import plain

PATTERNS = ("rows", "round")
#: Fasteners whose distances from the middle differ by less belong to one level: 0.01 in, as drawings are read.
LEVEL = 0.254
#: Distances nearer than this are equal: what conversion leaves behind is far smaller.
EQUAL = 1e-6
DIGITS = "0123456789"


def centre_out(points, pattern):
    """Ids in tightening order. `points`: (id, x, y) each.

    Rows: a level is the distance from the middle along x; round: the distance from the centroid. Levels from small to
    large; within a level always the fastener farthest from the last one tightened, ties to the lowest id.
    """
    fasteners = plain.in_order(points, key=lambda point: natural(point[0]))
    middle = [plain.mean([point[axis] for point in fasteners]) for axis in (1, 2)]
    levels = [(_level(point, middle, pattern), point) for point in fasteners]
    ordered = []
    for wanted in plain.in_order({level for level, _ in levels}):
        _tighten([point for level, point in levels if level == wanted], ordered)
    return [point[0] for point in ordered]


def natural(name):
    """A key that puts L2 before L10: text and numbers in turn, then the name itself."""
    parts = [""]
    for letter in name:
        in_number = len(parts) % 2 == 0
        if (letter in DIGITS) != in_number:
            parts.append("")
        parts[-1] += letter
    return [int(part) if place % 2 else part for place, part in enumerate(parts)], name


def _level(point, middle, pattern):
    away = abs(point[1] - middle[0]) if pattern == "rows" else _distance(point, ("", middle[0], middle[1]))
    return plain.round_away(away / LEVEL, 0)


def _tighten(waiting, ordered):
    """Moves the fasteners of one level, in order of their ids, to the end of the tightening order."""
    while waiting:
        chosen = _farthest(waiting, ordered[-1]) if ordered else waiting[0]
        waiting.remove(chosen)
        ordered.append(chosen)


def _farthest(waiting, last):
    best = waiting[0]
    for point in waiting[1:]:
        if _distance(point, last) > _distance(best, last) + EQUAL:
            best = point
    return best


def _distance(one, other):
    across, along = one[1] - other[1], one[2] - other[2]
    return math.sqrt(across * across + along * along)
