"""A list of entries that is handed out in their order: those that arrive in it, as nearly all do, cost nothing."""

from . import plain


class InOrder:
    """Entries by `rank`, whatever the order in which they were added."""

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
