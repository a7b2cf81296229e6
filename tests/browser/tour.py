"""A walk past every screen of the stand and of the desk, for whoever wants to look at each."""

from collections.abc import Iterator
from urllib.parse import urljoin

from playwright.sync_api import FilePayload, Page, expect

from seed_demo import eight, four, twin
from standbook.trade.steps import (
    covers,
    final_marks,
    hydraulic_preload,
    main_bearing_clearance,
    pushrod_length,
    rod_bolts,
)
from tests.browser.engines import HOLD_JOB, JOB, SET_JOB, fresh_v8, ready_for_its_first_hold, v8_with_its_lash_set
from tests.browser.joint import JointStand, past_a_joint
from tests.browser.lead import Desk
from tests.browser.shop import Shop
from tests.browser.stand import (
    BORE_GAUGE,
    CAPS,
    CLEARANCE,
    HANDS,
    HOUSINGS,
    JONAS,
    LASH,
    PART,
    STRETCH_GAUGE,
    THERMOMETER,
    Stand,
    starts,
    tapped,
)
from tests.ledger.pictures import jpeg

V8_JOB = "R-117"
CUSTOMER = {
    "Name": "Xaverius Quillfeather",
    "Phone": "555-0173-884",
    "Email": "xaverius@quillfeather-and-daughters.example",
    "Address": "17 Nowhere Lane, Zzyzxton",
    "Note": "Rings twice. Wants to hear it run before it leaves.",
}


def prepared(shop: Shop) -> None:
    """What the walks want in the book: an engine with nothing measured, and something that is held back."""
    fresh_v8(shop)
    v8_with_its_lash_set(shop)
    ready_for_its_first_hold(shop)
    pictures_for_the_lead(shop)
    shop.send_what_is_held_back()


def pictures_for_the_lead(shop: Shop) -> None:
    """Pictures of a step that waits for him: one of the bearing in question, one of another, one of neither."""
    shop.sign_in()
    build = next(entry["build"] for entry in shop.entries() if entry["body"].get("job") == V8_JOB)
    person, size = shop.people()[JONAS], (400, 300)
    colours = {None: (20, 90, 160), "MB3.V": (160, 90, 20), "MB1.V": (90, 20, 160)}
    for place, colour in colours.items():
        where = {"step": main_bearing_clearance.ID, "place": place}
        shop.push([shop.photo(build, person, jpeg(*size, colour), size, **where)])


def past_the_stand(page: Page) -> Iterator[str]:
    """Names each screen while it stands there. The page has to be on the app's first screen of a new profile."""
    stand = Stand(page)
    expect(stand.heading("Who is at the stand?")).to_be_visible()
    yield "who"
    yield from engines(stand)
    yield from a_row_of_readings(stand)
    yield from questions(stand)
    yield from a_table(stand)
    yield from setting_valves(stand)
    yield from a_hold(stand)
    yield from calculators(from_the_engines(stand))
    yield from preload(from_the_engines(stand))
    yield from checking_pushrod(from_the_engines(stand))
    yield from rods(from_the_engines(stand))
    yield from last_marks(from_the_engines(stand))
    yield from small_joints(from_the_engines(stand))
    from_the_engines(stand).engine(JOB)
    yield from past_a_joint(stand.page)


def from_the_engines(stand: Stand) -> Stand:
    """The app begun anew: whoever was at the stand is still there."""
    stand.page.goto(urljoin(stand.page.url, "/"))
    expect(stand.page.get_by_role("link", name=starts(JOB))).to_be_visible()
    return stand


def engines(stand: Stand) -> Iterator[str]:
    stand.button_of(JONAS).tap()
    yield from sheet(stand, f"PIN of {JONAS}", "PIN sheet")
    stand.take(JONAS)
    expect(stand.page.get_by_role("link", name=JOB)).to_be_visible()
    yield "engines"
    stand.strip.tap()
    yield from sheet(stand, "Your work and the shop", "strip sheet")
    stand.page.get_by_role("button", name="At the stand:").tap()
    yield from sheet(stand, "Who is at the stand?", "hand sheet")
    stand.engine(V8_JOB)
    yield "build"
    yield from pictures(stand)
    stand.page.get_by_text("Engine facts", exact=True).tap()
    yield "build facts"
    stand.back().engine(JOB)


