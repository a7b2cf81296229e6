"""A 90 degree V8 that turns clockwise: mains measured, one clearance too wide, one reading with swapped digits."""

from seed_demo.script import Build, Reading, Stretch, bearing, count, go, housing, journal, row, typed, words
from seed_demo.shop import BORE_GAUGE, JONAS, MICROMETER, ROSA, THERMOMETER, TORQUE_WRENCH


def inch(text: str) -> dict[str, str | None]:
    return typed(text, "in")


def degrees(text: str) -> dict[str, str | None]:
    return typed(text, "deg")


ENGINE = {
    "cylinders": count(8),
    "layout": "vee",
    "bank_angle": degrees("90"),
    "numbering": [[1, 3, 5, 7], [2, 4, 6, 8]],
    "rod_journals": [[1, 2], [3, 4], [5, 6], [7, 8]],
    "firing_order": [1, 8, 4, 3, 6, 5, 7, 2],
    "rotation": "cw_from_front",
    "bore": inch("4.080"),
    "stroke": inch("3.600"),
    "rod_length": inch("6.050"),
    "deck_height": inch("9.100"),
    "compression_height": inch("1.240"),
    "main_bearings": count(5),
    "main_journal_diameter": inch("2.5500"),
    "rod_journal_diameter": inch("2.1000"),
    "main_housing_diameter": inch("2.7400"),
    "block_material": "iron",
    "head_material": "aluminium",
    "rod_material": "steel",
    "head_bolt_rows": [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10]],
    "main_bolts": count(4),
    "lifter_kind": "flat_solid",
    "rocker_kind": "roller_stud",
    "rocker_ratio": typed("1.6", "1"),
    "rocker_arm": inch("1.520"),
    "stem_tip_intake": inch("0.3415"),
    "stem_tip_exhaust": inch("0.3415"),
    "stem_chamfer": inch("0.020"),
    "checker_pitch": inch("0.050"),
    "max_speed": typed("7200", "rpm"),
    "lash_hot_intake": inch("0.022"),
    "lash_hot_exhaust": inch("0.024"),
    "intake_opens": degrees("34"),
    "intake_closes": degrees("70"),
    "exhaust_opens": degrees("74"),
    "exhaust_closes": degrees("38"),
    "seat_basis": inch("0.020"),
}
CARD = {
    "id": "card-mains-v8",
    "version": 1,
    "title": "Main bearing sheet",
    "rows": [
        {"key": "main_housing_size", "low": inch("2.7402"), "high": inch("2.7412")},
        {"key": "main_clearance", "low": inch("0.0020"), "high": inch("0.0030")},
    ],
}

