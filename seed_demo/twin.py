"""The four's twin, a short block on the stand: two of its rods pulled and read again, the third measured loose."""

from seed_demo import four
from seed_demo.script import Build, Reading, Stretch, words
from seed_demo.shop import JONAS, ROSA, STRETCH_GAUGE

inch = four.inch
ENGINE = four.ENGINE | {"rod_bolt_method": "stretch"}
CARD = {
    "id": "card-rod-bolts-four",
    "version": 1,
    "title": "Rod bolt sheet",
    "rows": [{"key": "rod_bolt_stretch", "low": inch("0.0058"), "high": inch("0.0065")}],
}


def bolts(rod: int, what: str, *sizes: str) -> list[Reading]:
    """The same read at both bolts of a rod."""
    return [Reading(f"RF{rod}.{what}{bolt}", inch(size), STRETCH_GAUGE) for bolt, size in enumerate(sizes, 1)]


RODS = (
    words("bolts", "new"),
    words("source", "Rod bolt sheet, side one"),
    words("card_lubricant", "the bolt maker's paste"),
    words("lubricant", "same"),
    *bolts(1, "free", "1.6002", "1.6004"),
    *bolts(1, "stretch", "0.0061", "0.0060"),
    *bolts(2, "free", "1.6001", "1.6003"),
    *bolts(2, "stretch", "0.0062", "0.0061"),
    *bolts(3, "free", "1.6004", "1.6002"),
)
#: Read by the second person, who did not see the first readings.
AGAIN = (*bolts(1, "second", "0.0061", "0.0061"), *bolts(2, "second", "0.0062", "0.0061"))

BUILD = Build(
    job="K-061",
    title="In-line four, spare short block",
    note="Twin of K-058: crank in, rods next.",
    phone="Phone at stand 3",
    age_hours=80,
    engine=ENGINE,
    card=CARD,
    work=(Stretch("rod_bolts", JONAS, RODS), Stretch("rod_bolts", ROSA, AGAIN)),
)
