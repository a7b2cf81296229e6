"""The engine specification: its fields, their plausible windows, and what must fit together.

Windows are common practice: outside one there is a question and the entry is refused with the range, since every later
limit and expectation comes from here. Lengths are canonical (mm) once read.
"""

from . import plain, quantity
from .geometry import firing

LAYOUTS = (("inline", "In line"), ("vee", "V"), ("flat", "Flat, opposed"))
ROTATIONS = (
    ("cw_from_front", "Clockwise, seen from the front"),
    ("ccw_from_front", "Counter-clockwise, seen from the front"),
)
METALS = (("iron", "Iron"), ("aluminium", "Aluminium"))
ROD_METALS = (("steel", "Steel"), ("aluminium", "Aluminium"), ("titanium", "Titanium"))
LIFTERS = (
    ("flat_solid", "Flat tappet, solid"),
    ("roller_solid", "Roller, solid"),
    ("flat_hydraulic", "Flat tappet, hydraulic"),
    ("roller_hydraulic", "Roller, hydraulic"),
)
ROD_BOLTS = (("stretch", "Tightened by stretch"), ("torque", "Tightened by torque or angle"))
ROCKERS = (
    ("stamped", "Stamped, on studs"),
    ("roller_stud", "Roller tip, on studs"),
    ("pedestal", "On pedestals"),
    ("shaft", "On a shaft"),
)
TIPS = (("roller", "Roller tip"), ("pad", "Sliding pad"))
SEATED = {"rocker_kind": ["pedestal", "shaft"]}
ON_STUDS = {"rocker_kind": ["stamped", "roller_stud"]}
RODS = {"rocker_kind": [kind for kind, _ in ROCKERS]}
BANKED = {"layout": ["vee", "flat"]}
SMALL_JOINT = "How many, where the book is to have its tightening."
SOLID = {"lifter_kind": ["flat_solid", "roller_solid"]}
HYDRAULIC = {"lifter_kind": ["flat_hydraulic", "roller_hydraulic"]}
TRAVELS = (
    ("full", "Ordinary travel"),
    ("short", "Short travel"),
)

