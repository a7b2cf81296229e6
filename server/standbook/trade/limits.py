"""The table of default limits: the only place where such numbers stand.

A row is a default of the performance trade (common practice), never a law: the part maker's spec card for that very
part replaces it, then the lead's job sheet. Only rows with the role `limit` give a verdict.

Columns: id, key, role, when, acts_on, per, low, high, unit, kind, set_or_found, severity, words.
`when`: conditions of `CONDITIONS`, all must hold. `per`: `low` and `high` are first multiplied by this engine size and
rounded to 0.0001 in, as a card would print them. Numbers are text: they are what is shown and what is frozen.
"""

from . import plain, quantity

SOURCE = "common practice"
COLUMNS = (
    "id", "key", "role", "when", "acts_on", "per", "low", "high", "unit", "kind", "set_or_found", "severity", "words",
)  # fmt: skip

# fmt: off
ROWS = (
    ("LIM-001", "reading_difference_in_steps", "limit", (), "reading_difference_in_steps", "", "", "2", "1",
     "quality", "found", "WARN", "two independent readings, in steps of the gauge"),
    ("LIM-002", "part_to_room_temperature", "limit", (), "part_to_room_temperature", "", "-5", "5", "ddegF",
     "quality", "found", "WARN", "part against room temperature"),
    ("LIM-003", "micrometer_turn_closeness", "window", (), "micrometer_turn_closeness", "", "", "0.003", "in",
     "info", "found", "WARN", "how near to a whole thimble turn"),
    ("LIM-004", "wrong_unit_ratio_closeness", "window", (), "wrong_unit_ratio_closeness", "", "", "2", "%",
     "info", "found", "WARN", "how near to a unit's ratio"),
    ("LIM-005", "dial_readings_since_zero", "count", (), "dial_readings_since_zero", "", "", "10", "1",
     "quality", "found", "WARN", "dial-gauge readings since the last zero check"),
    ("LIM-006", "minutes_since_zero", "limit", (), "minutes_since_zero", "", "", "30", "min",
     "quality", "found", "WARN", "minutes since the last zero check"),
    ("LIM-007", "gauge_step_share_of_band", "limit", ("found value",), "gauge_step_share_of_band", "", "", "0.25", "1",
     "quality", "found", "WARN", "gauge step as a share of the band, found values"),
    ("LIM-008", "gauge_step_share_of_band", "limit", ("set value",), "gauge_step_share_of_band", "", "", "0.5", "1",
     "quality", "set", "WARN", "gauge step as a share of the band, set values"),
    ("LIM-009", "identical_values_in_a_row", "count", ("found value",), "identical_values_in_a_row", "", "", "4", "1",
     "info", "found", "NOTE", "places in a row with one identical found value"),
    ("LIM-022", "wrench_setting_share_of_range", "limit", (), "wrench_setting_share_of_range", "", "20", "100", "%",
     "quality", "set", "WARN", "torque wrench within its range, share of its highest torque (published: ISO 6789)"),
    ("LIM-029", "rod_bolt_permanent_stretch", "limit", (), "rod_bolt_permanent_stretch", "", "", "0.0010", "in",
     "hurts", "found", "STOP", "rod-bolt permanent stretch"),
    ("LIM-031", "rod_bolt_stretch_spread", "limit", (), "rod_bolt_stretch_spread", "", "", "0.0005", "in",
     "quality", "set", "WARN", "spread of rod-bolt stretch in one engine"),
    ("LIM-032", "rod_bolt_torque_off_mates", "count", (), "rod_bolt_torque_off_mates", "", "-15", "15", "%",
     "quality", "found", "WARN", "torque for the same stretch against its mates"),
    ("LIM-043", "main_housing_out_of_round", "limit", (), "main_housing_out_of_round", "", "", "0.0005", "in",
     "quality", "found", "WARN", "housing out-of-round"),
    ("LIM-044", "main_housing_taper", "limit", (), "main_housing_taper", "", "", "0.0003", "in",
     "quality", "found", "WARN", "housing taper, front to rear"),
    ("LIM-045", "main_alignment_neighbours", "limit", (), "main_alignment_neighbours", "", "", "0.0005", "in",
     "quality", "found", "WARN", "main line, between neighbours"),
    ("LIM-046", "main_alignment_overall", "limit", (), "main_alignment_overall", "", "", "0.0010", "in",
     "quality", "found", "WARN", "main line, over all"),
    ("LIM-047", "journal_out_of_round", "limit", (), "journal_out_of_round", "", "", "0.0002", "in",
     "quality", "found", "WARN", "journal out-of-round"),
    ("LIM-048", "journal_form_stop", "limit", (), "journal_out_of_round;journal_taper", "", "", "0.0005", "in",
     "quality", "found", "STOP", "journal form, reject"),
    ("LIM-049", "journal_taper", "limit", (), "journal_taper", "", "", "0.0002", "in",
     "quality", "found", "WARN", "journal taper"),
    ("LIM-050", "journal_size_spread", "limit", (), "journal_size_spread", "", "", "0.0005", "in",
     "quality", "found", "WARN", "spread of journal sizes"),
    ("LIM-051", "main_clearance", "limit", ("iron block",), "main_clearance", "main_journal_diameter", "0.0008",
     "0.0012", "in", "quality", "found", "WARN", "main clearance for an iron block, per inch of journal"),
    ("LIM-052", "main_clearance", "limit", ("aluminium block",), "main_clearance", "main_journal_diameter", "0.0006",
     "0.0010", "in", "quality", "found", "WARN", "main clearance for an aluminium block, cold, per inch of journal"),
    ("LIM-053", "main_clearance_spread", "limit", (), "main_clearance_spread", "", "", "0.0005", "in",
     "quality", "found", "WARN", "spread of main clearances"),
    ("LIM-054", "bearing_eccentricity", "limit", (), "bearing_eccentricity", "", "0.0003", "0.0010", "in",
     "quality", "found", "WARN", "bearing eccentricity"),
    ("LIM-055", "plastic_strip_off_gauge", "limit", (), "plastic_strip_off_gauge", "", "", "0.0005", "in",
     "quality", "found", "WARN", "plastic strip against the gauge; repeat both"),
    ("LIM-161", "retainer_to_rocker", "limit", (), "retainer_to_rocker", "", "0.040", "", "in",
     "hurts", "found", "STOP", "retainer to rocker"),
    ("LIM-168", "mark_width_note", "window", (), "mark_width_note", "", "", "0.060", "in",
     "quality", "found", "NOTE", "width of a roller tip's mark, or twice the narrowest possible"),
    ("LIM-169", "mark_width", "limit", (), "mark_width", "", "", "0.080", "in",
     "quality", "found", "WARN", "width of a roller tip's mark"),
    ("LIM-170", "mark_width_pad", "limit", (), "mark_width_pad", "", "", "0.120", "in",
     "quality", "found", "WARN", "width of a sliding pad's mark"),
    ("LIM-171", "edge_margin", "limit", (), "edge_margin", "", "0.040", "", "in",
     "hurts", "found", "WARN", "mark to the edge of the usable flat"),
    ("LIM-172", "edge_margin_stop", "limit", (), "edge_margin", "", "0.030", "", "in",
     "hurts", "found", "STOP", "mark to the edge of the usable flat, reject"),
    ("LIM-173", "mark_offset", "limit", (), "mark_offset", "", "-0.030", "0.030", "in",
     "quality", "found", "WARN", "middle of a roller tip's mark"),
    ("LIM-174", "mark_offset_target", "target", (), "mark_offset_target", "", "-0.010", "0.010", "in",
     "info", "found", "NOTE", "middle of a sliding pad's mark, good enough"),
    ("LIM-175", "rocker_slot_clearance", "limit", (), "rocker_slot_clearance;pushrod_hole_clearance", "", "0.040", "",
     "in", "hurts", "found", "STOP", "rocker slot, pushrod hole"),
    ("LIM-176", "pushrod_length_error", "target", (), "pushrod_length_error", "", "-0.025", "0.025", "in",
     "info", "found", "NOTE", "pushrod length, good enough"),
    ("LIM-177", "checker_caliper_off_count", "limit", (), "checker_caliper_off_count", "", "-0.005", "0.005", "in",
     "quality", "found", "WARN", "checking pushrod, caliper against count"),
    ("LIM-178", "effective_ratio_off_nominal", "limit", (), "effective_ratio_off_nominal", "", "-0.08", "0.08", "1",
     "quality", "found", "WARN", "effective ratio from nominal"),
    ("LIM-179", "pushrod_length_step", "factor", (), "pushrod_order_length", "", "0.050", "0.050", "in",
     "info", "set", "NOTE", "length step of pushrods"),
    ("LIM-180", "ideal_length_spread", "limit", (), "ideal_length_spread", "", "", "0.025", "in",
     "quality", "found", "HOLD", "spread of best lengths"),
    ("LIM-181", "intake_exhaust_length_difference", "window", (), "intake_exhaust_length_difference", "", "", "0.050",
     "in", "info", "found", "NOTE", "intake and exhaust apart: two lengths"),
    ("LIM-184", "preload_depth", "limit", ("full-travel lifters",), "preload_depth", "", "0.020", "0.060", "in",
     "quality", "set", "WARN", "hydraulic preload depth"),
    ("LIM-185", "preload_depth", "limit", ("short-travel lifters",), "preload_depth", "", "0.000", "0.010", "in",
     "quality", "set", "WARN", "hydraulic preload depth, short-travel lifters"),
    ("LIM-186", "preload_spread", "limit", (), "preload_spread", "", "", "0.015", "in",
     "quality", "set", "WARN", "spread of preload depths"),
    ("LIM-187", "lifter_total_travel", "window", (), "lifter_total_travel", "", "0.120", "0.200", "in",
     "info", "found", "NOTE", "total travel of a lifter's plunger"),
    ("LIM-188", "lash_off_target", "limit", (), "lash_off_target", "", "-0.001", "0.001", "in",
     "quality", "set", "WARN", "lash from its target at setting"),
    ("LIM-189", "lash_change_one_valve", "limit", (), "lash_change_one_valve", "", "-0.003", "0.003", "in",
     "quality", "found", "WARN", "change of one valve's lash over a heat cycle"),
    ("LIM-190", "lash_change_mean", "limit", (), "lash_change_mean", "", "-0.002", "0.002", "in",
     "quality", "found", "WARN", "mean change of lash over a heat cycle"),
    ("LIM-191", "lash_change_one_valve_stop", "limit", (), "lash_change_one_valve", "", "-0.005", "0.005", "in",
     "hurts", "found", "STOP", "change of one valve's lash over a heat cycle, look at lobe and lifter"),
    ("LIM-192", "cold_lash_addend", "addend", ("iron block", "iron heads"), "lash_target", "", "0.002", "0.002", "in",
     "info", "set", "NOTE", "cold lash against hot, iron block and heads"),
    ("LIM-193", "cold_lash_addend", "addend", ("iron block", "aluminium heads"), "lash_target", "", "-0.006", "-0.006",
     "in", "info", "set", "NOTE", "cold lash against hot, iron block and aluminium heads"),
    ("LIM-194", "cold_lash_addend", "addend", ("aluminium block", "aluminium heads"), "lash_target", "", "-0.012",
     "-0.012", "in", "info", "set", "NOTE", "cold lash against hot, aluminium block and heads"),
    ("LIM-195", "lash_window", "window", (), "lash", "", "0.004", "0.035", "in",
     "info", "set", "WARN", "lash as it can be typed"),
    ("LIM-196", "valve_setting_margin", "limit", (), "valve_setting_margin", "", "25", "", "deg",
     "quality", "set", "WARN", "margin beyond the seat events"),
    ("LIM-501", "seconds_for_each_fastener", "count", (), "seconds_for_each_fastener", "", "2", "", "1",
     "quality", "found", "WARN", "seconds that a pass takes for each fastener, at least"),
    ("LIM-502", "minutes_before_retorque", "count", (), "minutes_before_retorque", "", "10", "", "min",
     "quality", "found", "WARN", "minutes before a composition gasket is gone over again"),
    ("LIM-430", "bleed_down_wait", "window", (), "bleed_down_wait", "", "", "30", "min",
     "info", "set", "WARN", "wait until a lifter full of oil has bled down"),
)
# fmt: on

