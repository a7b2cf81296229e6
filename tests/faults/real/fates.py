"""What may become of a request on its way: drawn by chance from a seed, one stream a phone."""

import random
from typing import NamedTuple


class Fate(NamedTuple):
    """`how`: see FATES. `share`: how much of request or reply comes through before a cut. `ms`: how long it takes."""

    how: str
    share: float = 1.0
    ms: float = 0.0


#: What a bad network does, and how often one thing for the other.
FATES = {
    "refused": 14,
    "cut in the request": 14,
    "cut in the reply": 16,
    "reply lost": 16,
    "delayed": 12,
    "sent twice": 8,
    "sent again later": 8,
    "another's page": 8,
    "a gateway's page": 4,
    "the server dies": 4,
}
GOOD = Fate("comes through")


class Weather:
    """`bad`: the share of requests that something happens to. `deadly`: whether a server may die of a request."""

    def __init__(self, seed: int, bad: float = 0.0, deadly: bool = True) -> None:
        self.luck = random.Random(seed)
        self.bad = bad
        self.deadly = deadly

    def fate(self) -> Fate:
        if self.luck.random() >= self.bad:
            return GOOD
        names = [name for name in FATES if self.deadly or name != "the server dies"]
        (how,) = self.luck.choices(names, [FATES[name] for name in names])
        return Fate(how, self.luck.random(), self.luck.uniform(0, 12 if how == "the server dies" else 60))
