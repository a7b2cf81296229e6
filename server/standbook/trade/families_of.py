"""Readings of one family in a step: what a reading should be near, and which one is the odd one out.

Common practice: the median of the family is what is expected where no nominal is known; one that lies farther from it
than the scatter of its mates explains is more often a misread than an odd part, and is measured again.
"""

from . import families, instruments, limits, plain, quantity, slips


class Family:
    """The accepted numbers of the places of one family, but for one of them (`apart`: a place id, or None)."""

    def __init__(self, places, bench, apart=None):
        #: (place, its accepted reading) of those that are measured.
        self.read = [(place, bench.at(place.id)) for place in places if place.id != apart]
        self.read = [(place, found) for place, found in self.read if found is not None and found.number is not None]
        self.numbers = [found.number for _, found in self.read]

    def expected(self, kind):
        """The expectation from the mates; None of fewer than three."""
        if len(self.numbers) < slips.FEWEST_MATES:
            return None
        return slips.near_the_median(kind, plain.median(self.numbers))

    def median_if_odd(self, number, step):
        """The median (canonical) where one more reading is the odd one out, else None."""
        if len(self.numbers) < slips.FEWEST_MATES:
            return None
        found = _outliers(self.numbers + [number], max(step, self._coarsest()))
        return found["median"] if number in found["outliers"] else None

    def odd_ones(self):
        """[(place, reading, median)] of the readings that are odd among the others."""
        if len(self.numbers) <= slips.FEWEST_MATES:
            return []
        found = _outliers(self.numbers, self._coarsest())
        odd = found["outliers"]
        return [(place, reading, found["median"]) for place, reading in self.read if reading.number in odd]

    def _coarsest(self):
        """The largest of their reading steps; of readings in a row by one gauge the first tells it."""
        most, gauge = 0.0, None
        for place, found in self.read:
            if gauge is None or found.instrument is not gauge:
                most = max(most, step_of(place.kind, found.typed, found.instrument))
                gauge = found.instrument
                if gauge and not instruments.measures(gauge, place.kind):
                    gauge = None
        return most


def _outliers(numbers, step):
    factor, steps = [
        plain.parse_number(limits.window(key)[1]) for key in ("outlier_distance_in_mad", "reading_difference_in_steps")
    ]
    return families.outliers(numbers, factor, steps * step)


def step_of(kind, typed, instrument):
    """Reading step of one reading, canonical: the gauge's, else the last typed digit."""
    if instrument and instruments.measures(instrument, kind):
        return instruments.step_of(instrument)
    return quantity.typed_step(kind, typed)


def mates(work, place):
    """The places of a step that belong to a place's family, itself among them."""
    return [other for other in work.places if other.family == place.family and other.kind == place.kind]
