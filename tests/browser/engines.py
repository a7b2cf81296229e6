"""Engines for stories: the demo's V8 as specification and card, with nothing measured yet."""

from seed_demo import v8
from seed_demo.shop import JONAS
from standbook.trade.steps import journals, main_bearing_clearance, main_housings
from tests.browser.shop import Shop

JOB, SET_JOB, HOLD_JOB, WORD = "T-301", "T-302", "T-303", "V8, road course"
INTAKE, EXHAUST = "0.016", "0.018"


def fresh_v8(shop: Shop, job: str = JOB) -> str:
    """Opens a build of eight cylinders, five mains, sixteen solid-lifter valves; gives its id."""
    return shop.open_build(job, WORD, v8.ENGINE, v8.CARD)


def v8_with_its_lash_set(shop: Shop) -> str:
    """The same with all sixteen valves set cold and nothing signed; gives its id."""
    return set_cold(shop, fresh_v8(shop, SET_JOB))


def set_cold(shop: Shop, build: str) -> str:
    """All sixteen valves of a build set to their cold lash by Jonas; gives its id."""
    person = shop.people()[JONAS]
    values = {"state": ("cold", None), "method": ("one_by_one", None)}
    for number in range(1, 9):
        values |= {f"{number}I.lash": (INTAKE, "in"), f"{number}E.lash": (EXHAUST, "in")}
    shop.push([shop.reading(build, person, "solid_lash", place, *value) for place, value in values.items()])
    return build


#: Of a family of places, what stands at each of them.
SIZES = {"MH": "2.7407", "MJ": "2.5498", "RJ": "2.0998", "MB": "0.0026"}
WORDS: dict[str, tuple[str, str | None]] = {
    "temperature": ("68", "degF"),
    "room_temperature": ("68", "degF"),
    "caps_tight": ("yes", None),
    "lubricant": ("moly", None),
    "gauge_zero": ("yes", None),
    "method": ("zeroed_on_journal", None),
}


def ready_for_its_first_hold(shop: Shop) -> str:
    """The same with every step before Hold 1 measured by Jonas, and signed by the lead; gives its id."""
    build, person = fresh_v8(shop, HOLD_JOB), shop.people()[JONAS]
    lead = shop.sign_in()
    for step in (main_housings, journals, main_bearing_clearance):
        groups = shop.step(build, step.ID)["groups"]
        places = [place["id"] for group in groups for place in group["places"] if place["required"]]
        shop.push([shop.reading(build, person, step.ID, place, *measured(place)) for place in places])
        shop.sign_step(build, lead, step.ID)
    return build


def measured(place: str) -> tuple[str, str | None]:
    """A bearing is wider across its parting line than upright."""
    if place in WORDS:
        return WORDS[place]
    return ("0.0031" if place.endswith((".P1", ".P2")) else SIZES[place[:2]]), "in"