#: What the calculators ask by and take as their defaults: nothing of a build is judged by these rows, so no build
#: freezes them. A row that a step comes to judge by moves up into the table. The engine's own sizes have their windows
#: in its specification. LIM-025 and 026 belong to a wrench of the shop, whichever engine it is used on (published: ISO
#: 6789:2003, from memory). Columns: id, key, low, high, unit.
# fmt: off
FOR_CALCULATORS = (
    ("LIM-023", "wrench_error", "-4", "4", "%"),
    ("LIM-024", "wrench_error_small", "-6", "6", "%"),
    ("LIM-025", "months_since_wrench_calibration", "", "12", "months"),
    ("LIM-026", "wrench_cycles_since_calibration", "", "5000", "1"),
    ("LIM-028", "tension_share_of_proof", "", "90", "%"),
    ("LIM-135", "compression_ratio_window", "7", "17", "1"),
    ("LIM-211", "outlier_distance_in_mad", "", "3", "1"),
    ("LIM-225", "engine_speed_window", "300", "12000", "rpm"),
    ("LIM-230", "bolt_torque_window", "3", "300", "lbf*ft"),
)
# fmt: on

#: Rows that only a part maker's card can give: without it there is a finding and no verdict.
CARD_ONLY = {
    "main_housing_size": ("in", "quality", "found", "WARN", "housing size for the bearing"),
    "rod_bolt_stretch": ("in", "hurts", "set", "STOP", "rod-bolt stretch"),
}
#: A row "per" a size is rounded as a card would print it.
PER_DECIMALS = 4


