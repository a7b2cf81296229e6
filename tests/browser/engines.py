"""Engines for stories: the demo's V8 as specification and card, with nothing measured yet."""

from seed_demo import v8
from tests.browser.shop import Shop

JOB, WORD = "T-301", "V8, road course"


def fresh_v8(shop: Shop, job: str = JOB) -> str:
    """Opens a build of eight cylinders, five mains, sixteen solid-lifter valves; gives its id."""
    return shop.open_build(job, WORD, v8.ENGINE, v8.CARD)
