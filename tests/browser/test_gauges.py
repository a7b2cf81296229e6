"""Gauges without the shop: one that types a whole row, the phone handed over in the middle, a wrench past its date."""

import pytest
from playwright.sync_api import expect

from seed_demo import v8
from seed_demo.shop import LATE_WRENCH
from standbook.trade.steps import journals, main_housings, pushrod_length, solid_lash
from tests.browser.away import without_the_shop
from tests.browser.engines import JOB, fresh_v8
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import (
    BORE_GAUGE,
    CAPS,
    CLEARANCE,
    FEELERS,
    HANDS,
    HOIST,
    HOUSINGS,
    JONAS,
    JOURNALS,
    LASH,
    MICROMETER,
    ROSA,
    VALVES,
    Stand,
    starts,
    tapped,
)

#: The first two journals and the third of the main row, front to rear; no five alike in a row.
ROW = ("2.5499", "2.5498", "2.5499", "2.5498", "2.5498", "2.5499", "2.5497", "2.5498")
#: Of the first valves in the order of the guide, intake and exhaust as they come.
LASHES = ("0.016", "0.018", "0.016")
HERS = ("2.5499", "2.5498", "2.5499", "2.5498")
WRENCH_PLACE = "Main fastener torque, as the card gives it"
LATE = "Click wrench 10 to 75 ft-lb, TW-05"


def reopened(phone: Pocket, build: str) -> Stand:
    """The app killed and opened anew where the hand was."""
    phone.close()
    return Stand(phone.open(f"/build/{build}/step/{journals.ID}"))


def test_a_gauge_types_a_row_and_the_phone_changes_hands_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    build = fresh_v8(shop)
    stand = without_the_shop(server, phone, JOB).first_journal()
    for digits in ROW:
        stand.types(digits)
    stand.at("Main journal 3, front, in line with the throw")
    stand.press("2.54").drafted("2.54")
    stand.hand_to(ROSA)
    expect(stand.box).to_have_value("2.54")
    stand.page.keyboard.type("99\n")
    expect(stand.kept).to_contain_text("2.5499")
    stand.at("Main journal 3, front, across the throw")
    for digits in HERS[1:]:
        stand.types(digits)

    stand = reopened(phone, build).at("Main journal 4, front, in line with the throw")
    expect(stand.page.locator(".recent-value")).to_have_text(list(reversed(HERS[1:])))

    server.start()
    stand.try_shop().all_safe(len(ROW) + len(HERS) + 1)
    people = {person: name for name, person in shop.people().items()}
    written = [
        (people[entry["person"]], entry["body"]["value"]["text"], entry["body"]["instrument"]["name"])
        for entry in shop.entries()
        if entry["step"] == journals.ID and entry["body"]["instrument"]
    ]
    mine = [one for one in written if one[1] in {*ROW, *HERS} and one[2].startswith(MICROMETER)]
    assert mine[-len(ROW) - len(HERS) :] == [
        *((JONAS, digits, MICROMETER) for digits in ROW),
        *((ROSA, digits, MICROMETER) for digits in HERS),
    ]


def test_a_gauge_types_where_a_card_stands_and_presses_no_key_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    """The guided valve card has no box: the valve that it names opens with the digits, is kept, and on it goes."""
    build = fresh_v8(shop)
    stand = without_the_shop(server, phone, JOB).step(LASH).at("Engine cold or hot").checked(HANDS)
    types_in_vain(stand, "0.016")
    stand.at("Engine cold or hot").answer("Cold").at("Setting order")
    stand.answer("One valve at a time, in one turn-through").gauge(FEELERS)
    valves = [typed_on_the_card(stand, done, digits) for done, digits in enumerate(LASHES)]
    expect(stand.page.get_by_text(f"{len(LASHES)} of {VALVES} done")).to_be_visible()
    # A thumb sets one with the key, which keeps the caret: the next value's Enter does not press it again.
    stand.button("Set").tap()
    expect(stand.page.get_by_text(f"{len(LASHES) + 1} of {VALVES} done")).to_be_visible()
    half = place_on_the_card(stand)
    stand.page.keyboard.type("0.0")
    expect(stand.box).to_have_value("0.0")
    stand.drafted("0.0")
    phone.kill()
    stand = Stand(phone.open()).engine(JOB).step(LASH)
    expect(stand.box).to_have_value("0.0")
    types_on(stand, "17", "0.017")

    server.start()
    stand.try_shop().all_safe(2 + len(LASHES) + 2)
    entries = [entry for entry in shop.of_build(build) if entry["step"] == solid_lash.ID]
    read = [(entry["place"], entry["body"]["value"]["text"]) for entry in entries if ".lash" in entry["place"]]
    assert read[: len(LASHES)] == list(zip(valves, LASHES, strict=True))
    assert (len(read), read[-1]) == (len(LASHES) + 2, (half, "0.017"))