#: condition -> (engine field, its value), or which sort of value the row is for.
CONDITIONS = {
    "full-travel lifters": ("lifter_travel", "full"),
    "short-travel lifters": ("lifter_travel", "short"),
    "found value": ("", "found"),
    "set value": ("", "set"),
    "iron block": ("block_material", "iron"),
    "aluminium block": ("block_material", "aluminium"),
    "iron heads": ("head_material", "iron"),
    "aluminium heads": ("head_material", "aluminium"),
}
UNIT_KINDS = {
    "in": "length",
    "mm": "length",
    "deg": "angle",
    "ddegF": "temperature-difference",
    "1": "count",
    "%": "ratio",
    "min": "",
}


def _holds(condition, engine, set_or_found):
    field, wanted = CONDITIONS[condition]
    return (engine.text(field) if field else set_or_found) == wanted


def _is_read(row):
    """Whether this version understands a row; a newer shop's table may hold more."""
    return row["unit"] in UNIT_KINDS and all(condition in CONDITIONS for condition in row["when"])


def as_dicts(rows=ROWS):
    """The rows as dicts by column name."""
    return [dict(zip(COLUMNS, [list(cell) if type(cell) is tuple else cell for cell in row])) for row in rows]


def table_text(rows=ROWS):
    """The table as canonical text: its sha256 is what a build freezes."""
    return plain.to_json({"rows": as_dicts(rows), "card_only": plain.keys_in_order(CARD_ONLY), "source": SOURCE})


