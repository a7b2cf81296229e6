"""How far a joint is, from what the book says of it: which pass is next, who tightened it, what has to be dealt with.

What happened later counts: a pass taken anew makes the passes after it open again, and so does a fastener that moved
under the second person's wrench.
"""

from . import joint

WRONG = tuple([word for word, _ in joint.WRONG])
DEALT = tuple([word for word, _ in joint.DEALT])


def latest(bench, place):
    """The entry on which a place rests; None without one, and outside a book."""
    found = bench.at(place)
    return found.entries[-1] if found is not None and found.entries else None


def after(bench, place, other):
    """Whether what stands at a place came after what stands at another one; False where one is missing."""
    one, two = bench.at(place), bench.at(other)
    return bool(one and two and one.rank and two.rank and two.rank < one.rank)


class Progress:
    """`at`: index of the next pass, as many as there are passes when the joint is tight; `done`: numbers of the
    fasteners that this pass has reached, in turn."""

    def __init__(self, bench, one, passes, turn):
        self.at, self.done = _next_pass(bench, one, passes, turn)
        self.tight = self.at == len(passes)
        self.of = len(passes)


def _next_pass(bench, one, passes, turn):
    since, last = _begun_again(bench, one), _last_again(bench, one)
    for at, each in enumerate(passes):
        found = bench.at(each.place)
        if found is None or _is_older(found, since) or (at == len(passes) - 1 and _is_older(found, last)):
            return at, []
        reached = reached_by(found.typed["text"], turn)
        if len(reached) < len(turn):
            return at, reached
        since = found.rank
    return len(passes), list(turn)


def _is_older(found, rank):
    return rank is not None and found.rank is not None and found.rank < rank


def reached_by(text, turn):
    """Numbers that a pass has reached: all, or up to the one that was tightened last."""
    if text == joint.ALL:
        return list(turn)
    return list(turn[: turn.index(text) + 1]) if text in turn else []


def _begun_again(bench, one):
    """When a fastener moved under the second person's wrench: all are tightened anew."""
    check = bench.at(one.place("check"))
    return check.rank if check is not None and check.typed["text"] == joint.MOVED else None


def _last_again(bench, one):
    """When a fastener of a joint tightened by torque was last dealt with: the last pass goes over all of them again."""
    if bench.text("method") != joint.TORQUE:
        return None
    dealt = [bench.at(one.felt(number)) for number in one.numbers]
    ranks = [found.rank for found in dealt if found and found.rank and found.typed["text"] in DEALT]
    return max(ranks) if ranks else None


def wrong(bench, one):
    """(number, what it did) of the fasteners that felt wrong and were not dealt with yet."""
    found = [(number, bench.text(one.felt(number))) for number in one.numbers]
    return [(number, word) for number, word in found if word in WRONG]


def doers(bench, passes):
    """Persons who tightened the joint as it is: {person: True}, from the pass that was begun last."""
    first = bench.at(passes[0].place)
    found = {}
    for each in passes:
        at = bench.at(each.place)
        for entry in () if at is None else at.entries:
            if first is None or first.rank is None or entry is at.entries[-1] or not entry.rank < first.rank:
                found[entry.person] = True
    return found


def started(bench, one):
    """Whether any pass of the joint stands in the book."""
    return any(bench.at(one.place(name)) is not None for name in joint.EARLIER + (joint.FINAL,))


def click_fits(bench):
    """Whether a click proves anything here: plain torque on fasteners that are used again."""
    return bench.text("method") == joint.TORQUE and bench.text("reuse") == joint.REUSABLE


def wants_retorque(bench):
    """Composition gaskets creep: gone over again, but never a joint turned by an angle or a single-use fastener."""
    return bench.text("gasket") == "composition" and click_fits(bench)
