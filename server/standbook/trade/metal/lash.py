"""Solid lash: cold from hot, what a turn does, and what other head metal does. Lengths in mm.

Derived: lever geometry of the rocker and linear expansion; the cold corrections are rows of the limits table.
"""

from ..geometry.preload import PUSHROD_END, STUD_NUT


def cold(hot, correction):
    """Lash to set cold: the hot figure of the card plus the correction for the metals of block and heads."""
    return hot + correction


def change(adjuster, turns, pitch, ratio):
    """Lash change at the valve for the turns of an adjuster, by its place (`geometry.preload` names them)."""
    if adjuster == STUD_NUT:
        return change_by_stud_nut(turns, pitch, ratio)
    if adjuster == PUSHROD_END:
        return change_by_pushrod_screw(turns, pitch, ratio)
    return change_by_valve_screw(turns, pitch)


def change_by_stud_nut(turns, pitch, ratio):
    """Lash change at the valve when a stud nut is turned: the pivot moves by turns times pitch."""
    return turns * pitch * (1.0 + ratio)


def change_by_pushrod_screw(turns, pitch, ratio):
    """Lash change at the valve for a screw at the pushrod end."""
    return turns * pitch * ratio


def change_by_valve_screw(turns, pitch):
    """Lash change at the valve for a screw at the valve end."""
    return turns * pitch


def head_metal_effect(ratio, pivot_height, seat_height, new_expansion, old_expansion, rise):
    """More lash hot with the new head metal: (1+R) times the pivot's extra rise, less the seat's; from the deck."""
    extra = (new_expansion - old_expansion) * rise
    return (1.0 + ratio) * pivot_height * extra - seat_height * extra


def growth(ratio, pivot_height, seat_height, expansion_difference, rise):
    """(growth of the head beside the pushrod up to the pivot, what that makes at the lash) from cold to hot."""
    head = pivot_height * expansion_difference * rise
    return head, head_metal_effect(ratio, pivot_height, seat_height, expansion_difference, 0.0, rise)