# field, words, kind, required, window (low, high, unit), choices, when, help
# fmt: off
_FIELDS = (
    ("cylinders", "Cylinders", "count", True, ("1", "16", "1"), (), {}, "How many."),
    ("layout", "Layout", "choice", True, None, LAYOUTS, {}, ""),
    ("bank_angle", "Bank angle", "angle", True, ("0", "180", "deg"), (), BANKED,
     "Angle between the banks: 60\u00b0 and 90\u00b0 are common for a V."),
    ("numbering", "Cylinder numbers, front to rear", "table", True, None, (), {},
     "One row per bank, left bank first, as seen from the rear looking forward."),
    ("rod_journals", "Cylinders on each rod journal", "pairs", True, None, (), BANKED,
     "From the front; in each pair the same bank first. One cylinder alone where none is shared."),
    ("split_angle", "Split between the pins of one rod journal", "angle", False, ("0", "60", "deg"), (), BANKED,
     "Only where the two pins of a rod journal are offset."),
    ("firing_order", "Firing order", "order", True, None, (), {}, "As on the cam card: each cylinder once."),
    ("rotation", "Rotation", "choice", True, None, ROTATIONS, {}, ""),
    ("bore", "Bore", "length", True, ("2.5", "5.0", "in"), (), {}, "Nominal, after boring."),
    ("stroke", "Stroke", "length", True, ("2.0", "5.5", "in"), (), {}, ""),
    ("rod_length", "Rod length, centre to centre", "length", False, ("4.5", "8.0", "in"), (), {}, ""),
    ("deck_height", "Deck height", "length", False, ("7", "11", "in"), (), {}, "Crank centre to deck."),
    ("compression_height", "Compression height of the piston", "length", False, ("0.9", "2.2", "in"), (), {},
     "Wrist-pin centre to flat crown."),
    ("pin_offset", "Wrist-pin offset", "length", False, ("-0.100", "0.100", "in"), (), {},
     "Toward the major thrust side is negative."),
    ("main_bearings", "Main bearings", "count", True, ("2", "17", "1"), (), {}, "How many mains."),
    ("main_journal_diameter", "Main journal, nominal", "length", True, ("1.5", "4.0", "in"), (), {},
     "After grinding; every clearance per inch rests on it."),
    ("rod_journal_diameter", "Rod journal, nominal", "length", True, ("1.2", "3.5", "in"), (), {}, ""),
    ("main_housing_diameter", "Main housing bore, nominal", "length", True, ("1.6", "4.3", "in"), (), {},
     "Without shells, caps torqued."),
    ("block_material", "Block", "choice", True, None, METALS, {}, ""),
    ("head_material", "Heads", "choice", True, None, METALS, {}, ""),
    ("rod_material", "Rods", "choice", False, None, ROD_METALS, {}, ""),
    ("head_bolt_rows", "Head bolts by number, as they lie on a head", "table", False, None, (), {},
     "One row for each row of bolts, front to rear, the row at the exhaust first: 1 2 3 4 5, then 6 7 8 9 10."),
    ("rod_bolt_method", "Rod bolts", "choice", False, None, ROD_BOLTS, {}, "As the bolt maker's card has it."),
    ("main_bolts", "Bolts on each main cap", "count", False, ("2", "6", "1"), (), {}, "2, 4, or 6 with cross bolts."),
    ("timing_cover_bolts", "Bolts of the timing cover", "count", False, ("4", "24", "1"), (), {}, SMALL_JOINT),
    ("oil_pan_bolts", "Bolts of the oil pan", "count", False, ("4", "24", "1"), (), {}, SMALL_JOINT),
    ("intake_bolts", "Bolts of the intake manifold", "count", False, ("4", "24", "1"), (), {}, SMALL_JOINT),
    ("lifter_kind", "Lifters", "choice", True, None, LIFTERS, {}, ""),
    ("rocker_kind", "Rockers", "choice", False, None, ROCKERS, {}, ""),
    ("rocker_ratio", "Rocker ratio, nominal", "ratio", False, ("1.4", "2.0", "1"), (), {}, ""),
    ("rocker_tip", "Rocker tips", "choice", False, None, TIPS, SEATED, ""),
    ("rocker_arm", "Rocker arm, pivot to roller centre", "length", False, ("0.8", "2.5", "in"), (), RODS,
     "In the plane in which the rocker moves."),
    ("stud_lean", "Lean of the rocker studs from the valve stems", "angle", False, ("-20", "20", "deg"), (), ON_STUDS,
     "In the rocker's plane; + where the upper end leans outboard, away from the pivot."),
    ("stem_tip_intake", "Valve stem tip, intake", "length", False, ("0.15", "0.60", "in"), (), RODS,
     "Diameter; with lash caps that of the cap's flat."),
    ("stem_tip_exhaust", "Valve stem tip, exhaust", "length", False, ("0.15", "0.60", "in"), (), RODS,
     "Diameter; with lash caps that of the cap's flat."),
    ("stem_chamfer", "Chamfer of the stem tip", "length", False, ("0", "0.080", "in"), (), RODS,
     "Its width; the mark keeps clear of it."),
    ("checker_pitch", "Checking pushrod, one turn", "length", False, ("0.020", "0.080", "in"), (), RODS,
     "0.050 in for 20 threads an inch."),
    ("max_speed", "Intended maximum speed", "speed", False, ("3000", "12000", "rpm"), (), {}, ""),
    ("lash_hot_intake", "Hot lash, intake", "length", True, ("0.004", "0.035", "in"), (), SOLID,
     "From the cam card."),
    ("lash_hot_exhaust", "Hot lash, exhaust", "length", True, ("0.004", "0.035", "in"), (), SOLID,
     "From the cam card."),
    ("lash_cold_intake", "Cold lash, intake", "length", False, ("0.004", "0.035", "in"), (), SOLID,
     "Where the cam card gives one: it goes before the usual correction for the metals."),
    ("lash_cold_exhaust", "Cold lash, exhaust", "length", False, ("0.004", "0.035", "in"), (), SOLID,
     "Where the cam card gives one."),
    ("lifter_travel", "Travel of the lifters", "choice", False, None, TRAVELS, HYDRAULIC,
     "From the lifter card; its preload goes before any usual one."),
    ("lifter_total_travel", "Total travel of a lifter's plunger", "length", False, ("0.010", "0.300", "in"), (),
     HYDRAULIC, "From the lifter card: 0.120 to 0.200 in is common."),
    ("bleed_down", "Time until a full lifter has bled down", "time", False, ("1", "120", "min"), (), HYDRAULIC,
     "From the lifter card: minutes, up to half an hour."),
    ("intake_opens", "Intake opens before top dead centre", "angle", True, ("-40", "120", "deg"), (), {},
     "Seat figure of the cam card, never at 0.050."),
    ("intake_closes", "Intake closes after bottom dead centre", "angle", True, ("0", "140", "deg"), (), {},
     "Seat figure."),
    ("exhaust_opens", "Exhaust opens before bottom dead centre", "angle", True, ("0", "140", "deg"), (), {},
     "Seat figure."),
    ("exhaust_closes", "Exhaust closes after top dead centre", "angle", True, ("-40", "120", "deg"), (), {},
     "Seat figure."),
    ("seat_basis", "Lobe rise of the seat figures", "length", True, ("0.001", "0.030", "in"), (), {},
     "0.004 or 0.006 in; solid cams often 0.015 to 0.020 in."),
)
# fmt: on