ROOM = (
    Reading("temperature", typed("69", "degF"), THERMOMETER),
    Reading("room_temperature", typed("68", "degF"), THERMOMETER),
)
HOUSINGS = (
    words("caps_tight", "yes"),
    words("lubricant", "moly paste from the stud maker's jar"),
    *ROOM,
    *row(housing(1), "2.7408 2.7406 2.7407 2.7407 2.7406 2.7408", "in", BORE_GAUGE),
    *row(housing(2), "2.7409 2.7407 2.7406 2.7408 2.7406 2.7407", "in", BORE_GAUGE),
    *row(housing(3), "2.7407 2.7405 2.7406 2.7408 2.7406 2.7405", "in", BORE_GAUGE),
    *row(housing(4), "2.7408 2.7407 2.7405 2.7409 2.7408 2.7406", "in", BORE_GAUGE),
    *row(housing(5), "2.7406 2.7405 2.7407 2.7407 2.7406 2.7408", "in", BORE_GAUGE),
    words("gauge_zero", "yes"),
)
JOURNALS = (
    *ROOM,
    *row(journal("MJ1"), "2.5498 2.5497 2.5498 2.5497", "in", MICROMETER),
    # Typed wrong and replaced at once: it stays in the book, struck out.
    Reading("MJ2.F.0", inch("2.5947"), MICROMETER, key="slip of the thumb"),
    Reading("MJ2.F.0", inch("2.5497"), MICROMETER, why="typed_wrong", corrects="slip of the thumb"),
    *row(journal("MJ2"), "- 2.5496 2.5498 2.5497", "in", MICROMETER),
    *row(journal("MJ3"), "2.5496 2.5496 2.5496 2.5495", "in", MICROMETER),
    *row(journal("MJ4"), "2.5498 2.5498 2.5497 2.5498", "in", MICROMETER),
    *row(journal("MJ5"), "2.5497 2.5496 2.5497 2.5497", "in", MICROMETER),
    *row(journal("RJ1"), "2.0997 2.0996 2.0997 2.0997", "in", MICROMETER),
    *row(journal("RJ2"), "2.0998 2.0997 2.0997 2.0996", "in", MICROMETER),
    # Two digits swapped (2.0997 was meant) and not answered yet; work stopped here, rod journal 4 is untouched.
    *row(journal("RJ3"), "2.9097 - - -", "in", MICROMETER),
)
TWICE = "Measured twice, gauge zeroed anew in between."
CLEARANCES = (
    words("method", "zeroed_on_journal"),
    words("caps_tight", "yes"),
    *ROOM,
    words("gauge_zero", "yes"),
    *row(bearing(1), "0.0025 0.0030 0.0031", "in", BORE_GAUGE),
    *row(bearing(2), "0.0026 0.0031 0.0032", "in", BORE_GAUGE),
    words("gauge_zero", "yes"),
    # Wider than the sheet allows: it waits for the lead.
    Reading("MB3.V", inch("0.0036"), BORE_GAUGE, note=TWICE, confirmed=("out",)),
    *row(bearing(3), "- 0.0042 0.0041", "in", BORE_GAUGE),
    *row(bearing(4), "0.0024 0.0030 -", "in", BORE_GAUGE),
)
# Two goes of the first valve: still one turn too short, the third is to come.
PUSHROD = (
    words("method", "two_contacts"),
    words("springs", "yes"),
    words("gasket", "yes"),
    words("caps", "none"),
    words("count", "both"),
    Reading("base", inch("6.800")),
    Reading("1I.lift", inch("0.577")),
    *go("1I.1", 12, "7.4005", "0.160 0.184 0.159 0.184 0.160 0.201"),
    *go("1I.2", 13, "7.4505", "0.167 0.179 0.166 0.180 0.167 0.201"),
)

# Heads on for the trial: the left one is tight and seen by Rosa, on the right one a bolt creaked and waits.
HEADS = (
    words("method", "torque"),
    words("reuse", "reusable"),
    words("gasket", "layered_steel"),
    Reading("setting", typed("65", "lbf*ft")),
    words("source", "Head stud sheet, side two"),
    words("card_lubricant", "moly paste from the stud maker's jar"),
    words("lubricant", "same"),
    words("adapter", "straight"),
    Reading("wrench", typed("Torque wrench 20 to 100 ft-lb, TW-03"), TORQUE_WRENCH, pulls=0),
    *[Reading(f"H1.{name}", typed("all"), TORQUE_WRENCH, pulls=10) for name in ("pass1", "pass2", "final")],
)
RIGHT_HEAD = (
    Reading("H2.pass1", typed("all"), TORQUE_WRENCH, pulls=10),
    *[Reading("H2.pass2", typed(number), TORQUE_WRENCH) for number in ("3", "8", "2")],
    Reading("H2.bolt7.felt", typed("creaked"), note="Creaked from the half on."),
)

BUILD = Build(
    job="R-117",
    title="V8, iron block, road course",
    note="Second freshening. Customer brings the intake in two weeks.",
    phone="Phone at stand 1",
    age_hours=50,
    engine=ENGINE,
    card=CARD,
    work=(
        Stretch("main_housings", JONAS, HOUSINGS, signed="Line looks good."),
        Stretch("journals", JONAS, JOURNALS),
        Stretch("main_bearing_clearance", JONAS, CLEARANCES),
        Stretch("head_bolts", JONAS, HEADS),
        Stretch("head_bolts", ROSA, (words("H1.check", "each_clicked"),)),
        Stretch("head_bolts", JONAS, RIGHT_HEAD),
        Stretch("pushrod_length", JONAS, PUSHROD),
    ),
)