def pictures(stand: Stand) -> Iterator[str]:
    for colour in ((150, 60, 40), (40, 90, 150)):
        file: FilePayload = {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": jpeg(800, 600, colour)}
        stand.page.get_by_label("Choose pictures").set_input_files(file)
    shown = stand.page.locator(".picture img")
    expect(shown).to_have_count(2)
    shown.first.scroll_into_view_if_needed()
    yield "pictures"
    shown.first.tap()
    stand.page.get_by_text("Strike it out", exact=True).first.tap()
    yield from sheet(stand, "Picture", "picture sheet")


def a_row_of_readings(stand: Stand) -> Iterator[str]:
    stand.step(CLEARANCE).at(PART).gauge(THERMOMETER)
    yield "caution"
    stand.checked(CAPS)
    yield "temperature"
    stand.press("69").next().at("How the clearance is measured")
    yield "choice"
    stand.answer("Gauge zeroed on the journal: reads the clearance")
    stand.at("Main caps with shells in, at full torque")
    yield "yes or no"
    stand.answer("Yes")
    expect(stand.sheet("Which gauge is in your hand?")).to_be_visible()
    yield "gauge sheet"
    stand.gauge(BORE_GAUGE).at("Main 1 bearing, upright")
    yield "row, empty"
    stand.press("0.0025")
    expect(stand.page.locator("#verdict")).to_contain_text("0.064 mm")
    yield "row, typed"
    stand.next().read("Main 1 bearing, leaning left", "0.0030").at("Main 1 bearing, leaning right")
    yield "row, third"


def questions(stand: Stand) -> Iterator[str]:
    stand.press("0.0306").next()
    yield from sheet(stand, "Is that what the gauge said?", "slip")
    stand.press("<<<<<<0.0043").next()
    expect(stand.sheet("Before it is kept")).to_be_visible()
    yield "limit"
    stand.button("Found so, with a note").tap()
    yield from sheet(stand, "Before it is kept", "note")
    stand.press("<<<<<<").next()
    expect(stand.trouble).to_contain_text("Nothing is typed yet")
    yield "trouble"
    stand.button("Skip, why").tap()
    yield from sheet(stand, "Not measured, because …", "skip sheet")
    stand.button("Picture").tap()
    yield from sheet(stand, "Pictures: Main 1 bearing, leaning right", "pictures of a place")
    stand.page.get_by_role("button", name="Unit:").tap()
    yield from sheet(stand, "In which unit does the gauge read?", "unit sheet")
    stand.button("Place before").tap()
    stand.at("Main 1 bearing, leaning left").button("History 1").tap()
    yield from sheet(stand, "Main 1 bearing, leaning left", "history sheet")
    stand.back().back_to(JOB).back()


def a_table(stand: Stand) -> Iterator[str]:
    stand.engine(V8_JOB).step(CLEARANCE).table()
    yield "table, not ready to sign"
    stand.back().back().back_to(V8_JOB).step(HOUSINGS).table()
    yield "table, signed"
    stand.back()
    expect(stand.heading("All places are filled")).to_be_visible()
    yield "all filled"
    stand.back().back_to(V8_JOB).back()


def setting_valves(stand: Stand) -> Iterator[str]:
    stand.engine(JOB).first_valve()
    yield "guide"
    for done in (1, 2):
        stand.button("Set").tap()
        expect(stand.page.get_by_text(f"{done} of 16 done")).to_be_visible()
    stand.page.get_by_text("The order, valve by valve").tap()
    yield "guide, order"
    stand.button("Couldn't").tap()
    yield from sheet(stand, "Couldn't, because …", "couldn't sheet")
    stand.button("Set to another value").tap()
    expect(stand.box).to_be_visible()
    yield "valve by hand"
    stand.table()
    yield "table of valves"
    stand.back().back().back_to(JOB).back().engine(SET_JOB).step(LASH)
    expect(stand.heading("All places are filled")).to_be_visible()
    yield "all filled, to sign"
    stand.table()
    expect(stand.button("Sign this step")).to_be_visible()
    yield "table, to sign"
    stand.button("Sign as somebody else").tap()
    yield from sheet(stand, "Who signs?", "other signer")


def preload(stand: Stand) -> Iterator[str]:
    """The demo's four: five of eight valves are set, its lifters are full."""
    stand.engine(four.BUILD.job).step(hydraulic_preload.TITLE)
    gate = stand.page.get_by_role("region", name="Before you start")
    expect(gate).to_contain_text("Full lifters: wait for them")
    yield "preload, caution"
    stand.button("Checked").tap()
    stand.checked(HANDS)
    expect(stand.page.get_by_text("5 of 8 done")).to_be_visible()
    yield "preload"
    stand.button("Set to another value").tap()
    stand.press("0.625")
    expect(stand.page.locator("#verdict")).to_contain_text("in")
    yield "preload by hand"
    stand.next()
    for done in (6, 7):
        expect(stand.page.get_by_text(f"{done} of 8 done")).to_be_visible()
        if done == 6:
            yield "preload, wait before the next valve"
        stand.button("Set").tap()
    stand.at("Waited until the lifters have bled down")
    yield "preload, wait"
    stand.answer("Yes")
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text("Bled down after 0 of 20 minutes")
    yield "preload, not bled down yet"
    asked.get_by_role("button", name="Found so, keep it").tap()
    stand.at("Turned slowly by hand twice through 720°, no resistance")
    yield "preload, turned"
    stand.table()
    yield "table of preloads"


def rods(stand: Stand) -> Iterator[str]:
    """The demo's short block: the third rod's bolts lie loose, one is pulled too far and pulled again."""
    stand.engine(twin.BUILD.job).step(rod_bolts.TITLE).at("Rod 3, bolt 1, stretch")
    stand.gauge(STRETCH_GAUGE).checked(tapped(rod_bolts)).press("0.0071").next()
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text("Never pull it again.")
    yield "rod bolt, pulled too far"
    stand.found_so("slipped")
    stand.at("Rod 3, bolt 2, stretch").button("Place before").tap()
    stand.at("Rod 3, bolt 1, stretch")
    expect(stand.page.get_by_text("Never pull it again.")).to_be_visible()
    yield "rod bolt, never again"
    stand.press("0.0061").next()
    expect(asked).to_contain_text("pulled again")
    yield "rod bolt, pulled again"
    asked.get_by_role("button", name="Back").tap()


def last_marks(stand: Stand) -> Iterator[str]:
    """The demo's second V8: two valves of the right bank are still to be marked under their real springs."""
    stand.engine(eight.BUILD.job).step(final_marks.TITLE).at("Intake 2, delivered pushrod by caliper")
    stand.checked(tapped(final_marks))
    stand.press("7.534").next()
    asked = stand.sheet("Before it is kept")
    expect(asked).to_contain_text("The other sort?")
    yield "final marks, the other sort"
    asked.get_by_role("button", name="Back").tap()
    stand.press("<<<484").next()
    stand.read("Intake 2, inner edge", "0.155").at("Intake 2, outer edge").press("0.245")
    expect(stand.page.locator("#verdict")).to_contain_text("out")
    yield "final marks, edge"
    stand.table()
    yield "table of final marks"


def small_joints(stand: Stand) -> Iterator[str]:
    """Its oil pan, the fullest pattern of the demo, before the first pass; its intake before anything."""
    _, pan, intake = covers.COVERS
    lines = [caution.line for caution in covers.CAUTIONS if caution.level == "tap"]
    stand.engine(eight.BUILD.job).step(pan.TITLE)
    JointStand(stand.page).ready(*lines)
    stand.page.get_by_text("How it is tightened", exact=True).tap()
    yield "oil pan, pass"
    stand.back().back_to(eight.BUILD.job).step(intake.TITLE).at("Tightened by").answer("Torque")
    stand.at("The fasteners").answer("Used again, the card allows it").at("Gasket, by its part number")
    yield "intake, caution"
    stand.checked(next(caution.line for caution in covers.CAUTIONS if caution.at == "gasket_part"))
    stand.page.get_by_role("textbox").fill("intake gasket, pair")
    stand.next().at("Faces degreased, flat and dry")
    stand.answer("No").at("Torque of the card, the snug torque where an angle follows")
    yield "intake, faces not ready"


def a_hold(stand: Stand) -> Iterator[str]:
    stand.back().back().back_to(SET_JOB).back().engine(HOLD_JOB)
    page = stand.page
    page.get_by_role("link", name=starts("Hold 2")).tap()
    expect(page.get_by_role("region", name="Signatures")).to_contain_text("It cannot be signed yet")
    yield "hold, waiting"
    stand.back().back_to(HOLD_JOB).page.get_by_role("link", name=starts("Hold 1")).tap()
    lines = page.get_by_role("region", name="Lines").get_by_role("listitem")
    lines.nth(1).get_by_role("button", name="Not in this job").tap()
    yield "hold, lines"
    lines.nth(1).get_by_role("textbox").fill("new block")
    for key in lines.get_by_role("button", name="Done", exact=True).all():
        if "new block" not in key.evaluate("key => key.closest('li').querySelector('input')?.value ?? ''"):
            key.tap()
    stand.button("Sign as lead").tap()
    yield from sheet(stand, "Who signs as lead?", "hold, who signs")
    stand.button("Sign as builder").tap()
    stand.sheet("Who signs as builder?").get_by_role("button", name=starts(JONAS)).tap()
    stand.give_pin(JONAS, "Sign as builder")
    page.get_by_text("Something under it was undone or exchanged").tap()
    expect(page.get_by_role("textbox", name="What, and why")).to_be_visible()
    yield "hold, half signed"


def checking_pushrod(stand: Stand) -> Iterator[str]:
    """The demo's V8 after two goes of its first valve."""
    stand.engine(V8_JOB).step(pushrod_length.TITLE)
    expect(stand.button("Next: go 3")).to_be_visible()
    yield "what a go says"
    stand.button("Next: go 3").tap()
    stand.checked(tapped(pushrod_length)).at("Intake 1, go 3: whole turns out")
    yield "go, turns"
    stand.press("14").next().at("Intake 1, go 3: eighths of a turn more")
    yield "go, eighths"
    stand.answer("None").at("Intake 1, go 3: length").press("7.5505")
    expect(stand.page.locator("#verdict")).to_contain_text("out")
    yield "go, caliper against count"


def calculators(stand: Stand) -> Iterator[str]:
    stand.page.get_by_role("link", name="Calculators").tap()
    stand.page.get_by_role("heading", name="Joints and fasteners").tap()
    yield "calculators"
    stand.page.get_by_role("link", name=starts("Load from stretch")).tap()
    stand.page.get_by_role("textbox", name="Parts of the bolt").fill("1.15 0.110\n0.25 0.119")
    yield "calculator, half typed"
    stand.page.get_by_role("textbox", name="Stretch as read").fill("0.006")
    expect(stand.page.get_by_role("region", name="Results").locator("dd").first).to_be_visible()
    yield "calculator"
    stand.page.get_by_role("textbox", name="Stretch as read").fill("0..6")
    expect(stand.page.locator(".reckon-line p.stop")).to_be_visible()
    yield "calculator, refused"


def sheet(stand: Stand, title: str, name: str) -> Iterator[str]:
    """A sheet while it is open; closed again after it."""
    opened = stand.sheet(title)
    expect(opened).to_be_visible()
    yield name
    opened.get_by_role("button", name="Close").tap()
    expect(opened).to_be_hidden()


def past_the_desk(page: Page) -> Iterator[str]:
    """The same for the desk."""
    desk = Desk(page)
    expect(page.get_by_role("button", name="Sign in")).to_be_visible()
    yield "desk sign-in"
    desk.sign_in()
    expect(page.get_by_role("heading", name="Board")).to_be_visible()
    yield "desk board"
    yield from waiting(desk)
    yield from held_and_new(desk)
    yield from customers(desk)
    yield from instruments(desk)
    yield from came_in(desk)
    desk.tab("Board").page.get_by_role("link", name=V8_JOB).click()
    expect(page.get_by_role("heading", level=1, name=V8_JOB)).to_be_visible()
    page.get_by_text("Say whose engine it is").click()
    expect(page.get_by_role("combobox", name="Whose engine it is")).to_be_visible()
    yield "desk build"
    yield from desk_hold(desk)
    yield from desk_calculators(desk)


def desk_calculators(desk: Desk) -> Iterator[str]:
    page = desk.tab("Calculators").page
    page.get_by_role("heading", name="Reading and judging").click()
    yield "desk calculators"
    page.get_by_role("link", name=starts("The odd one out")).click()
    page.get_by_role("textbox", name="Readings of one family").fill("0.0023 0.0022 0.0024 0.0023 0.0048")
    expect(page.get_by_role("region", name="Results").locator("dd").first).to_be_visible()
    yield "desk calculator"


def desk_hold(desk: Desk) -> Iterator[str]:
    desk.tab("Waits for you")
    wanting = desk.page.get_by_role("region", name="Holds that want a lead")
    wanting.get_by_role("link", name=starts("Hold 1")).click()
    expect(desk.page.get_by_role("region", name="Values and pictures")).to_be_visible()
    yield "desk hold"


def waiting(desk: Desk) -> Iterator[str]:
    desk.tab("Waits for you")
    expect(desk.page.get_by_role("article")).to_be_visible()
    yield "desk review"
    yield from joints_and_marks(desk)
    desk.choose(V8_JOB, "Main 3, oil clearance").page.keyboard.press("a")
    expect(desk.page.get_by_role("textbox", name="because")).to_be_focused()
    yield "desk decision"
    pictures = desk.page.get_by_role("region", name="Pictures")
    expect(pictures.locator("img")).to_have_count(2)
    pictures.get_by_role("button").first.press("Enter")
    expect(desk.page.get_by_role("dialog").locator("img")).to_be_visible()
    yield "desk picture"
    desk.page.keyboard.press("Escape")


def joints_and_marks(desk: Desk) -> Iterator[str]:
    """What waits in the second V8, then the first item of all, a joint, whose record is in sight without scrolling."""
    desk.waiting("Exhaust 7, middle of the mark").click()
    expect(desk.page.get_by_role("article")).to_contain_text("Its tip looks lower")
    yield "desk final mark"
    desk.waiting("bolt 7 creaked").click()
    expect(desk.page.get_by_role("region", name="Right head")).to_be_visible()
    beyond = desk.page.get_by_role("article").evaluate("one => one.getBoundingClientRect().bottom - innerHeight")
    assert beyond <= 0, f"a joint's review ends {beyond} px below the window"
    yield "desk joint"


def held_and_new(desk: Desk) -> Iterator[str]:
    desk.tab("Held back")
    expect(desk.page.get_by_role("main").get_by_role("listitem").first).to_be_visible()
    yield "desk held"
    desk.tab("Phones")
    expect(desk.page.get_by_role("list", name="Phones and browsers").get_by_role("listitem").first).to_be_visible()
    yield "desk phones"
    desk.tab("People")
    people = desk.page.get_by_role("list", name="People")
    people.get_by_role("button", name="Change").first.click()
    expect(people.get_by_label("New PIN")).to_be_visible()
    yield "desk people"
    desk.tab("Open a build")
    expect(desk.page.get_by_role("heading", name="Open a build")).to_be_visible()
    yield "desk new build"
    desk.page.get_by_role("button", name="Open the build").click()
    expect(desk.page.get_by_role("alert")).to_contain_text("Give the job its number")
    yield "desk new build, refused"


def customers(desk: Desk) -> Iterator[str]:
    page = desk.tab("Board").page
    page.get_by_role("main").get_by_role("link", name="Customers").click()
    expect(page.get_by_text("No customer is known yet.")).to_be_visible()
    page.get_by_role("button", name="Add a customer").click()
    page.get_by_role("button", name="Add the customer").click()
    expect(page.get_by_role("alert")).to_contain_text("A customer wants a name")
    yield "desk customer form, refused"
    fill_in_a_customer(page)
    card = page.get_by_role("list", name="Customers").get_by_role("listitem")
    expect(card).to_be_visible()
    yield "desk customers"
    card.get_by_role("button", name="Erase this customer").click()
    yield "desk erase, warning"
    card.get_by_role("button", name="Go on to erase").click()
    card.get_by_role("button", name="Erase for good").click()
    expect(card.get_by_role("alert")).to_contain_text("Erasing wants its reason")
    yield "desk erase, reason"
    card.get_by_role("textbox", name="because").fill("asked for it in writing")
    card.get_by_role("button", name="Erase for good").click()
    expect(card.get_by_role("status")).to_contain_text("The book is as it was")
    yield "desk erased"


def fill_in_a_customer(page: Page) -> None:
    for label, text in CUSTOMER.items():
        page.get_by_role("textbox", name=label).fill(text)
    page.get_by_role("button", name="Add the customer").click()


def instruments(desk: Desk) -> Iterator[str]:
    desk.tab("Instruments")
    card = desk.page.get_by_role("list", name="Instruments").get_by_role("listitem").filter(has_text="TW-05").first
    expect(card).to_contain_text("calibration was due on")
    yield "desk instruments"
    card.get_by_role("button", name="Change").click()
    expect(card.get_by_label("Range up to")).to_be_visible()
    yield "desk instrument form"


def came_in(desk: Desk) -> Iterator[str]:
    page = desk.tab("Who came in").page
    expect(page.get_by_role("row").filter(has_text="customer's data erased")).to_be_visible()
    yield "desk who came in"
