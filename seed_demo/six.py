"""An in-line six in millimetres that turns counter-clockwise: bottom end well on, lash half set."""

from seed_demo.script import Build, Reading, Stretch, bearing, count, housing, journal, row, typed, words
from seed_demo.shop import BORE_GAUGE_MM, FEELERS, MICROMETER_MM, ROSA, THERMOMETER


def mm(text: str) -> dict[str, str | None]:
    return typed(text, "mm")


def degrees(text: str) -> dict[str, str | None]:
    return typed(text, "deg")


ENGINE = {
    "cylinders": count(6),
    "layout": "inline",
    "numbering": [[1, 2, 3, 4, 5, 6]],
    "firing_order": [1, 5, 3, 6, 2, 4],
    "rotation": "ccw_from_front",
    "bore": mm("88.00"),
    "stroke": mm("86.00"),
    "rod_length": mm("141.00"),
    "main_bearings": count(7),
    "main_journal_diameter": mm("60.000"),
    "rod_journal_diameter": mm("50.000"),
    "main_housing_diameter": mm("64.000"),
    "block_material": "iron",
    "head_material": "iron",
    "lifter_kind": "flat_solid",
    "rocker_kind": "shaft",
    "rocker_ratio": typed("1.5", "1"),
    "rocker_tip": "pad",
    "stem_tip_intake": mm("7.95"),
    "stem_tip_exhaust": mm("7.95"),
    "stem_chamfer": mm("0.40"),
    "checker_pitch": mm("1.00"),
    "max_speed": typed("6800", "rpm"),
    "lash_hot_intake": mm("0.25"),
    "lash_hot_exhaust": mm("0.30"),
    "intake_opens": degrees("22"),
    "intake_closes": degrees("58"),
    "exhaust_opens": degrees("60"),
    "exhaust_closes": degrees("24"),
    "seat_basis": mm("0.40"),
}
CARD = {
    "id": "card-mains-six",
    "version": 2,
    "title": "Main bearing sheet, six",
    "rows": [
        {"key": "main_housing_size", "low": mm("64.000"), "high": mm("64.019")},
        {"key": "main_clearance", "low": mm("0.040"), "high": mm("0.070")},
    ],
}

ROOM = (
    Reading("temperature", typed("20", "degC"), THERMOMETER),
    Reading("room_temperature", typed("20", "degC"), THERMOMETER),
)
HOUSINGS = (
    words("caps_tight", "yes"),
    *ROOM,
    *row(housing(1), "64.010 64.006 64.008 64.012 64.008 64.010", "mm", BORE_GAUGE_MM),
    *row(housing(2), "64.012 64.008 64.006 64.010 64.006 64.008", "mm", BORE_GAUGE_MM),
    *row(housing(3), "64.008 64.006 64.010 64.012 64.008 64.006", "mm", BORE_GAUGE_MM),
    *row(housing(4), "64.010 64.008 64.006 64.012 64.010 64.008", "mm", BORE_GAUGE_MM),
    *row(housing(5), "64.012 64.010 64.008 64.010 64.006 64.006", "mm", BORE_GAUGE_MM),
    *row(housing(6), "64.008 64.006 64.008 64.010 64.008 64.006", "mm", BORE_GAUGE_MM),
    *row(housing(7), "64.010 64.008 64.010 64.008 64.006 64.008", "mm", BORE_GAUGE_MM),
    words("gauge_zero", "yes"),
)
JOURNALS = (
    *ROOM,
    *row(journal("MJ1"), "59.994 59.992 59.994 59.992", "mm", MICROMETER_MM),
    *row(journal("MJ2"), "59.992 59.990 59.992 59.992", "mm", MICROMETER_MM),
    *row(journal("MJ3"), "59.994 59.994 59.992 59.994", "mm", MICROMETER_MM),
    *row(journal("MJ4"), "59.990 59.992 59.992 59.990", "mm", MICROMETER_MM),
    *row(journal("MJ5"), "59.992 59.994 59.994 59.992", "mm", MICROMETER_MM),
    *row(journal("MJ6"), "59.994 59.992 59.992 59.994", "mm", MICROMETER_MM),
    *row(journal("MJ7"), "59.992 59.992 59.990 59.992", "mm", MICROMETER_MM),
    *row(journal("RJ1"), "49.992 49.990 49.992 49.992", "mm", MICROMETER_MM),
    *row(journal("RJ2"), "49.992 49.992 49.990 49.992", "mm", MICROMETER_MM),
    *row(journal("RJ3"), "49.992 49.994 49.992 49.992", "mm", MICROMETER_MM),
)
CLEARANCES = (
    words("method", "two_instruments"),
    words("caps_tight", "yes"),
    *ROOM,
    *row(bearing(1), "60.048 60.064 60.062", "mm", BORE_GAUGE_MM),
    *row(bearing(2), "60.046 60.060 60.062", "mm", BORE_GAUGE_MM),
    *row(bearing(3), "60.050 60.066 60.064", "mm", BORE_GAUGE_MM),
)
LASH = (
    words("state", "cold"),
    words("method", "one_by_one"),
    *row(("1I.lash", "5E.lash", "3I.lash", "4E.lash", "5I.lash"), "0.30 0.35 0.30 0.35 0.30", "mm", FEELERS),
)
# Sliding pads on a shaft: the first go, its mark too near the pivot.
PUSHROD = (
    words("method", "centre"),
    words("springs", "yes"),
    words("gasket", "yes"),
    words("caps", "none"),
    words("count", "caliper"),
    Reading("1I.lift", mm("9.20")),
    Reading("1I.1.shim", mm("0")),
    Reading("1I.1.cal", mm("215.40")),
    *(Reading(f"1I.1.{edge}", mm(text)) for edge, text in (("inner", "2.60"), ("outer", "4.70"))),
    *(Reading(f"1I.1.{edge}2", mm(text)) for edge, text in (("inner", "2.65"), ("outer", "4.70"))),
)

BUILD = Build(
    job="H-204",
    title="In-line six, hill climb",
    note="Turns counter-clockwise: check the starter.",
    phone="Phone at stand 2",
    age_hours=28,
    engine=ENGINE,
    card=CARD,
    work=(
        Stretch("main_housings", ROSA, HOUSINGS, signed=""),
        Stretch("journals", ROSA, JOURNALS),
        Stretch("main_bearing_clearance", ROSA, CLEARANCES),
        Stretch("pushrod_length", ROSA, PUSHROD),
        Stretch("solid_lash", ROSA, LASH),
    ),
)
