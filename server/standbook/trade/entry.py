"""One entry as the book holds it: what its device wrote, the shop's number, its place in the order.

Not a class of our own: a phone makes one of these in a fifth of the time and half the room. It never changes; who
learns its number is another one.
"""

from collections import namedtuple

from .entries import KINDS

UNSENT = 1
SENT = 0

#: `seq`: the shop's number, None while it is only on this phone. `rank`: sort key.
Entry = namedtuple(
    "Entry",
    ("id", "kind", "step", "place", "why", "body", "person", "device", "device_no", "made_at", "seen", "seq", "rank"),
)


def entry_of(data, seq):
    """The entry of a parsed text."""
    step, place, why = data.get("step"), data.get("place"), data.get("why")
    number, made_at, seen = data["device_no"], data["made_at"], data["seen"]
    rank = rank_of(data["id"], data["device"], number, seq)
    who, device = data["person"], data["device"]
    return Entry(
        data["id"], data["kind"], step, place, why, data["body"], who, device, number, made_at, seen, seq, rank
    )


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
