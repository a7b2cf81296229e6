"""Strength of fasteners by grade. Diameters in mm, stresses in kPa.

Published: SAE J429 (ksi) and ISO 898-1 (MPa), minimum values. Performance rod bolts and head studs are stronger than
any row: only their spec card tells.
"""

from .. import plain, quantity

KSI = ("psi", 1000.0)
MPA = ("MPa", 1.0)
#: A size on the line belongs to the smaller sizes: both are compared in whole millionths of a millimetre.
PLACES = 6
#: grade, above and up to which diameter (unit), proof, yield and tensile strength (unit, how many of it).
ROWS = (
    ("SAE J429 grade 2", "0", "0.75", "in", 55.0, 57.0, 74.0, KSI),
    ("SAE J429 grade 2", "0.75", "1.5", "in", 33.0, 36.0, 60.0, KSI),
    ("SAE J429 grade 5", "0", "1", "in", 85.0, 92.0, 120.0, KSI),
    ("SAE J429 grade 5", "1", "1.5", "in", 74.0, 81.0, 105.0, KSI),
    ("SAE J429 grade 8", "0", "1.5", "in", 120.0, 130.0, 150.0, KSI),
    ("ISO 898-1 class 8.8", "0", "16", "mm", 580.0, 640.0, 800.0, MPA),
    ("ISO 898-1 class 8.8", "16", "39", "mm", 600.0, 660.0, 830.0, MPA),
    ("ISO 898-1 class 9.8", "0", "16", "mm", 650.0, 720.0, 900.0, MPA),
    ("ISO 898-1 class 10.9", "0", "39", "mm", 830.0, 940.0, 1040.0, MPA),
    ("ISO 898-1 class 12.9", "0", "39", "mm", 970.0, 1100.0, 1220.0, MPA),
)


def _size(end, unit):
    return plain.round_away(quantity.to_canonical("length", plain.parse_number(end), unit), PLACES)


def strength(grade, diameter):
    """{"proof", "yield", "tensile"} of a grade named as its standard has it; None for another grade or size."""
    for name, above, up_to, unit, proof, yielding, tensile, stress in ROWS:
        if name == grade and _size(above, unit) < plain.round_away(diameter, PLACES) <= _size(up_to, unit):
            kpa = [quantity.to_canonical("pressure", x * stress[1], stress[0]) for x in (proof, yielding, tensile)]
            return {"proof": kpa[0], "yield": kpa[1], "tensile": kpa[2]}
    return None
