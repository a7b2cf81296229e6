"""What the places of one group say, each for itself; kept until a reading that they rest on changes."""


class Said:
    """`flags` of the places; those `unfilled`; `used`: ids of the readings that count; `overdue`: readings that live by
    a gauge past its calibration, the first of each at its place; `texts`: sizes that are found, as typed; whether
    anything was `read`.
    """

    def __init__(self, work, group, bench):
        self.flags, self.unfilled, self.used, self.overdue, self.texts = [], [], [], [], []
        self.read = False
        for place in group.places:
            fold = work.folds[place.id]
            bench.at(place.id)
            if fold.readings:
                self.read = True
                self.flags.extend(work.flags_of(bench, place))
                self.used.extend(fold.used)
                self.overdue.extend(fold.overdue())
            if fold.typed is None and not work.is_filled(place):
                self.unfilled.append(place)
            if place.is_found_size():
                self.texts.append(fold.typed and fold.typed["text"])
