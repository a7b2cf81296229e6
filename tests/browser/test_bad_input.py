"""What cannot be right, typed at the pad, by a keyboard or gauge, and into the desk's form."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.engines import JOB, fresh_v8
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.stand import HOIST, JONAS, JOURNALS, PART, THERMOMETER, Stand, starts

NEW_JOB = "T-400"
FIRST, SECOND = "Main journal 1, front, in line with the throw", "Main journal 1, front, across the throw"


@pytest.fixture
def stand(shop: Shop, phone: Pocket) -> Stand:
    """On the first size of the crank, micrometer in hand."""
    fresh_v8(shop)
    return Stand(phone.open()).take(JONAS).engine(JOB).first_journal()


def sizes(shop: Shop) -> list[str]:
    """The values of this story's readings in the shop's book, without the temperature."""
    builds = {entry["build"] for entry in shop.entries() if entry["body"].get("job") == JOB}
    readings = [entry for entry in shop.entries() if entry["build"] in builds and entry["kind"] == "reading"]
    return [entry["body"]["value"]["text"] for entry in readings if entry["place"].startswith("MJ")]


def test_the_pad_takes_no_second_decimal_mark_and_no_empty_box(shop: Shop, stand: Stand) -> None:
    stand.next()
    expect(stand.trouble).to_contain_text("Nothing is typed yet")
    stand.press("2..5.4")
    expect(stand.box).to_have_value("2.54")
    expect(stand.trouble).to_be_hidden()
    stand.press("97").next()
    expect(stand.kept).to_contain_text("2.5497")
    stand.at(SECOND).all_safe(2)
    assert sizes(shop) == ["2.5497"]


TWO_MARKS, NO_DIGITS = (
    "Two decimal marks: keep one point or one comma.",
    "Only the digits 0 to 9 and one point or comma",
)
#: The fifth is written in another script's digits.
NO_NUMBERS = {
    "2.54.97": TWO_MARKS,
    "2,549,7": TWO_MARKS,
    "abc": NO_DIGITS,
    "2_549": NO_DIGITS,
    "\u0662.\u0665\u0664": NO_DIGITS,
    "NaN": NO_DIGITS,
    "1e400": NO_DIGITS,
}


def test_what_is_no_number_is_told_in_a_sentence_and_stays_in_the_box(shop: Shop, stand: Stand) -> None:
    for typed, told in NO_NUMBERS.items():
        stand.box.fill(typed)
        expect(stand.trouble).to_be_hidden()
        stand.next()
        expect(stand.trouble).to_contain_text(told)
        expect(stand.box).to_have_value(typed)
        stand.at(FIRST)
    assert sizes(shop) == []


def test_a_gauge_that_types_fills_the_place_and_goes_on(shop: Shop, stand: Stand) -> None:
    """Digits and Enter as a keyboard sends them, with nobody touching the phone in between."""
    keyboard = stand.page.keyboard
    for place, digits in (
        (FIRST, "2.5497"),
        (SECOND, "2.5498"),
        ("Main journal 1, rear, in line with the throw", "2.5497"),
    ):
        stand.at(place)
        keyboard.type(digits)
        keyboard.press("Enter")
        expect(stand.kept).to_contain_text(digits)
    stand.at("Main journal 1, rear, across the throw").all_safe(4)
    assert sizes(shop) == ["2.5497", "2.5498", "2.5497"]


def test_a_gauge_quicker_than_the_disk_loses_no_digit(shop: Shop, stand: Stand) -> None:
    """Two readings in one breath: the second one's digits belong to the second place."""
    stand.page.keyboard.type("2.5497\n2.5498\n")
    stand.at("Main journal 1, rear, in line with the throw").all_safe(3)
    assert sizes(shop) == ["2.5497", "2.5498"]


