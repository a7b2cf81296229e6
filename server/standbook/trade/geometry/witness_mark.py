"""The witness mark as it is read off the stem: both edges from the inboard edge of the stem. Lengths in mm.

Derived: geometry. Under a lash cap the cap's flat takes the stem's place.
"""


def width(inner_edge, outer_edge):
    """Width of the mark."""
    return outer_edge - inner_edge


def offset(inner_edge, outer_edge, stem_diameter):
    """Middle of the mark from the stem's centre, + outboard."""
    return (inner_edge + outer_edge) / 2.0 - stem_diameter / 2.0


def edge_margin(inner_edge, outer_edge, stem_diameter, chamfer):
    """The smaller distance of the mark's edges from the edge of the usable flat."""
    return min(inner_edge - chamfer, stem_diameter - chamfer - outer_edge)
