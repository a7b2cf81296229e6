"""What was worked out from readings, kept until a place that it looked at is touched.

A book of thousands of entries is judged anew after each of them; nearly all of it comes to the same as before.
"""


class Memos:
    def __init__(self):
        self._kept = {}
        #: (step, place) -> keys of what looked there.
        self._lookers = {}

    def known(self, key):
        """What is kept under a key; None where nothing is."""
        return self._kept.get(key)

    def get(self, key, bench, make):
        """What `make(bench)` gives; it learns of readings through the bench alone."""
        if key not in self._kept:
            seen = {}
            self._kept[key] = make(bench.watched(seen))
            for where in seen:  # any order: each is noted for itself
                self._lookers.setdefault(where, {})[key] = True
        return self._kept[key]

    def touch(self, step, place):
        """Forgets what looked at a place; gives the keys of it."""
        keys = list(self._lookers.pop((step, place), ()))
        for key in keys:
            self._kept.pop(key, None)
        return keys
