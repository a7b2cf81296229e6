"""Two tabs of the stand on one phone: one book, one chain of numbers."""

from playwright.sync_api import expect

from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop, assert_whole, chain_of
from tests.browser.stand import JONAS, JOURNALS, LASH, Stand

SIZES = ("2.5497", "2.5498", "2.5497", "2.5496", "2.5497", "2.5498")
#: Both pages are tapped from inside, so that the second tap does not wait for the first one's end.
TAP_NEXT = "document.querySelector('button.next').click()"
TAP_SET = "document.querySelector('button.set-key').click()"


def test_two_tabs_record_at_the_same_time_and_no_number_is_used_twice(shop: Shop, phone: Pocket) -> None:
    build = fresh_v8(shop)
    journals = Stand(phone.open()).take(JONAS).engine(JOB).first_journal()
    lash = Stand(phone.open())
    # The engines stand still once the shop was seen; before that the newest may still come in.
    expect(lash.strip).to_contain_text("shop seen just now")
    lash.engine(JOB).first_valve()
    for done, size in enumerate(SIZES, 1):
        journals.look().press(size)
        lash.look()
        journals.page.evaluate(TAP_NEXT)
        lash.page.evaluate(TAP_SET)
        expect(journals.box).to_have_value("")
        expect(lash.page.get_by_text(f"{done} of 16 done")).to_be_visible()
    both_see_all(journals, lash)
    one_chain(shop, build, journals)


def both_see_all(journals: Stand, lash: Stand) -> None:
    """Each tab's table has what the other one recorded."""
    for stand, other in ((journals, LASH), (lash, JOURNALS)):
        stand.look().back().back_to(JOB)
        card = stand.page.get_by_role("listitem").filter(has=stand.page.get_by_role("link", name=other))
        expected = {LASH: f"{2 + len(SIZES)} of 18", JOURNALS: f"{len(SIZES)} of 36"}[other]
        expect(card).to_contain_text(expected)


def one_chain(shop: Shop, build: str, stand: Stand) -> None:
    stand.all_safe(1 + 2 + 2 * len(SIZES))
    entries = shop.entries()
    assert_whole(entries)
    written = [entry for entry in shop.of_build(build) if entry["kind"] == "reading"]
    places = {entry["place"] for entry in written}
    assert len([place for place in places if place.startswith("MJ")]) == len(SIZES)
    assert len([place for place in places if place.endswith(".lash")]) == len(SIZES)
    (device,) = {entry["device"] for entry in written}
    assert chain_of(entries, device) == list(range(1, len(written) + 1))
