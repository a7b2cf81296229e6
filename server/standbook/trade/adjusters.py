"""The adjusters of a valve train as a step asks for them: where they sit, their thread, and what their turns do.

Lengths in mm, turns as they are counted. The formulas stand in `geometry.preload` and `metal.lash`.
"""

from .geometry import preload
from .metal import lash
from .plain import number_text
from .work import Finding, Place

FIXED = "fixed"
#: choice -> the adjuster's place on the rocker
PLACES = {"stud_nut": preload.STUD_NUT, "pushrod_end": preload.PUSHROD_END, "valve_end": preload.VALVE_END}
TURNED = (
    ("stud_nut", "Nut on the rocker stud"),
    ("pushrod_end", "Screw at the pushrod end of the rocker"),
    ("valve_end", "Screw at the valve end of the rocker"),
)
CHOICES = TURNED + ((FIXED, "None: not adjustable"),)
#: Threads of adjusters, pitch in mm: unified ones by their threads per inch, metric ones by their pitch.
_THREADS = (
    ("t16", "16 threads per inch", 25.4 / 16),
    ("t18", "18 threads per inch", 25.4 / 18),
    ("t20", "20 threads per inch", 25.4 / 20),
    ("t24", "24 threads per inch", 25.4 / 24),
    ("t28", "28 threads per inch", 25.4 / 28),
    ("m075", "0.75 mm pitch", 0.75),
    ("m100", "1.0 mm pitch", 1.0),
    ("m125", "1.25 mm pitch", 1.25),
    ("m150", "1.5 mm pitch", 1.5),
)
THREADS = tuple([(thread, words) for thread, words, _ in _THREADS])
PITCHES = {thread: pitch for thread, _, pitch in _THREADS}
#: Rockers that cannot have an adjuster there (common practice).
NOT_THERE = {
    "shaft": ("stud_nut", "A rocker on a shaft has no stud and no nut: look at the adjuster again."),
    "stamped": ("pushrod_end", "A rocker on a stud is set by its nut: look at the adjuster again."),
    "roller_stud": ("pushrod_end", "A rocker on a stud is set by its nut: look at the adjuster again."),
}
#: A hand counts turns by the eighth (common practice).
COUNTED = 8
FINEST = 32


def places(required, choices):
    """The two questions that turns rest on."""
    return [
        Place(
            "adjuster", "Where the rocker is adjusted", "adjuster", kind="choice", required=required, choices=choices
        ),
        Place("thread", "Thread of the adjuster", "thread", kind="choice", required=required, choices=THREADS),
    ]


class Adjuster:
    """The adjuster as declared on a bench; `missing`: words of what is not known yet."""

    def __init__(self, bench):
        self.kind = bench.text("adjuster")
        self.thread = bench.text("thread")
        self.ratio = bench.engine.number("rocker_ratio")
        wanted = [("where the rocker is adjusted", self.kind), ("the thread of the adjuster", self.thread)]
        if self.kind != "pushrod_end":
            wanted.append((bench.engine.words("rocker_ratio"), self.ratio))
        self.missing = tuple([words for words, found in wanted if found is None])

    def depth(self, turns, thread=None):
        """How deep so many turns past zero lash push the plunger."""
        return preload.depth(PLACES[self.kind], turns, PITCHES[thread or self.thread], self.ratio)

    def turns(self, depth):
        """Turns past zero lash for a depth."""
        return preload.turns_for(depth, PITCHES[self.thread], self.ratio, PLACES[self.kind])

    def lash(self, turns):
        """By how much so many turns change the lash at the valve."""
        return lash.change(PLACES[self.kind], turns, PITCHES[self.thread], self.ratio)

    def likelier_thread(self, turns, depth, play):
        """Words of another thread that explains a measured depth better than the declared one; None where none does."""
        near = abs(self.depth(turns) - depth)
        if near <= play:
            return None
        best = None
        for thread, words, _ in _THREADS:
            off = abs(self.depth(turns, thread) - depth)
            if off < near and off <= play:
                best, near = words, off
        return best


def countable(low, high, adjuster):
    """Turns that a hand can count, nearest to the middle of a band of depths and inside it; None where none are."""
    ends = [adjuster.turns(low), adjuster.turns(high)]
    parts = COUNTED
    while parts <= FINEST:
        middle = (ends[0] + ends[1]) / 2.0 * parts
        for count in (int(middle + 0.5), int(middle)):
            if count > 0 and ends[0] <= count / parts <= ends[1]:
                return count / parts
        parts *= 2
    return None


def turn_words(turns):
    """1/2 turn, 3/8 turn, 1 1/8 turns: as a hand counts them."""
    parts = FINEST
    count = int(turns * parts + 0.5)
    whole, rest = count // parts, count % parts
    while rest and rest % 2 == 0:
        rest, parts = rest // 2, parts // 2
    pieces = ([str(whole)] if whole or not rest else []) + ([str(rest) + "/" + str(parts)] if rest else [])
    return " ".join(pieces) + (" turns" if turns > 1.0 else " turn")


def turns_text(turns):
    """The same as it is typed: 0.5."""
    decimals = 0
    while decimals < 5 and abs(turns * 10**decimals - int(turns * 10**decimals + 0.5)) > 1e-9:
        decimals += 1
    return number_text(turns, decimals)


def findings(bench):
    """An adjuster that these rockers cannot have."""
    never = NOT_THERE.get(bench.engine.text("rocker_kind"))
    if never is None or bench.text("adjuster") != never[0]:
        return []
    return [Finding("adjuster", "WARN", never[1], "adjuster")]