class Limits:
    """The limits in force for one build: a table of defaults and the cards that replace rows of it."""

    def __init__(self, rows=None, cards=()):
        given = rows if rows is not None else as_dicts()
        self.rows = [row for row in given if _is_read(row)]
        #: Rows of a newer table that this version cannot judge by.
        self.unread = len(given) - len(self.rows)
        self.cards = list(cards)
        self._acting = _by_what_they_act_on(self.rows)
        self._numbers = {}
        #: What only the maker's card can judge, where no card in force does.
        self.without_card = {key: True for key in CARD_ONLY if not self._card_row(key)}
        #: What is in force on the engine that was asked about last: neither it nor a table or card changes.
        self._engine, self._in_force = None, {}

    def number(self, key, end, set_or_found="found"):
        """One end ("low" or "high") of the first row with this key, as a plain number in the row's own unit."""
        asked = (key, end, set_or_found)
        if asked not in self._numbers:
            self._numbers[asked] = plain.parse_number(self._row(key, set_or_found)[end])
        return self._numbers[asked]

    def _row(self, key, set_or_found):
        row = _first(self.rows, key, set_or_found) or _first(as_dicts(), key, set_or_found)
        if row is None:
            raise plain.Refusal("limit_unknown", "There is no limit row for this: update the app.", {"key": key})
        return row

    def addend(self, key, engine):
        """The addend row whose conditions hold (canonical length), with its words; None when none does."""
        for row in self.rows:
            if row["key"] == key and all(_holds(c, engine, "set") for c in row["when"]):
                return quantity.to_canonical("length", plain.parse_number(row["low"]), row["unit"]), row["words"]
        return None

    def in_force(self, acts_on, engine, set_or_found="found"):
        """Every limit that judges this quantity: the maker's card first, else the rows whose conditions hold.

        The list is kept: nobody changes it.
        """
        if engine is not self._engine:
            self._engine, self._in_force = engine, {}
        asked = (acts_on, set_or_found)
        if asked not in self._in_force:
            self._in_force[asked] = self._judging(acts_on, engine, set_or_found)
        return self._in_force[asked]

    def _judging(self, acts_on, engine, set_or_found):
        found = []
        for row in self._acting.get(acts_on, ()):
            found.extend(self._of_row(row, engine, set_or_found, found))
        if acts_on in CARD_ONLY:
            found.extend(self._card_only(acts_on))
        return found

    def _of_row(self, row, engine, set_or_found, so_far):
        card = self._card_row(row["key"])
        if card:
            known = [limit for limit in so_far if limit["key"] == row["key"]]
            return [] if known else [_from_card(row["key"], card, row)]
        if not all(_holds(c, engine, set_or_found) for c in row["when"]):
            return []
        return [_from_row(row, engine)]

    def _card_only(self, key):
        card = self._card_row(key)
        if not card:
            return []
        unit, kind, _set_or_found, severity, words = CARD_ONLY[key]
        like = {"id": "card", "unit": unit, "kind": kind, "severity": severity, "words": words}
        return [_from_card(key, card, like)]

    def _card_row(self, key):
        for card in reversed(self.cards):
            for row in card["rows"]:
                if row["key"] == key:
                    return card, row
        return None


