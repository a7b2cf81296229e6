"""Engines for stories: the demo's V8 as specification and card, with nothing measured yet."""

from seed_demo import v8
from seed_demo.shop import JONAS
from tests.browser.shop import Shop

JOB, SET_JOB, WORD = "T-301", "T-302", "V8, road course"
INTAKE, EXHAUST = "0.016", "0.018"


def fresh_v8(shop: Shop, job: str = JOB) -> str:
    """Opens a build of eight cylinders, five mains, sixteen solid-lifter valves; gives its id."""
    return shop.open_build(job, WORD, v8.ENGINE, v8.CARD)


def v8_with_its_lash_set(shop: Shop) -> str:
    """The same with all sixteen valves set cold and nothing signed; gives its id."""
    build, person = fresh_v8(shop, SET_JOB), shop.people()[JONAS]
    values = {"state": ("cold", None), "method": ("one_by_one", None)}
    for number in range(1, 9):
        values |= {f"{number}I.lash": (INTAKE, "in"), f"{number}E.lash": (EXHAUST, "in")}
    shop.push([shop.reading(build, person, "solid_lash", place, *value) for place, value in values.items()])
    return build
