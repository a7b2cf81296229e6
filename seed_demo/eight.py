"""A second V8, heads on for good, pushrods in: one final mark off the middle of its stem, two valves still to mark."""

from seed_demo import v8
from seed_demo.script import Build, Reading, Stretch, count, final_mark, found_at_once, typed, words
from seed_demo.shop import INCH_POUNDS, JONAS, ROSA, TORQUE_WRENCH

ENGINE = v8.ENGINE | {
    "timing_cover_bolts": count(8),
    "oil_pan_bolts": count(18),
    "intake_bolts": count(12),
}
CARD = v8.CARD | {"id": "card-mains-eight"}

MARKED = ("1I", "1E", "7I", "7E", "2I", "2E")
PUSHROD = (
    words("method", "two_contacts"),
    words("springs", "yes"),
    words("gasket", "yes"),
    words("caps", "none"),
    words("count", "both"),
    Reading("base", v8.inch("6.800")),
    *(one for valve in MARKED for one in found_at_once(valve, "0.577", "0.173 0.174 0.173 0.173 0.157 0.189")),
    Reading("ball", v8.inch("0.3125")),
    Reading("flat", v8.inch("0.100")),
    words("basis", "overall"),
    words("changes", "no"),
)
HEADS = (
    *v8.HEADS,
    *[Reading(f"H2.{name}", typed("all"), TORQUE_WRENCH, pulls=10) for name in ("pass1", "pass2", "final")],
)
SEEN = (words("H1.check", "each_clicked"), words("H2.check", "each_clicked"))
#: 7.500 in over complete balls is what a caliper reads as 7.484 in over their flats.
LOW = "Its tip looks lower than those beside it."
FINAL = (
    words("springs", "yes"),
    *final_mark("1I", "7.484", "0.155", "0.188"),
    *final_mark("1E", "7.484", "0.158", "0.190"),
    *final_mark("7I", "7.483", "0.154", "0.187"),
    *final_mark("7E", "7.484", "0.188", "0.222", LOW),
)


def small_joint(gasket: str, torque: str) -> tuple[Reading, ...]:
    """All that is asked before the first pull of a cover's bolts."""
    return (
        words("method", "torque"),
        words("reuse", "reusable"),
        words("gasket_part", gasket),
        words("faces", "yes"),
        Reading("setting", typed(torque, "lbf*in")),
        words("source", "Gasket sheet, side one"),
        words("card_lubricant", "oil"),
        words("lubricant", "same"),
        words("adapter", "straight"),
        Reading("wrench", typed("Torque wrench 30 to 250 in-lb, TW-07"), INCH_POUNDS, pulls=0),
    )


TIMING_COVER = (
    *small_joint("timing cover gasket of the lower set", "106"),
    Reading("TC.pass1", typed("all"), INCH_POUNDS, pulls=8),
)
OIL_PAN = small_joint("one-piece pan gasket", "106")

BUILD = Build(
    job="R-109",
    title="V8, iron block, circle track",
    note="Heads on for good. Two valves of the right bank still to be marked.",
    phone="Phone at stand 4",
    age_hours=120,
    engine=ENGINE,
    card=CARD,
    work=(
        Stretch("pushrod_length", JONAS, PUSHROD, signed=""),
        Stretch("head_bolts", JONAS, HEADS),
        Stretch("head_bolts", ROSA, SEEN),
        Stretch("timing_cover_bolts", ROSA, TIMING_COVER),
        Stretch("oil_pan_bolts", ROSA, OIL_PAN),
        Stretch("final_marks", JONAS, FINAL),
    ),
)