NUMERIC = ("count", "angle", "length", "ratio", "speed", "time")


class Field:
    """One field of the specification, as declared above."""

    def __init__(self, row):
        self.field, self.words, self.kind, self.required, self.window, self.choices, self.when, self.help = row

    def as_dict(self):
        units = list(quantity.PICKED.get(self.kind, ()))
        return {
            "field": self.field, "words": self.words, "kind": self.kind, "required": self.required,
            "unit": units[0] if units else None, "units": units, "help": self.help, "when": self.when,
            "choices": [{"id": c, "words": w} for c, w in self.choices],
        }  # fmt: skip

    def asked(self, engine):
        """Whether this engine has the field at all."""
        return all(engine.text(name) in self.when[name] for name in plain.keys_in_order(self.when))

    def read(self, value):
        """The value as the brain uses it (canonical float, int, text or list). Raises Refusal with what to do."""
        if self.kind in NUMERIC:
            return self._number(value)
        if self.kind == "choice":
            return self._choice(value)
        if self.kind == "order":
            order = _whole_numbers(value)
            firing.check_order(order)
            return order
        rows = [_whole_numbers(row) for row in (value if type(value) is list else [value])]
        if self.kind == "pairs" and not all(len(row) in (1, 2) for row in rows):
            raise plain.Refusal("engine_value_broken", "Name one or two cylinders for each rod journal.", {})
        return rows

    def shown(self, value):
        """The value in words with both units."""
        if self.kind in NUMERIC:
            return quantity.show_typed(self.kind, value)["words"]
        if self.kind == "choice":
            return dict(self.choices)[value]
        if self.kind == "order":
            return "-".join([str(n) for n in value])
        return "; ".join([" ".join([str(n) for n in row]) for row in value])

    def _number(self, value):
        if type(value) is not dict or "text" not in value:
            raise plain.Refusal(
                "engine_value_broken", self.words + ": type a number with its unit.", {"field": self.field}
            )
        number = quantity.typed_value(self.kind, {"text": value["text"], "unit": value.get("unit")})
        low, high, unit = self.window
        ends = [quantity.to_canonical(self.kind, plain.parse_number(end), unit) for end in (low, high)]
        if not ends[0] - 1e-9 <= number <= ends[1] + 1e-9:
            band = low + " to " + quantity.with_unit(high, unit)
            raise plain.Refusal(
                "engine_value_implausible",
                self.words + " should lie between " + band + ": check the number and its unit.",
                {"field": self.field, "low": low, "high": high, "unit": unit},
            )
        if self.kind == "count":
            return self._count(number)
        return number

    def _count(self, number):
        if number != int(number):
            raise plain.Refusal("engine_value_broken", self.words + ": a whole number, please.", {"field": self.field})
        return int(number)

    def _choice(self, value):
        if value not in [c for c, _ in self.choices]:
            raise plain.Refusal("engine_value_broken", self.words + ": choose one of the list.", {"field": self.field})
        return value


def _whole_numbers(value):
    if type(value) not in (list, tuple) or not all(type(n) is int for n in value) or not value:
        raise plain.Refusal("engine_value_broken", "Give cylinder numbers, in order.", {})
    return list(value)


FIELDS = [Field(row) for row in _FIELDS]
BY_NAME = {field.field: field for field in FIELDS}


