"""What was worked out from readings, kept until a place that it looked at is touched.

A book of thousands of entries is judged anew after each of them; nearly all of it comes to the same as before.
"""

#: In place of a place's id: whatever is read in the step.
ANYWHERE = None


class Memos:
    def __init__(self):
        #: key -> (what is kept, {step: {place: True}} that it looked at).
        self.kept = {}
        #: step -> place -> keys of what looked there.
        self._lookers = {}

    def get(self, key, bench, make, about):
        """What `make(bench, about)` gives; it learns of readings through the bench alone.

        What was kept may go into something else that is kept: the bench that is asked with hears where it looked.
        """
        kept = self.kept.get(key)
        if kept is None:
            seen = {}
            kept = self.kept[key] = (make(bench.watched(seen), about), seen)
            for step, places in seen.items():  # any order: each is noted for itself
                self._note(key, self._lookers.setdefault(step, {}), places)
        bench.rests_on(kept[1])
        return kept[0]

    def standing(self, key):
        """What is kept with where it looked; None where nothing is."""
        return self.kept.get(key)

    def _note(self, key, lookers, places):
        for place in places:
            if place not in lookers:
                lookers[place] = {}
            lookers[place][key] = True

    def touch(self, step, place):
        """Forgets what looked at a place; gives the keys of it."""
        keys, lookers = [], self._lookers.get(step, {})
        for where in (place, ANYWHERE):
            keys.extend(lookers.pop(where, ()))
        for key in keys:
            self.kept.pop(key, None)
        return keys


class Laid:
    """Memos for a bench with one reading laid over: what did not look at that place is the same there."""

    def __init__(self, below, step, place):
        self._below = below
        self._step = step
        self._place = place

    def get(self, key, bench, make, about):
        """As `Memos.get`; what looked at the place is worked out for this bench alone."""
        kept = self.standing(key)
        if kept is None:
            return bench.once(key, lambda: make(bench, about))
        bench.rests_on(kept[1])
        return kept[0]

    def standing(self, key):
        kept = self._below.standing(key)
        if kept is None:
            return None
        looked = kept[1].get(self._step, ())
        return None if self._place in looked or ANYWHERE in looked else kept
