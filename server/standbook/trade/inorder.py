"""A list of entries that is handed out in their order: those that arrive in it, as nearly all do, cost nothing."""

from . import plain


class InOrder:
    """Entries by `rank`, whatever the order in which they were added."""

    def __init__(self):
        self._entries = []
        self._in_order = True

    def add(self, entry):
        if self._entries and entry.rank < self._entries[-1].rank:
            self._in_order = False
        self._entries.append(entry)

    def moved(self):
        """An entry in it has got another rank."""
        self._in_order = False

    def all(self):
        """The entries in order; the list is the book's own, nobody changes it."""
        if not self._in_order:
            self._entries = plain.in_order(self._entries, key=_rank)
            self._in_order = True
        return self._entries


def _rank(entry):
    return entry.rank
