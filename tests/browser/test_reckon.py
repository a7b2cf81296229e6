"""The calculators on phone and desk: each answers as the command does; half a form outlives its browser."""

import json
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from standbook.cli_reckon import answered, inputs
from standbook.trade import reckon_page, reckon_words
from standbook.trade.calculators import CALCULATORS
from tests.browser.lead import Desk
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.stand import JONAS, Stand, starts
from tests.trade.reckon_typed import assert_same, typed
from tests.trade.vector_cases import Case, cases

CASES = cases()
ONE_EACH = list({case.calculator: case for case in CASES}.values())
TITLES = {name: title for _, rows in reckon_words.CHAPTERS for name, title, _ in rows}


def command(case: Case) -> dict[str, Any]:
    """What `standbook reckon NAME KEY=VALUE … --json` answers; lists and tables are JSON text there."""
    words = [f"{key}={value if isinstance(value, str) else json.dumps(value)}" for key, value in case.inputs.items()]
    return answered(case.calculator, inputs(words))


def up(words: str) -> str:
    return words[:1].upper() + words[1:]


def choose(page: Page, name: str) -> None:
    """From the list: the chapter is opened, the calculator tapped by its title."""
    chapter = next(title for title, rows in reckon_words.CHAPTERS if name in [row[0] for row in rows])
    expect(page.get_by_role("heading", name="Calculators")).to_be_visible()
    page.get_by_role("heading", name=chapter).click()
    page.get_by_role("link", name=starts(TITLES[name])).click()
    expect(page.get_by_role("heading", level=1, name=TITLES[name], exact=True)).to_be_visible()


def fill(page: Page, case: Case) -> None:
    for key, one in typed(case.calculator, case.inputs).items():
        words = up(reckon_words.words_for(case.calculator, key))
        shape = reckon_page.shape(case.calculator, key)
        if shape == "choice":
            page.get_by_role("combobox", name=words, exact=True).select_option(one["text"])
            continue
        page.get_by_role("textbox", name=words, exact=True).fill(one["text"])
        for at, (column, kind) in enumerate(reckon_page.columns(case.calculator, key)):
            if len(reckon_page.units_of(kind, key)) > 1:
                page.get_by_role("combobox", name=f"Unit: {column}", exact=True).select_option(one["units"][at] or "1")


def shown(page: Page) -> dict[str, list[str]]:
    """Each result by its words."""
    rows = page.locator(".reckon-results > div").all()
    return {row.locator("dt").inner_text(): row.locator("dd").all_inner_texts() for row in rows}


def answers_as_the_command(page: Page, case: Case) -> None:
    wanted = command(case)
    if wanted.get("refused"):
        expect(page.locator(".reckon-line")).to_contain_text("Not by this method:")
        assert shown(page) == {}
        return
    expect(page.get_by_role("region", name="Results").locator("dd").first).to_be_visible()
    found = shown(page)
    for key, output in wanted["outputs"].items():
        if key not in reckon_page.SAID_APART and output["value"] != "":
            lines = found[up(reckon_words.words_for(case.calculator, key))]
            assert_same(case.calculator, CALCULATORS[case.calculator].outputs[key], lines, output["value"])


def test_every_calculator_at_the_desk_answers_what_the_command_answers(desk: Pocket) -> None:
    page = Desk(desk.open("/desk")).sign_in().tab("Calculators").page
    for case in ONE_EACH:
        choose(page, case.calculator)
        fill(page, case)
        answers_as_the_command(page, case)
        page.get_by_role("link", name="All calculators").click()


def test_a_phone_without_its_shop_reckons_and_half_a_form_outlives_its_browser(server: Server, phone: Pocket) -> None:
    stand = Stand(phone.open()).take(JONAS)
    stand.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.close()
    server.stop()

    page = open_displacement(phone)
    line = page.get_by_role("status").filter(has_text="wanted")
    expect(line).to_contain_text("Still wanted: cylinder bore; number of cylinders; and 1 more")
    page.get_by_role("textbox", name="Cylinder bore").fill("4.125")
    page.get_by_role("textbox", name="Stroke").fill("3.7")
    kept(page)
    phone.kill()

    page = open_displacement(phone)
    expect(page.get_by_role("textbox", name="Stroke")).to_have_value("3.7")
    page.get_by_role("textbox", name="Stroke").fill("3.75")
    page.get_by_role("textbox", name="Number of cylinders").fill("8")
    # 400.92122 in^3 and 6569.9217 cm^3: the vector of this formula, by geometry.
    expect(page.locator(".reckon-line")).to_contain_text("400.92 in³")
    assert shown(page) == {"Displacement": ["400.92 in³ (6569.9 cm³)"]}
    page.get_by_role("textbox", name="Stroke").fill("3..75")
    expect(page.locator(".reckon-line")).to_contain_text("Stroke: this number has two decimal marks")
    expect(page.locator(".reckon-results > div")).to_have_count(0)
    page.get_by_role("textbox", name="Stroke").fill("3.75")
    page.get_by_role("button", name="Clear all").tap()
    expect(page.get_by_role("textbox", name="Cylinder bore")).to_have_value("")
    page.get_by_role("link", name="Back").tap()
    choose(page, "pushrod-correction")
    refused = next(case for case in CASES if case.calculator == "pushrod-correction" and command(case).get("refused"))
    fill(page, refused)
    answers_as_the_command(page, refused)


def open_displacement(phone: Pocket) -> Page:
    page = phone.open()
    page.get_by_role("link", name="Calculators").tap()
    choose(page, "displacement")
    return page


#: True when the form of a calculator on the disk has the stroke as far as it is typed.
DRAFTED = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open('standbook')
    opening.onerror = () => reject(opening.error)
    opening.onsuccess = () => {
        const reading = opening.result.transaction('drafts').objectStore('drafts').get('reckon/displacement')
        reading.onsuccess = () => {
            opening.result.close()
            resolve(JSON.parse(reading.result?.text ?? '{}').typed?.stroke?.text === '3.7')
        }
    }
})"""


def kept(page: Page) -> None:
    page.wait_for_function(DRAFTED)


@pytest.mark.parametrize("path", ["/calculators/boost", "/desk/calculators/boost"])
def test_an_address_of_no_calculator_says_so(phone: Pocket, path: str) -> None:
    page = phone.open()
    Stand(page).take(JONAS)
    if path.startswith("/desk"):
        page = phone.show("/desk")
        Desk(page).sign_in()
    page = phone.show(path)
    said = page.get_by_role("alert").filter(has_text="There is no calculator at this address.")
    expect(said).to_be_visible()
