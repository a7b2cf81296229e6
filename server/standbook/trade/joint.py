"""A bolted joint: its fasteners as they lie, the places of its record, and the order in which they are tightened.

How it is tightened stands once for all joints of a step (both heads are tightened by one card); what was done stands
with each joint. A fastener is named by its number in the pattern, not by its turn. The maker's drawing wins; without
one the order is worked out centre-out (common practice). The front of the engine is where x is smallest.
"""

from . import plain, quantity
from .geometry import joint_patterns
from .work import Group, Place

TORQUE, ANGLE = "torque", "angle"
METHODS = ((TORQUE, "Torque"), (ANGLE, "Torque, then an angle"))
REUSABLE, NEW, USED = "reusable", "single_use_new", "single_use_used"
REUSE = (
    (REUSABLE, "Used again, the card allows it"),
    (NEW, "Single use, new"),
    (USED, "Single use, used before"),
)
SAME, OTHER, DRY = "same", "other", "dry"
LUBRICANTS = ((SAME, "The one that the card names"), (OTHER, "Another one"), (DRY, "None, dry"))
STRAIGHT, OFFSET = "straight", "offset"
ADAPTERS = ((STRAIGHT, "None, or straight on the drive's axis"), (OFFSET, "Crow-foot or other offset"))
KEPT_TURNING, CLICKED_EARLY, CREAKED = "kept_turning", "clicked_early", "creaked"
AGAIN, REPLACED = "tightened_again", "replaced"
WRONG = ((KEPT_TURNING, "kept turning"), (CLICKED_EARLY, "clicked early"), (CREAKED, "creaked"))
DEALT = ((AGAIN, "loosened, cleaned, tightened again"), (REPLACED, "replaced by a new one"))
CLICKED, MOVED, WATCHED, MARKS = "each_clicked", "one_moved", "angle_watched", "marks_read"
SEEN_BY = (
    (CLICKED, "Every one clicked and none moved"),
    (MOVED, "One moved"),
    (WATCHED, "Watched the angle while it was turned"),
    (MARKS, "Read the angle by the paint marks, head to part"),
)
ADAPTER_SIZES = ("wrench_length", "adapter_length", "adapter_angle")
#: Places that are only asked after a certain answer.
CALLED_FOR = ("angle",) + ADAPTER_SIZES
#: The text of a pass that was closed with one tap; else it holds the number of the fastener that was tightened last.
ALL = "all"
#: Passes before the last one that a card may have.
EARLIER = ("pass1", "pass2", "pass3", "pass4", "pass5")
FINAL = "final"


class Fastener:
    """One bolt, stud or nut. `ring`: the inner ones of a joint are tightened before the outer ones."""

    def __init__(self, number, words, x, y, ring=0):
        self.number = str(number)
        self.words = words
        self.x = x
        self.y = y
        self.ring = ring


class Joint:
    """One joint of a step. `sides`: what lies above and below it where it is drawn, front to the left."""

    def __init__(self, id, words, fasteners, sides=("", ""), before_final=()):
        self.id = id
        self.words = words
        self.fasteners = fasteners
        self.sides = sides
        #: Places that are answered before the last pass.
        self.before_final = before_final
        self.numbers = [one.number for one in fasteners]

    def place(self, what):
        return self.id + "." + what

    def felt(self, number):
        return self.id + ".bolt" + number + ".felt"

    def fastener_words(self, number):
        return self.fasteners[self.numbers.index(number)].words


def setup_group(more=()):
    """How the joints of a step are tightened; `more`: places that only this sort of joint has."""
    places = [
        Place("method", "Tightened by", "method", kind="choice", choices=METHODS),
        Place("reuse", "The fasteners", "fasteners", kind="choice", choices=REUSE),
    ]
    return Group("how", "How it is tightened", places + list(more) + _setting() + _lubricant() + _pattern() + _tool())


def _setting():
    return [
        Place(
            "setting",
            "Torque of the card, the snug torque where an angle follows",
            "torque",
            kind="torque",
            set_or_found="set",
            gauges=(),
        ),
        Place(
            "angle",
            "Angle after the snug torque",
            "angle",
            kind="angle",
            required=False,
            set_or_found="set",
            gauges=(),
        ),
        Place("source", "Where the setting comes from: card and page, or the lead", "source", kind="text"),
        Place(
            "steps",
            "Steps of the card",
            "steps",
            kind="text",
            required=False,
            hint="Only where the card has its own: 30 50 65, or shares of the torque such as 0.5 0.75 1.",
        ),
    ]  # fmt: skip


def _lubricant():
    return [
        Place("card_lubricant", "Lubricant as the card names it", "lubricant of the card", kind="text"),
        Place(
            "lubricant",
            "Lubricant on threads and under the heads",
            "lubricant used",
            kind="choice",
            choices=LUBRICANTS,
        ),
    ]


