"""Readings of one family in a step: what a reading should be near, and which one is the odd one out.

Common practice: the median of the family is what is expected where no nominal is known; one that lies farther from it
than the scatter of its mates explains is more often a misread than an odd part, and is measured again.
"""

from . import instruments, limits, plain, quantity, slips


class Family:
    """The accepted numbers of the places of one family, but for one of them (`apart`: a place id)."""

    def __init__(self, places, bench, apart):
        self.numbers = []
        self._steps = []
        for place in places:
            found = None if place.id == apart else bench.at(place.id)
            if found is not None and found.number is not None:
                self.numbers.append(found.number)
                self._steps.append(step_of(place.kind, found.typed, found.instrument))

    def expected(self, kind):
        """The expectation from the mates; None of fewer than three."""
        if len(self.numbers) < slips.FEWEST_MATES:
            return None
        return slips.near_the_median(kind, plain.median(self.numbers))

    def median_if_odd(self, number, step):
        """The median of the mates (canonical) where this reading is the odd one out, else None."""
        factor = plain.parse_number(limits.window("outlier_distance_in_mad")[1])
        return slips.odd_one_out(number, self.numbers, max([step] + self._steps), factor)


def step_of(kind, typed, instrument):
    """Reading step of one reading, canonical: the gauge's, else the last typed digit."""
    if instrument and instruments.measures(instrument, kind):
        return instruments.step_of(instrument)
    return quantity.typed_step(kind, typed)


def mates(work, place):
    """The places of a step that belong to a place's family, itself among them."""
    return [other for other in work.places if other.family == place.family and other.kind == place.kind]


def odd_ones(places, bench):
    """[(place, reading, median)] of the readings that are odd among the places of one family."""
    found = []
    for place in places:
        reading = bench.at(place.id)
        if reading is None or reading.number is None:
            continue
        step = step_of(place.kind, reading.typed, reading.instrument)
        middle = Family(places, bench, place.id).median_if_odd(reading.number, step)
        if middle is not None:
            found.append((place, reading, middle))
    return found
