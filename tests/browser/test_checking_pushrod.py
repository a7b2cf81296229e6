"""The checking pushrod in the hand while the shop's server is stopped: from the first guess to the length to order.

The linkage is the invented one of the rocker model's table (`trade/test_pushrod_length`): 0.100 in and 0.050 in below
its best length the contacts lie as read here.
"""

from typing import NamedTuple

from playwright.sync_api import expect

from standbook.trade.steps import pushrod_length
from tests.browser.away import without_the_shop
from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop, assert_whole
from tests.browser.stand import JONAS, Stand, tapped

TITLE = pushrod_length.TITLE
SPRINGS = tapped(pushrod_length)
VALVE = "Intake 1"
OTHERS = ("1E", "7I", "7E", "2I", "2E")


class Go(NamedTuple):
    """Closed and at full lift, both again, then the edges of the mark."""

    turns: str
    caliper: str
    marks: tuple[str, str, str, str, str, str]


GOES = (
    Go("12", "7.4005", ("0.160", "0.184", "0.159", "0.184", "0.160", "0.201")),
    Go("14", "7.5005", ("0.173", "0.174", "0.173", "0.173", "0.173", "0.201")),
)
NAMES = (
    "contact, valve closed",
    "contact, full lift",
    "contact closed, read again",
    "contact at full lift, read again",
    "inner edge",
    "outer edge",
)
HOW = {"method": "two_contacts", "springs": "yes", "gasket": "yes", "caps": "none", "count": "both"}


def test_from_the_first_guess_to_the_length_to_order_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    build = fresh_v8(shop)
    five_valves_are_found(shop, build)
    before = len(shop.entries())
    stand = without_the_shop(server, phone, JOB).step(TITLE)
    stand.at(f"{VALVE}, valve lift at full lift").checked(SPRINGS).read(f"{VALVE}, valve lift at full lift", "0.577")
    go(stand, 1)
    it_says(stand, "2 turns longer", "to 7.50", "14 turns out from closed", "outboard while the valve opens")
    stand.button("Next: go 2").tap()
    a_slip_in_the_count_is_caught(stand)
    marks(stand, 2)
    it_says(stand, "Good enough", "", "", "Another go would chase the loupe")
    expect(stand.page.get_by_text("Goes so far").locator("..").get_by_role("listitem")).to_have_count(2)
    stand.button("On to the clearances").tap()
    for name in ("slot to stud", "rocker to retainer", "pushrod to hole"):
        stand.read(f"{VALVE}: {name}", "0.060")
    the_order(stand)

    server.start()
    stand.try_shop()
    written = 1 + 2 * 9 + 1 + 3 + 4
    stand.all_safe(written)
    assert_whole(shop.entries())
    assert len(shop.entries()) == before + written
    told = shop.step(build, pushrod_length.ID)
    assert told["sign"]["ready"], told["sign"]["missing"]


def five_valves_are_found(shop: Shop, build: str) -> None:
    """What somebody read before: how it is marked, and every valve but the first at its best length."""
    person = shop.people()[JONAS]
    read: dict[str, tuple[str, str | None]] = {place: (answer, None) for place, answer in HOW.items()}
    read["base"] = ("6.800", "in")
    for valve in OTHERS:
        read |= {f"{valve}.lift": ("0.577", "in"), f"{valve}.1.turns": ("14", "1"), f"{valve}.1.eighths": ("0", None)}
        read[f"{valve}.1.cal"] = ("7.5005", "in")
        places = ("closed", "open", "closed2", "open2", "inner", "outer")
        read |= {f"{valve}.1.{place}": (text, "in") for place, text in zip(places, GOES[1].marks, strict=True)}
        read |= {f"{valve}.{place}": ("0.060", "in") for place in ("slot", "retainer", "hole")}
    shop.push([shop.reading(build, person, pushrod_length.ID, place, *value) for place, value in read.items()])


def go(stand: Stand, number: int) -> None:
    one = GOES[number - 1]
    stand.read(f"{VALVE}, go {number}: whole turns out", one.turns)
    stand.at(f"{VALVE}, go {number}: eighths of a turn more").answer("None")
    stand.read(f"{VALVE}, go {number}: length", one.caliper)
    marks(stand, number)


def marks(stand: Stand, number: int) -> None:
    for name, digits in zip(NAMES, GOES[number - 1].marks, strict=True):
        stand.read(f"{VALVE}, go {number}: {name}", digits)


def a_slip_in_the_count_is_caught(stand: Stand) -> None:
    """One turn too few was typed: the caliper knows better, and the turns are typed again."""
    stand.read(f"{VALVE}, go 2: whole turns out", "13")
    stand.at(f"{VALVE}, go 2: eighths of a turn more").answer("None")
    stand.at(f"{VALVE}, go 2: length").press(GOES[1].caliper).next()
    asked = stand.sheet("Is that what the gauge said?")
    expect(asked).to_contain_text("one whole turn miscounted?")
    asked.get_by_role("button", name="Close").tap()
    stand.press("<" * len(GOES[1].caliper)).button("Place before").tap()
    stand.button("Place before").tap()
    stand.at(f"{VALVE}, go 2: whole turns out").press("14").next()
    stand.read(f"{VALVE}, go 2: length", GOES[1].caliper)


def it_says(stand: Stand, say: str, to: str, out: str, why: str) -> None:
    expect(stand.heading(say)).to_be_visible()
    card = stand.page.get_by_role("main")
    for words in (to, out, why, "to the edge of the flat"):
        expect(card).to_contain_text(words)
    expect(card.get_by_role("img", name="The valve stem's tip, with its mark")).to_be_visible()


def the_order(stand: Stand) -> None:
    stand.read("Ball of the pushrod's ends", "0.3125").read("Flat or oil hole at the ball's crown", "0.100")
    stand.at("What the maker means by length").answer("Overall, over complete balls")
    stand.at("Deck, head, gasket, cam or tips change after the marks").answer("No")
    expect(stand.heading("All places are filled")).to_be_visible()
    card = stand.page.get_by_role("main")
    expect(card).to_contain_text("Intake and exhaust, overall, over complete balls")
    # 7.50 by caliper and 0.01643 for both crowns (vector of the ball ends) are 7.52: 7.500 in is the nearest step.
    expect(card).to_contain_text("7.500 in (190.500 mm)")
    expect(card).to_contain_text("Rounding moves the pivot")