def test_a_caliper_types_on_the_card_of_the_checking_pushrod_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    """The demo's V8 after two goes: the card says how far to turn; what is typed then is the next go's."""
    fresh_v8(shop)
    stand = without_the_shop(server, phone, v8.BUILD.job).step(pushrod_length.TITLE)
    expect(stand.button("Next: go 3")).to_be_visible()
    stand.page.keyboard.type("14")
    expect(stand.box).to_have_value("14")
    stand.page.keyboard.press("Enter")
    stand.at("Intake 1, go 3: whole turns out").checked(tapped(pushrod_length)).next()
    stand.at("Intake 1, go 3: eighths of a turn more").answer("None")
    stand.at("Intake 1, go 3: length")
    stand.types("7.5005")
    stand.at("Intake 1, go 3: contact, valve closed")


def place_on_the_card(stand: Stand) -> str:
    """The place of the valve that the card names: INTAKE 2 is 2I."""
    side, number = stand.page.locator(".guide-set").inner_text().removeprefix("Set ").split()
    return f"{number}{side[0]}.lash"


def typed_on_the_card(stand: Stand, done: int, digits: str) -> str:
    expect(stand.page.get_by_text(f"{done} of {VALVES} done")).to_be_visible()
    place = place_on_the_card(stand)
    stand.types(digits)
    return place


def types_in_vain(stand: Stand, digits: str) -> None:
    """Where a key answers and nothing is measured a gauge's digits are kept nowhere, and its Enter presses nothing."""
    stand.page.keyboard.type(digits + "\n")
    expect(stand.trouble).to_contain_text(f"{digits} came while nothing was to be measured here")


def types_on(stand: Stand, digits: str, whole: str) -> None:
    stand.page.keyboard.type(digits)
    expect(stand.box).to_have_value(whole)
    stand.page.keyboard.press("Enter")
    expect(stand.kept).to_contain_text(whole)


def test_what_was_found_so_is_not_asked_again_by_a_page_that_died(server: Server, shop: Shop, phone: Pocket) -> None:
    build = fresh_v8(shop)
    stand = without_the_shop(server, phone, JOB).first_journal()
    stand.press("2.5748").next()
    asked = stand.sheet("Is that what the gauge said?")
    expect(asked).to_contain_text("one turn")
    asked.get_by_role("button", name="No, found so").tap()
    expect(asked).to_be_hidden()
    stand.at("Main journal 1, front, across the throw").table()
    expect(stand.page.get_by_text("found so: no note").first).to_be_visible()
    stand = reopened(phone, build).table()
    expect(stand.page.get_by_text("found so: no note").first).to_be_visible()


