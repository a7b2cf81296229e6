"""Final marks without the shop: the last two valves of the demo's second V8, a pushrod of the other sort among them."""

from playwright.sync_api import expect

from seed_demo import eight
from standbook.trade.steps import final_marks
from tests.browser.away import without_the_shop
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop, assert_whole
from tests.browser.stand import Stand, tapped

JOB, TITLE = eight.BUILD.job, final_marks.TITLE
INTAKE, EXHAUST = "Intake 2", "Exhaust 2"
RIGHT, OTHER = "7.484", "7.534"
CLEARANCES = ("slot to stud", "rocker to retainer", "pushrod to hole")


def test_the_last_marks_are_read_without_the_shop_and_one_pushrod_was_the_other_sort(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    before = shop.entries()
    stand = without_the_shop(server, phone, JOB).step(TITLE)
    stand.at(f"{INTAKE}, delivered pushrod by caliper").checked(tapped(final_marks))
    stand.read(f"{INTAKE}, delivered pushrod by caliper", RIGHT).read(edge(INTAKE, "inner"), "0.155")
    edges_that_are_swapped(stand)
    clearances(stand, INTAKE)
    the_other_sort(stand)
    stand.read(edge(EXHAUST, "inner"), "0.156").read(edge(EXHAUST, "outer"), "0.189")
    clearances(stand, EXHAUST)
    it_waits_for_the_lead(stand)

    server.start()
    stand.try_shop()
    written = 2 * 6
    stand.all_safe(written)
    assert_whole(shop.entries())
    assert len(shop.entries()) == len(before) + written
    build = next(entry["build"] for entry in before if entry["body"].get("job") == JOB)
    values = {value["id"]: value for group in shop.step(build, final_marks.ID)["groups"] for value in group["values"]}
    verdicts = {value: values[value]["verdict"] for value in ("2I.width", "2E.offset", "2E.margin", "7E.offset")}
    assert verdicts == {"2I.width": "in", "2E.offset": "in", "2E.margin": "in", "7E.offset": "out"}


def edge(valve: str, which: str) -> str:
    return f"{valve}, {which} edge"


def edges_that_are_swapped(stand: Stand) -> None:
    stand.at(edge(INTAKE, "outer")).press("0.145").next()
    asked = stand.sheet("Is that what the gauge said?")
    expect(asked).to_contain_text("the inner edge lies outside the outer one")
    asked.get_by_role("button", name="Close").tap()
    stand.press("<<<188").next()
    expect(stand.kept).to_contain_text("0.188")


def clearances(stand: Stand, valve: str) -> None:
    for name in CLEARANCES:
        stand.read(f"{valve}: {name}", "0.060")


def the_other_sort(stand: Stand) -> None:
    """A step of what is sold too long: it is asked about before a mark is made with it."""
    place = f"{EXHAUST}, delivered pushrod by caliper"
    stand.at(place).press(OTHER).next()
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text("another length than the ordered one, which reads 7.484 in")
    asked.get_by_role("button", name="Back", exact=True).tap()
    stand.press("<<<484").next()
    expect(stand.kept).to_contain_text(RIGHT)


def it_waits_for_the_lead(stand: Stand) -> None:
    expect(stand.heading("All places are filled")).to_be_visible()
    stand.table()
    flags = stand.page.get_by_role("list", name="Flags of this step")
    expect(flags).to_contain_text("Exhaust 7, middle of the mark from the stem's centre")
    expect(stand.signature).to_contain_text("lead")
