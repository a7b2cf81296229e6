"""Firing order: phases, companions, and whether a crank can fire evenly in it.

Derived from the geometry of a four-stroke crank: 720 degrees a cycle, list place p fires at 720*p/N.
"""

from .. import plain

CYCLE = 720.0
MOST_CYLINDERS = 16


def check_order(order):
    """Raises Refusal unless the order names each cylinder 1..N exactly once, N from 1 to 16."""
    count = len(order)
    if not 1 <= count <= MOST_CYLINDERS:
        raise plain.Refusal("firing_order_length", "A firing order names 1 to 16 cylinders.", {"cylinders": count})
    if plain.in_order(order) != list(range(1, count + 1)):
        raise plain.Refusal(
            "firing_order_broken",
            "The firing order must name each cylinder from 1 to "
            + str(count)
            + " once: look for a repeated or missing number.",
            {"order": list(order)},
        )


def phases(order):
    """Cylinder -> crank angle of its firing top dead centre, degrees of 720, even firing."""
    check_order(order)
    return {cylinder: CYCLE * place / len(order) for place, cylinder in enumerate(order)}


def companions(order):
    """Pairs at top dead centre together, 360 degrees apart in the cycle; none for an odd number of cylinders."""
    check_order(order)
    half = len(order) // 2
    return [] if len(order) % 2 else [[order[place], order[place + half]] for place in range(half)]


def shared_journals(order, rod_journals, bank_angle):
    """Differences of firing phase over each shared rod journal, modulo 360, and whether the crank can fire evenly.

    `rod_journals`: pairs (a, b), a always on the same bank. Even firing wants the bank angle, or 360 less it, the
    same on every rod journal. A swap of companions always passes and needs its own camshaft.
    """
    at = phases(order)
    differences = []
    for pair in rod_journals:
        if len(pair) != 2 or pair[0] not in at or pair[1] not in at:
            raise plain.Refusal(
                "rod_journals_broken", "Name two cylinders of this engine for each rod journal.", {"pair": list(pair)}
            )
        differences.append((at[pair[0]] - at[pair[1]]) % 360.0)
    wanted = (bank_angle % 360.0, (360.0 - bank_angle) % 360.0)
    same = all(plain.round_away(d - differences[0], 6) == 0 for d in differences)
    fits = bool(differences) and any(plain.round_away(differences[0] - w, 6) == 0 for w in wanted)
    return {"differences": differences, "possible": same and fits}