def _pattern():
    return [
        Place(
            "order",
            "Order of the card",
            "order",
            kind="text",
            required=False,
            hint="The fasteners in the order of the card: 3 8 2 9. Without it: from the middle outward.",
        ),
        Place(
            "points",
            "Where the fasteners lie",
            "coordinates",
            kind="text",
            required=False,
            hint="By number, from the front and across: 0 0; 4.4 0; 8.8 0. Inches, or add mm.",
        ),
    ]


def _tool():
    return [
        Place("adapter", "Adapter on the wrench", "adapter", kind="choice", choices=ADAPTERS),
        Place(
            "wrench_length",
            "Wrench, drive centre to hand centre",
            "wrench length",
            required=False,
            set_or_found="set",
            gauges=(),
        ),
        Place(
            "adapter_length",
            "Adapter, drive centre to fastener centre",
            "adapter length",
            required=False,
            set_or_found="set",
            gauges=(),
        ),
        Place(
            "adapter_angle",
            "Angle between adapter and wrench",
            "adapter angle",
            kind="angle",
            required=False,
            set_or_found="set",
            hint="0 = straight out, 90 = square.",
            gauges=(),
        ),
        Place("wrench", "Torque wrench", "wrench", kind="wrench"),
    ]


def joint_group(joint, more=()):
    """What was done at one joint: passes, what felt wrong, the second person. `more`: places of this sort of joint."""
    said = ((ALL, "all " + str(len(joint.numbers))),)
    said += tuple([(one.number, "up to " + one.words) for one in joint.fasteners])
    passes = [
        Place(
            joint.place(name),
            joint.words + ", pass " + str(at + 1),
            "pass " + str(at + 1),
            kind="text",
            required=False,
            said=said,
        )
        for at, name in enumerate(EARLIER)
    ]
    last = Place(joint.place(FINAL), joint.words + ", last pass", "last pass", kind="text", said=said)
    check = Place(
        joint.place("check"), joint.words + ", second person", "second person", kind="choice", choices=SEEN_BY
    )
    felt = [
        Place(
            joint.felt(one.number),
            joint.words + ", " + one.words + ", something felt wrong",
            one.words + ", felt wrong",
            kind="choice",
            required=False,
            choices=WRONG + DEALT,
        )
        for one in joint.fasteners
    ]
    return Group(joint.id, joint.words, passes + list(more) + [last, check] + felt)


# --- the order ---


def in_turn(bench, joint):
    """Numbers of the fasteners in the order in which they are tightened. Raises Refusal with what to do."""
    typed = bench.text("order")
    if typed is not None:
        return read_order(typed, joint.numbers)
    at = positions(bench, joint)
    ordered = []
    for ring in plain.in_order({one.ring for one in joint.fasteners}):
        points = [(one.number, at[one.number][0], at[one.number][1]) for one in joint.fasteners if one.ring == ring]
        rows = {plain.round_away(y / joint_patterns.LEVEL, 0) for _, _, y in points}
        ordered.extend(joint_patterns.centre_out(points, "rows" if len(rows) <= 2 else "round"))
    return ordered


def positions(bench, joint):
    """Number -> (x, y) in mm as typed, else as the joint is usually drawn: evenly spaced. Raises Refusal."""
    typed = bench.text("points")
    if typed is None:
        return {one.number: (one.x, one.y) for one in joint.fasteners}
    return read_points(typed, joint.numbers)


def read_order(text, numbers):
    """The card's order. Raises Refusal unless it names each fastener once."""
    named = _words(text.replace("-", " "))
    if plain.in_order(named) != plain.in_order(numbers):
        raise plain.Refusal(
            "order_wrong",
            "The card's order must name each fastener from 1 to " + str(len(numbers)) + " once: type it again.",
            {},
        )
    return named


def read_points(text, numbers):
    """Coordinates by number in mm. Raises Refusal unless there is one pair for each fastener."""
    unit = "mm" if "mm" in text else "in"
    pairs = [_words(pair) for pair in text.replace("mm", " ").replace("in", " ").split(";")]
    pairs = [pair for pair in pairs if pair]
    if len(pairs) != len(numbers) or not all(len(pair) == 2 for pair in pairs):
        raise plain.Refusal(
            "points_wrong", "Give one pair of figures for each of the " + str(len(numbers)) + " fasteners.", {}
        )
    found = {}
    for number, pair in zip(numbers, pairs):
        x, y = [quantity.to_canonical("length", plain.parse_number(figure), unit) for figure in pair]
        found[number] = (x, y)
    return found


def _words(text):
    return [word for word in text.replace(",", " ").replace("/", " ").split(" ") if word]
