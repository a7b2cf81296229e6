"""What was worked out from readings, kept until a place that it looked at is touched.

A book of thousands of entries is judged anew after each of them; nearly all of it comes to the same as before.
"""

#: In place of a place's id: whatever is read in the step.
ANYWHERE = None


class Memos:
    def __init__(self):
        self.forget()

    def forget(self):
        """Forgets everything, also for a bench of an earlier look that still stands somewhere."""
        #: key -> (what is kept, {step: {place: True}} that it looked at).
        self.kept = {}
        #: step -> key of what looked there -> {place: True} where. Not by place: thousands of small dicts that grow are
        #: dear to the phone, and a touch comes after a reading alone.
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
                self._lookers.setdefault(step, {})[key] = places
        bench.rests_on(kept[1])
        return kept[0]

    def standing(self, key):
        """What is kept with where it looked; None where nothing is."""
        return self.kept.get(key)

    def touch(self, step, place):
        """Forgets what looked at a place; gives the keys of it."""
        lookers = self._lookers.get(step, {})
        keys = [
            key
            for key, places in lookers.items()  # any order: all of them go
            if place in places or ANYWHERE in places
        ]
        for key in keys:
            del lookers[key]
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
