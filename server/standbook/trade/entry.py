"""One entry as the book holds it, what is asked of two, and lists of them in their order.

Not a class of our own: a phone makes one of these in a fifth of the time and half the room. It never changes; who
learns its number is another one.
"""

from collections import namedtuple

from . import plain
from .entries import KINDS

UNSENT = 1
SENT = 0

#: What of an entry's text the book reads, in the order in which a host packs it.
FIELDS = ("id", "device_no", "made_at", "seen", "kind", "step", "place", "why", "person", "device", "body")
#: `seq`: the shop's number, None while it is only on this phone. `rank`: sort key.
Entry = namedtuple("Entry", FIELDS + ("seq", "rank"))  # type: ignore[misc]


def entry_of(data, seq):
    """The entry of a parsed text."""
    said = [data.get(field) for field in FIELDS]
    return Entry(*(said + [seq, rank_of(data["id"], data["device"], data["device_no"], seq)]))


def rank_of(entry_id, device, device_no, seq):
    """Sort key: the shop's order, then own unsent."""
    return (UNSENT, device_no, device, entry_id) if seq is None else (SENT, seq)


def learnt(entry, seq):
    """The same with the shop's number, which settles its place in the order."""
    return Entry(*(entry[:-2] + (seq, rank_of(entry.id, entry.device, entry.device_no, seq))))


def is_known(entry):
    """Whether this version reads the entry's kind and body; what a newer app wrote is only kept (LG12)."""
    return entry.kind in KINDS and entry.body["v"] == 1


def saw(entry, other):
    """Whether the entry's maker had the other one before him (LG11)."""
    if entry.device == other.device:
        return other.device_no < entry.device_no
    return other.seq is not None and other.seq <= entry.seen


class InOrder:
    """Entries by `rank`, whatever the order in which they were added; in it, as nearly all are, it costs nothing."""

    def __init__(self):
        #: Whoever adds one that comes before another tells it (`moved`).
        self.added = []
        self._in_order = True

    def ends_before(self, entry):
        """Whether all that is in it is known to come before an entry."""
        return self._in_order and (not self.added or not entry.rank < self.added[-1].rank)

    def moved(self):
        """An entry in it may stand in another place than its own."""
        self._in_order = False

    def replace(self, old, new):
        """Another entry in the place of one that is in it, most likely a late one."""
        at = len(self.added) - 1
        while self.added[at] is not old:
            at -= 1
        self.added[at] = new
        self._in_order = False

    def all(self):
        """The entries in order; the list is the book's own, nobody changes it."""
        if not self._in_order:
            self.added = plain.in_order(self.added, key=_rank)
            self._in_order = True
        return self.added


def _rank(entry):
    return entry.rank
