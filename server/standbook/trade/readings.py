"""Where a bench finds its readings: each of these answers `at(step, place)` with an `Accepted`, or None.

`found(step)`: {place: answer} of what was looked for, which a bench looks into first and puts its finds in.
`before(step, place, rank)`: the same of a set place as it stood before that rank in the order of the book.
"""


class Given:
    """Readings that were handed over: {step: {place: Accepted}}."""

    def __init__(self, accepted):
        self._accepted = accepted

    def found(self, _step):
        return {}

    def at(self, step, place):
        return self._accepted.get(step, {}).get(place)

    def before(self, step, place, _rank):
        return self.at(step, place)


class OneMore:
    """Other readings with one laid over its place; None takes that place's away."""

    def __init__(self, below, step, place, reading):
        self._below = below
        self._where = (step, place)
        self._reading = reading

    def found(self, step):
        found = dict(self._below.found(step))
        if step == self._where[0]:
            found[self._where[1]] = self._reading
        return found

    def at(self, step, place):
        return self._reading if (step, place) == self._where else self._below.at(step, place)

    def before(self, step, place, rank):
        return self._below.before(step, place, rank)