def card_rows():
    """Limits that a part maker's card can give: [{"key", "words", "unit"}]."""
    rows = [{"key": key, "words": CARD_ONLY[key][4], "unit": "in"} for key in plain.keys_in_order(CARD_ONLY)]
    seen = {}
    for row in as_dicts():
        # A second, harder line for the same quantity is not the card's to move.
        own = row["key"] in row["acts_on"].split(";")
        lengths = row["role"] == "limit" and row["unit"] == "in" and own
        if lengths and row["key"] not in seen:
            seen[row["key"]] = True
            words = row["words"].partition(", per inch")[0].partition(" for an ")[0]
            rows.append({"key": row["key"], "words": words, "unit": "in"})
    return rows


def _by_what_they_act_on(rows):
    """The limits among the rows by each quantity that they judge, in the order of the table."""
    acting = {}
    for row in rows:
        if row["role"] == "limit":
            for acts_on in row["acts_on"].split(";"):
                known = acting.setdefault(acts_on, [])
                if not known or known[-1] is not row:
                    known.append(row)
    return acting


#: Windows of this version's own table that were looked up.
_windows = {}


def window(key):
    """(low, high, unit) of a row by its key, as text; an end may be empty. Raises Refusal for an unknown one."""
    if key not in _windows:
        _windows[key] = _window(key)
    return _windows[key]


def _window(key):
    for _, name, low, high, unit in FOR_CALCULATORS:
        if name == key:
            return low, high, unit
    row = _first(as_dicts(), key, "found")
    if row is None:
        raise plain.Refusal("limit_unknown", "There is no limit row for this: update the app.", {"key": key})
    return row["low"], row["high"], row["unit"]


def highest(key, kind):
    """The upper end of a row by its key, canonical."""
    _, high, unit = window(key)
    return quantity.to_canonical(kind, plain.parse_number(high), unit)


def _first(rows, key, set_or_found):
    for row in rows:
        if row["key"] == key and (not row["when"] or row["set_or_found"] == set_or_found):
            return row
    return None


def _limit(row, key, low, high, unit, source):
    return {
        "id": row["id"], "key": key, "words": row["words"], "low": low, "high": high, "unit": unit, "kind": row["kind"],
        "severity": row["severity"], "source": source, "missing": None, "card": None,
    }  # fmt: skip


def _from_card(key, found, like):
    card, row = found
    ends = [quantity.typed_value("length", row[end]) if row.get(end) else None for end in ("low", "high")]
    unit = (row.get("low") or row["high"])["unit"]
    source = "spec card: " + card["title"] + ", version " + str(card["version"])
    limit = _limit(like, key, ends[0], ends[1], unit, source)
    limit["card"] = card["id"]
    return limit


def _from_row(row, engine):
    limit = _limit(row, row["key"], None, None, row["unit"], "shop default (" + SOURCE + ")")
    size = None
    if row["per"]:
        size = engine.number(row["per"])
        if size is None:
            limit["missing"] = engine.words(row["per"])
            return limit
    for end in ("low", "high"):
        limit[end] = _end(row[end], row["unit"], size)
    return limit


def _end(text, unit, size):
    if text == "":
        return None
    number = plain.parse_number(text)
    if size is not None:
        number = plain.round_away(number * quantity.from_canonical("length", size, unit), PER_DECIMALS)
    return quantity.to_canonical(UNIT_KINDS[unit], number, unit)


TABLE_TEXT = table_text()
TABLE_SHA256 = "13997588e57f3a2f280637531efb4f5b406c7ba0db9ca376b71435c2f3f42599"