class Engine:
    """What the book knows of an engine: raw values by field, read on demand.

    A field that is missing, broken, or not this engine's (a bank angle of an in-line engine) is None.
    """

    def __init__(self, raw=None):
        self._raw = raw or {}
        self._read = {}
        self._once = {}

    def once(self, make):
        """What `make(engine)` gives, worked out once: an engine's values never change."""
        if make not in self._once:
            self._once[make] = make(self)
        return self._once[make]

    def get(self, name):
        """The value as the brain uses it, None when it is missing or unreadable."""
        if name not in self._read:
            self._read[name] = self._reading(name)
        return self._read[name]

    def _reading(self, name):
        if name not in self._raw or name not in BY_NAME:
            return None
        if not BY_NAME[name].asked(self):
            return None
        try:
            return BY_NAME[name].read(self._raw[name])
        except plain.Refusal:
            return None

    number = get
    text = get

    def words(self, name):
        return BY_NAME[name].words if name in BY_NAME else name

    def usual_unit(self, name):
        """The unit in which a length of this engine was given: the shop thinks in it."""
        value = self._raw.get(name)
        return value.get("unit") if type(value) is dict else None

    def cylinder_numbers(self):
        """Cylinder numbers in order."""
        return list(range(1, (self.get("cylinders") or 0) + 1))

    def rod_journal_count(self):
        """Shared pairs where they are given, else one rod journal per cylinder."""
        pairs = self.get("rod_journals")
        return len(pairs) if pairs else (self.get("cylinders") or 0)

    def problems(self):
        """What is missing or does not fit together: [{"field", "message"}]."""
        found = []
        for field in FIELDS:
            found.extend(self._field_problems(field))
        return found if found else _fit_problems(self)

    def _field_problems(self, field):
        if not field.asked(self):
            return []
        if self._raw.get(field.field) in (None, "", []):
            return [_problem(field.field, field.words + " is missing.")] if field.required else []
        try:
            field.read(self._raw[field.field])
        except plain.Refusal as refusal:
            return [_problem(field.field, self._miscounted(refusal.details.get("order")) or refusal.message)]
        return []

    def _miscounted(self, order):
        """What to say of a firing order of another length than the engine; None where the length is right."""
        count = self.get("cylinders")
        if not order or not count or len(order) == count:
            return None
        return _order_words(len(order), count)


def _order_words(numbers, count):
    return "The firing order has " + str(numbers) + " numbers, and the engine " + str(count) + " cylinders: each once."


def _problem(field, message):
    return {"field": field, "message": message}


def _fit_problems(engine):
    count = engine.get("cylinders")
    found = []
    numbers = len(engine.get("firing_order"))
    if numbers != count:
        found.append(_problem("firing_order", _order_words(numbers, count)))
    named = [n for bank in engine.get("numbering") for n in bank]
    if plain.in_order(named) != engine.cylinder_numbers():
        found.append(_problem("numbering", "The numbering must name each cylinder from 1 to " + str(count) + " once."))
    if len(engine.get("numbering")) != (1 if engine.get("layout") == "inline" else 2):
        found.append(
            _problem("numbering", "Give one row of cylinder numbers per bank: one in line, two for a V or flat.")
        )
    found.extend(_size_problems(engine))
    return found if found else _journal_problems(engine)


def _size_problems(engine):
    found = []
    bolts = [n for row in engine.get("head_bolt_rows") or [] for n in row]
    if plain.in_order(bolts) != list(range(1, len(bolts) + 1)):
        found.append(_problem("head_bolt_rows", "The head bolts must be numbered from 1 on, each number once."))
    rod, stroke = engine.get("rod_length"), engine.get("stroke")
    if rod is not None and rod <= 1.3 * stroke:
        found.append(
            _problem("rod_length", "The rod must be longer than 1.3 times the stroke: was one typed for the other?")
        )
    if engine.get("main_housing_diameter") <= engine.get("main_journal_diameter"):
        found.append(
            _problem("main_housing_diameter", "The housing must be larger than its journal: were the two swapped?")
        )
    return found


def _journal_problems(engine):
    pairs = engine.get("rod_journals")
    if not pairs:
        return []
    named = [n for pair in pairs for n in pair]
    if plain.in_order(named) != engine.cylinder_numbers():
        return [_problem("rod_journals", "Every cylinder belongs to one rod journal.")]
    shared = [pair for pair in pairs if len(pair) == 2]
    angle = engine.get("bank_angle") + (engine.get("split_angle") or 0.0)
    if not shared or firing.shared_journals(engine.get("firing_order"), shared, angle)["possible"]:
        return []
    return [
        _problem(
            "firing_order",
            "This crank cannot fire evenly in this order: compare it with the cam card and the rod journals.",
        )
    ]


def derived(engine):
    """What follows from the specification, for the eye: [{"words", "shown"}]."""
    order = engine.get("firing_order")
    if not order:
        return []
    at = firing.phases(order)
    lines = [
        _line(
            "Firing top dead centre",
            ", ".join([str(c) + " at " + plain.number_text(at[c], 0) + "\u00b0" for c in order]),
        )
    ]
    pairs = firing.companions(order)
    if pairs:
        lines.append(_line("Companions", ", ".join([str(a) + " and " + str(b) for a, b in pairs])))
    return lines


def _line(words, shown):
    return {"words": words, "shown": shown}
