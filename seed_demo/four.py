"""An in-line four with hydraulic lifters: pushrods marked, fitted and signed, five of eight valves set to preload."""

from seed_demo.script import Build, Reading, Stretch, count, final_mark, found_at_once, typed, words
from seed_demo.shop import JONAS


def inch(text: str) -> dict[str, str | None]:
    return typed(text, "in")


def degrees(text: str) -> dict[str, str | None]:
    return typed(text, "deg")


ENGINE = {
    "cylinders": count(4),
    "layout": "inline",
    "numbering": [[1, 2, 3, 4]],
    "firing_order": [1, 3, 4, 2],
    "rotation": "cw_from_front",
    "bore": inch("3.540"),
    "stroke": inch("3.380"),
    "main_bearings": count(5),
    "main_journal_diameter": inch("2.2480"),
    "rod_journal_diameter": inch("1.9980"),
    "main_housing_diameter": inch("2.4120"),
    "block_material": "iron",
    "head_material": "aluminium",
    "lifter_kind": "roller_hydraulic",
    "rocker_kind": "roller_stud",
    "rocker_ratio": typed("1.6", "1"),
    "rocker_arm": inch("1.520"),
    "stem_tip_intake": inch("0.3415"),
    "stem_tip_exhaust": inch("0.3415"),
    "stem_chamfer": inch("0.020"),
    "checker_pitch": inch("0.050"),
    "max_speed": typed("6000", "rpm"),
    "lifter_travel": "full",
    "lifter_total_travel": inch("0.150"),
    "bleed_down": typed("20", "min"),
    "intake_opens": degrees("22"),
    "intake_closes": degrees("62"),
    "exhaust_opens": degrees("64"),
    "exhaust_closes": degrees("20"),
    "seat_basis": inch("0.006"),
}
CARD = {
    "id": "card-lifters-four",
    "version": 1,
    "title": "Lifter card",
    "rows": [{"key": "preload_depth", "low": inch("0.030"), "high": inch("0.060")}],
}


#: Both ends of the bank, as an in-line engine is marked.
MARKED = ("1I", "1E", "4I", "4E")
PUSHROD = (
    words("method", "two_contacts"),
    words("springs", "yes"),
    words("gasket", "yes"),
    words("caps", "none"),
    words("lifter", "locked"),
    words("count", "both"),
    Reading("base", inch("6.800")),
    *(one for valve in MARKED for one in found_at_once(valve, "0.498", "0.172 0.173 0.172 0.172 0.157 0.188")),
    Reading("ball", inch("0.3125")),
    Reading("flat", inch("0.100")),
    words("basis", "overall"),
    words("changes", "no"),
    Reading("preload", inch("0.045")),
)
#: 7.550 in over complete balls is what a caliper reads as 7.534 in over their flats.
FINAL = (
    words("springs", "yes"),
    *final_mark("1I", "7.534", "0.154", "0.187"),
    *final_mark("1E", "7.533", "0.156", "0.188"),
    *final_mark("4I", "7.534", "0.156", "0.188"),
    *final_mark("4E", "7.534", "0.153", "0.187"),
)


def turned(valve: str, turns: str, *answered: str) -> Reading:
    return Reading(f"{valve}.turns", typed(turns, "turn"), confirmed=answered)


#: In the order of this engine and its cam: exhaust 3 comes first.
PRELOAD = (
    words("state", "full"),
    words("method", "one_by_one"),
    words("adjuster", "stud_nut"),
    words("thread", "t24"),
    words("zero", "up_down"),
    turned("3E", "0.625"),
    # Asked whether the first one had bled down before the crank was turned: it had.
    turned("1I", "0.625", "finding.early.1I.turns"),
    *(turned(valve, "0.625") for valve in ("4E", "3I", "2E")),
)

BUILD = Build(
    job="K-058",
    title="In-line four, pickup",
    note="Lifters were run before: they are full of oil.",
    phone="Phone at stand 1",
    age_hours=6,
    engine=ENGINE,
    card=CARD,
    work=(
        Stretch("pushrod_length", JONAS, PUSHROD, signed=""),
        Stretch("final_marks", JONAS, FINAL, signed="As on the mock-up."),
        Stretch("hydraulic_preload", JONAS, PRELOAD),
    ),
)