def test_a_step_of_the_gauge_changes_the_last_digit(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    stand = Stand(phone.open()).take(JONAS).engine(JOB).first_journal()
    stand.press("2.5499")
    more = stand.button("+ 0.0001 in")
    for digits in ("2.5500", "2.5501"):
        more.tap()
        expect(stand.box).to_have_value(digits)
        expect(more).to_be_enabled()
    stand.button("− 0.0001 in").tap()  # noqa: RUF001 the minus sign of the key
    expect(stand.box).to_have_value("2.5500")
    stand.drafted("2.5500").next()
    expect(stand.kept).to_contain_text("2.5500")


#: A phone with a voice of its own and one from elsewhere, that counts how often its screen was kept awake.
A_PHONE_THAT_SPEAKS = """
    window.said = []; window.awake = 0
    const voices = [{ name: 'far', lang: 'en-US', localService: false },
                    { name: 'near', lang: 'en-GB', localService: true }]
    const speaks = { getVoices: () => voices, cancel: () => {},
                     speak: (one) => said.push(`${one.voice.name}: ${one.text}`) }
    Object.defineProperty(window, 'speechSynthesis', { value: speaks })
    window.SpeechSynthesisUtterance = function (text) { this.text = text }
    const lock = { request: async () => { awake += 1; return { release: async () => {} } } }
    Object.defineProperty(navigator, 'wakeLock', { value: lock })
"""


def test_a_phone_reads_back_what_was_kept_where_that_is_switched_on_and_stays_awake(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    phone.scripts.append(A_PHONE_THAT_SPEAKS)
    stand = Stand(phone.open()).take(JONAS).engine(JOB)
    assert stand.page.evaluate("awake") == 0
    stand.first_journal().read("Main journal 1, front, in line with the throw", "2.5499")
    assert stand.page.evaluate("said") == []
    assert stand.page.evaluate("awake") == 1
    stand.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert stand.page.evaluate("awake") == 2
    stand.button("Gauge").tap()
    sheet = stand.sheet("Which gauge is in your hand?")
    sheet.get_by_role("switch", name="Read it back").tap()
    expect(sheet.get_by_role("switch", name="Read it back")).to_be_checked()
    sheet.get_by_role("button", name="Close").tap()
    stand.read("Main journal 1, front, across the throw", "2.5498")
    assert stand.page.evaluate("said") == ["near: front, across the throw, 2.5498"]


def test_a_wrench_past_its_date_is_named_and_stops_the_work_without_the_shop(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    fresh_v8(shop)
    stand = without_the_shop(server, phone, JOB).step(HOUSINGS)
    stand.temperature(CAPS).at("Main caps seated, at full torque with the final fasteners")
    stand.button("Place after").tap()
    sheet = stand.sheet("Which gauge is in your hand?")
    late = sheet.get_by_role("button", name=starts(LATE))
    expect(late).to_contain_text("calibration was due on")
    late.tap()
    stand.at(WRENCH_PLACE).press("70").next()
    asked = stand.sheet("Is that what the gauge said?")
    expect(asked).to_contain_text("STOP: Click wrench 10 to 75 ft-lb, TW-05: calibration was due on")
    asked.get_by_role("button", name="No, found so").tap()
    expect(asked).to_be_hidden()
    stand.gauge(BORE_GAUGE).table()
    flags = stand.page.get_by_role("list", name="Flags of this step")
    expect(flags).to_contain_text("calibration was due on")
    expect(flags).to_contain_text("STOP")
    server.start()
    stand.try_shop()
    expect(stand.strip).to_contain_text("safe")
    torque = [entry for entry in shop.entries() if entry["step"] == main_housings.ID and entry["place"] == "torque"]
    assert torque[-1]["body"]["instrument"]["id"] == LATE_WRENCH
    assert torque[-1]["body"]["confirmed"] == ["overdue"]


@pytest.mark.parametrize("late", [True, False])
def test_a_lead_looks_after_the_instruments_and_phones_learn_of_it(
    shop: Shop, phone: Pocket, desk: Pocket, late: bool
) -> None:
    fresh_v8(shop)
    page = Desk(desk.open("/desk")).sign_in().tab("Instruments").page
    cards = page.get_by_role("list", name="Instruments").get_by_role("listitem")
    if late:
        card = cards.filter(has=page.get_by_role("heading", name=LATE))
        card.get_by_role("button", name="Change").click()
        card.get_by_label("Last calibrated on").fill("2026-11-20")
        card.get_by_role("button", name="Keep the change").click()
        expect(card).to_contain_text("calibration due 2027-11-20")
        expect(card.get_by_text("calibration was due")).to_be_hidden()
        card.get_by_text("History").click()
        expect(card).to_contain_text("changed: calibrated on 2026-11-20, calibration due 2027-11-20")
        return
    page.get_by_role("button", name="Add an instrument").click()
    form = page.get_by_role("form", name="Add an instrument")
    form.get_by_label("Kind").select_option("Outside micrometer, vernier sleeve")
    form.get_by_role("button", name="Add the instrument").click()
    expect(form.get_by_role("alert")).to_contain_text("wants a name")
    form.get_by_label("Name, as it is marked").fill("Micrometer 2 to 3 in, OM-77")
    form.get_by_role("button", name="Add the instrument").click()
    added = cards.filter(has=page.get_by_role("heading", name="Micrometer 2 to 3 in, OM-77"))
    expect(added).to_contain_text("reads to 0.0001 in")
    expect(added).to_contain_text("Check before use: On a gauge block or setting rod at both ends of the range")
    stand = Stand(phone.open()).take(JONAS).engine(JOB).step(JOURNALS).temperature(HOIST)
    expect(stand.sheet("Which gauge is in your hand?")).to_contain_text("OM-77")
    added.get_by_role("button", name="Change").click()
    added.get_by_label("Out of use, because").fill("dropped")
    added.get_by_role("button", name="Take it out of use").click()
    expect(added).to_contain_text("Out of use: dropped")
    expect(added.get_by_role("button", name="Take it into use again")).to_be_visible()


def test_the_zero_of_a_gauge_is_asked_for_in_sight_of_the_hand_and_a_tap_leads_there(shop: Shop, phone: Pocket) -> None:
    """More than ten dial-gauge readings since the last look at the zero (common practice)."""
    fresh_v8(shop)
    stand = Stand(phone.open()).take(JONAS).engine(JOB).step(CLEARANCE).temperature(CAPS)
    stand.answer("Gauge zeroed on the journal: reads the clearance")
    stand.at("Main caps with shells in, at full torque").answer("Yes").gauge(BORE_GAUGE)
    due = stand.page.get_by_role("button", name="Re-check the gauge's zero")
    for n, upright in enumerate(("0.0025", "0.0026", "0.0024", "0.0025"), 1):
        stand.at(f"Main {n} bearing, upright")
        expect(due).to_have_count(0)
        for digits in (upright, f"0.003{n % 2}", f"0.003{1 + n % 2}"):
            stand.types(digits)
    stand.at("Main 5 bearing, upright")
    expect(due).to_be_visible()
    due.tap()
    stand.at("Gauge zero checked").answer("Yes").at("Main 5 bearing, upright")
    expect(due).to_have_count(0)