def test_a_gauge_cannot_type_past_a_caution_that_nobody_has_tapped(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    stand = Stand(phone.open()).take(JONAS).engine(JOB).step(JOURNALS).at(PART).gauge(THERMOMETER)
    stand.page.keyboard.type("69\n")
    expect(stand.page.get_by_role("region", name="Before you start")).to_contain_text(HOIST)
    stand.at(PART).checked(HOIST)
    expect(stand.strip).to_contain_text("Nothing of yours yet")


# --- the desk's form -------------------------------------------------------------------------------------------


@pytest.fixture
def form(desk: Pocket) -> Desk:
    """The form for opening a build, filled with an engine that holds together."""
    filled = Desk(desk.open("/desk")).sign_in().tab("Open a build")
    field(filled, "Job number").fill(NEW_JOB)
    for words, value in FILLED.items():
        fill(field(filled, words), value)
    return filled


FILLED = {
    "Cylinders": "8",
    "Layout": "V",
    "Bank angle": "90",
    "Cylinder numbers, front to rear": "1-3-5-7\n2-4-6-8",
    "Cylinders on each rod journal": "1-2\n3-4\n5-6\n7-8",
    "Firing order": "1-8-4-3-6-5-7-2",
    "Rotation": "Clockwise, seen from the front",
    "Bore": "4.080",
    "Stroke": "3.600",
    "Main bearings": "5",
    "Main journal, nominal": "2.5500",
    "Rod journal, nominal": "2.1000",
    "Main housing bore, nominal": "2.7400",
    "Block": "Iron",
    "Heads": "Aluminium",
    "Lifters": "Flat tappet, hydraulic",
    "Intake opens before top dead centre": "24",
    "Intake closes after bottom dead centre": "60",
    "Exhaust opens before bottom dead centre": "62",
    "Exhaust closes after top dead centre": "22",
    "Lobe rise of the seat figures": "0.006",
}


def field(desk: Desk, words: str) -> Locator:
    return desk.page.get_by_label(words, exact=True)


def fill(field: Locator, value: str) -> None:
    if field.evaluate("element => element.localName") == "select":
        field.select_option(label=value)
    else:
        field.fill(value)


def send(desk: Desk) -> None:
    desk.page.get_by_role("button", name="Open the build").click()


def refused(desk: Desk, words: str, told: str) -> None:
    """The form says at the field what is wrong and what to do, and stands there as it was filled."""
    send(desk)
    expect(field(desk, words)).to_have_attribute("aria-invalid", "true")
    expect(field(desk, words)).to_have_accessible_description(re.compile(re.escape(told)))
    expect(desk.page.get_by_role("heading", name="Open a build")).to_be_visible()


def opened(shop: Shop) -> list[str]:
    """Ids of the builds that the form has opened."""
    return [entry["build"] for entry in shop.entries() if entry["body"].get("job") == NEW_JOB]


IMPOSSIBLE = {
    "1-8-4-3-6-5-7-7": "once",
    "1-8-4-3-6-5-7": "once",
    "1-3-2-4-5-7-6-8": "This crank cannot fire evenly in this order",
    "one, eight": "cylinder numbers",
}


def test_bores_and_orders_that_cannot_be_are_refused_at_their_fields_until_they_are_put_right(
    shop: Shop, form: Desk
) -> None:
    field(form, "Bore").fill("40")
    refused(form, "Bore", "Bore should lie between 2.5 to 5.0 in: check the number and its unit.")
    field(form, "Bore").fill("4.080")
    for order, told in IMPOSSIBLE.items():
        field(form, "Firing order").fill(order)
        refused(form, "Firing order", told)
    field(form, "Firing order").fill("1-8-4-3-6-5-7-2")
    assert not opened(shop)
    send(form)
    expect(form.page.get_by_role("heading", level=1, name=starts(NEW_JOB))).to_be_visible()
    expect(form.strip).to_contain_text("safe")
    assert len(opened(shop)) == 1


def test_a_build_without_its_job_number_is_refused_at_that_field(shop: Shop, form: Desk) -> None:
    field(form, "Job number").fill(" ")
    refused(form, "Job number", "Give the job its number.")
    assert not opened(shop)
