"""Which valve may be set when: seat events of a four-stroke cam over one cycle (derived: geometry of valve events).

Use seat timing (advertised), never 0.050 in timing: the larger the lobe rise at which it is given, the further the ramp
still reaches beyond the figure, hence the margin (common practice: 25 degrees, solid cams 25 to 30).
"""

from .. import plain
from .firing import CYCLE, phases

MARGIN = 25.0
#: Seat figures given at a large lobe rise, as solid cams often do, leave more of the ramp outside them (25 to 30).
RAMP_ALLOWANCE = 5.0
LARGE_RISE = 0.010 * 25.4
AFTER_EXHAUST_OPENING = 10.0
BEFORE_INTAKE_CLOSING = 20.0


def margin_for(basis, usual=MARGIN):
    """Margin beyond the seat events for the lobe rise (mm, None = unknown) at which they are given; common practice."""
    return usual + RAMP_ALLOWANCE if basis is not None and basis > LARGE_RISE else usual


class SeatEvents:
    """Seat events in local degrees (0 = firing TDC), from a cam card's figures.

    The card gives: intake opens before TDC, closes after BDC; exhaust opens before BDC, closes after TDC.
    """

    def __init__(self, intake_opens, intake_closes, exhaust_opens, exhaust_closes):
        self.exhaust = (180.0 - exhaust_opens, 360.0 + exhaust_closes)
        self.intake = (360.0 - intake_opens, 540.0 + intake_closes)

    def of(self, side):
        """(opens, closes) of "I" or "E"."""
        return self.intake if side == "I" else self.exhaust


def on_base_circle(events, side, local, margin=0.0):
    """Whether a valve stands on its base circle, and by the margin, at this local angle."""
    opens, closes = events.of(side)
    return (local - (opens - margin)) % CYCLE > (closes - opens + 2.0 * margin)


def valves_at(order, crank, events, margin=MARGIN):
    """Cylinders whose intake and whose exhaust may be set at an engine angle: (intake list, exhaust list)."""
    at = phases(order)
    cylinders = plain.in_order(order)
    free = {}
    for side in ("I", "E"):
        free[side] = [c for c in cylinders if on_base_circle(events, side, (crank - at[c]) % CYCLE, margin)]
    return free["I"], free["E"]


def one_turn_through(
    order, events, after_opening=AFTER_EXHAUST_OPENING, before_closing=BEFORE_INTAKE_CLOSING, margin=0.0
):
    """Exhaust-opening / intake-closing rule: [(engine angle, cylinder, side)] in order over 720 degrees.

    Exhaust just begins to open: set that cylinder's intake. Intake nearly closed: set its exhaust. Refused by name when
    the cam is so long that a valve would not stand on its base circle there.
    """
    at = phases(order)
    moments = (("I", events.exhaust[0] + after_opening), ("E", events.intake[1] - before_closing))
    for side, local in moments:
        if not on_base_circle(events, side, local, margin):
            raise plain.MethodRefused(
                "setting_method_refused",
                "With this cam the rule would set a valve on its lobe: set each cylinder at its own firing point.",
                {"valve": side},
            )
    listed = [((at[c] + local) % CYCLE, c, side) for c in order for side, local in moments]
    return plain.in_order(listed, key=lambda item: (item[0], item[1], item[2]))


def two_positions(order, events, margin=MARGIN):
    """Two crank positions, 0 and 360: [(angle, cylinder, side)], each valve once; refused when they miss a valve."""
    listed = []
    for crank in (0.0, 360.0):
        intake, exhaust = valves_at(order, crank, events, margin)
        listed.extend([(crank, c, "I") for c in intake] + [(crank, c, "E") for c in exhaust])
    seen = {}
    first_time = [v for v in listed if seen.setdefault((v[1], v[2]), v[0]) == v[0]]
    if len(seen) < 2 * len(order):
        missing = [str(c) + s for c in plain.in_order(order) for s in ("I", "E") if (c, s) not in seen]
        raise plain.MethodRefused(
            "setting_method_refused",
            "Two crank positions do not reach every valve with this cam: set one valve at a time instead.",
            {"missing": missing},
        )
    return first_time


def own_firing_tdc(order, events, margin=0.0):
    """Both valves of every cylinder at its own firing TDC: [(angle, cylinder, side)]; refused on a very long cam."""
    for side in ("I", "E"):
        if not on_base_circle(events, side, 0.0, margin):
            raise plain.MethodRefused(
                "setting_method_refused",
                "By these seat figures a valve is on its lobe at firing top dead centre: look at the cam card again.",
                {"valve": side},
            )
    at = phases(order)
    return [(at[c], c, side) for c in order for side in ("I", "E")]
