"""Stories that once ended badly, told by hand: each is the shortest way to a fault that a seed found."""

import random
from collections.abc import Iterator

import pytest

from tests.faults.crash_points_tour import Day
from tests.faults.machine import acts, disasters, healing, network, shop
from tests.faults.machine.checks import check
from tests.faults.machine.machine import Ground
from tests.faults.machine.network import Request
from tests.faults.machine.people import Phone
from tests.faults.machine.world import World


@pytest.fixture(scope="module")
def ground() -> Iterator[Ground]:
    made = Ground()
    yield made
    made.close()


@pytest.fixture
def day(ground: Ground) -> Iterator[Day]:
    world = World(ground.phones, ground.template, ground.folder / "story", seed=1)
    yield Day(world)
    world.end()


def ends_well(day: Day) -> None:
    healing.heal(day.world)
    check(day.world)


def phone(day: Day, name: str) -> Phone:
    return day.world.phones[name]


def backup(day: Day) -> None:
    disasters.backup(day.world, phone(day, "A"), day.luck)


def restore(day: Day) -> None:
    disasters.restore(day.world, phone(day, "A"), random.Random(1))
    day.world.start_server()


def cleared(day: Day, name: str) -> None:
    disasters.clear(day.world, phone(day, name), witness=True)


def empty_yes(world: World, request: Request, luck: random.Random) -> list[dict[str, object]]:
    """A stranger's answer without content."""
    return [{"do": "answer", "id": request.id, "status": 204, "headers": {}, "body": ""}]


def test_lg9_a_phone_that_had_never_pulled_offers_again_what_a_restored_book_has_lost(day: Day) -> None:
    backup(day)
    day.record("A", shop.a_reading)
    day.world.forced.append(("/sync/pull", network.lost))
    acts.talk(day.world, phone(day, "A"), day.luck)
    restore(day)
    ends_well(day)


def test_lg9_what_a_cleared_phone_wrote_comes_back_from_another_though_the_first_talk_with_the_restored_book_is_cut(
    day: Day,
) -> None:
    backup(day)
    day.record("A", shop.a_reading)
    day.talk("A")
    day.talk("D")
    cleared(day, "A")
    restore(day)
    day.world.forced += [("/sync/pull", network.through), ("/sync/pull", network.lost)]
    acts.talk(day.world, phone(day, "D"), day.luck)
    ends_well(day)


def test_lg9_a_restored_server_gets_the_texts_that_signatures_showed_again(day: Day) -> None:
    backup(day)
    day.record("A", shop.signed_with_its_text)
    day.talk("A")
    restore(day)
    ends_well(day)


def test_lg9_a_phone_with_the_first_version_that_met_a_restored_server_offers_its_texts_once_it_is_updated(
    day: Day,
) -> None:
    phone(day, "A").client = "previous"
    backup(day)
    day.record("A", shop.signed_with_its_text)
    day.talk("A")
    restore(day)
    day.talk("A")
    day.talk("A")
    ends_well(day)


def test_lg9_entries_behind_one_that_only_the_lost_book_had_kept_back_reach_the_restored_book(day: Day) -> None:
    backup(day)
    day.record("A", shop.a_reading)
    day.record("A", shop.by_a_stranger)
    day.record("A", shop.a_reading)
    day.talk("A")
    day.talk("D")
    cleared(day, "A")
    restore(day)
    ends_well(day)
    codes = day.world.server.rows("SELECT device_no, code FROM held_back")
    assert codes == [(2, "number_missing")]


@pytest.mark.parametrize("client", ["today", "previous"])
def test_lg4_of_two_phones_with_one_identity_both_entries_are_kept_though_one_comes_in_the_midst_of_the_others_pull(
    day: Day, client: str
) -> None:
    phone(day, "A").client = client
    day.record("A", shop.a_reading)
    day.talk("A")
    disasters.clone(day.world, phone(day, "A"), day.luck)
    day.record("B", shop.a_reading)
    day.talk("B")
    day.world.forced.append(("/sync/pull", network.delayed))
    acts.talk(day.world, phone(day, "A"), day.luck)
    day.record("A", shop.a_reading)
    disasters.held_up_go(day.world, phone(day, "A"), day.luck)
    ends_well(day)
    assert day.world.server.rows("SELECT device_no, code FROM conflicts") == [(2, "same_number")]


def test_lg4_what_a_phone_and_its_copy_wrote_under_one_number_is_kept_when_files_alone_bring_it(day: Day) -> None:
    day.record("A", shop.a_reading)
    day.talk("A")
    disasters.clone(day.world, phone(day, "A"), day.luck)
    for name in ("A", "B"):
        phone(day, name).in_reach = False
        day.record(name, shop.a_reading)
        acts.hand_on(day.world, phone(day, name), day.luck)
    for file in day.world.files:
        day.do("D", "importFile", file.text)
    cleared(day, "A")
    cleared(day, "B")
    ends_well(day)
    assert day.world.server.rows("SELECT device_no, code FROM conflicts") == [(2, "same_number")]


def test_lg13_a_strangers_empty_yes_is_not_taken_for_the_shops(day: Day) -> None:
    day.record("A", shop.signed_with_its_text)
    day.world.forced.append(("/blobs/", empty_yes))
    acts.talk(day.world, phone(day, "A"), day.luck)
    ends_well(day)


def test_lg6_a_strangers_empty_yes_deals_with_nothing(day: Day) -> None:
    day.record("A", shop.by_a_stranger)
    day.talk("A")
    day.world.forced.append(("/dealt", empty_yes))
    acts.deal_with_own(day.world, phone(day, "A"), day.luck)
    ends_well(day)


def test_lg13_a_picture_is_entered_once_though_another_tab_takes_up_what_was_left_unfinished(day: Day) -> None:
    day.page("A")
    acts.photo_beside_a_new_tab(day.world, phone(day, "A"), day.luck)
    ends_well(day)
    photos = day.world.server.rows("SELECT count(*) FROM entries WHERE kind = 'photo'")
    assert photos == [(1,)]


def test_lg14_a_cleared_browser_does_not_call_lost_what_was_handed_on_by_file(day: Day) -> None:
    day.record("A", shop.a_reading)
    day.talk("A")
    phone(day, "A").in_reach = False
    day.record("A", shop.a_reading)
    acts.hand_on(day.world, phone(day, "A"), day.luck)
    cleared(day, "A")
    phone(day, "A").in_reach = True
    day.talk("A")
    ends_well(day)
    before = day.world.ask(day.page("A"), "identity")["before"]
    assert (before["made"], before["at_shop"]) == (2, 2)


def test_lg14_a_cleared_browser_says_exactly_how_many_entries_never_reached_the_shop(day: Day) -> None:
    day.record("A", shop.a_reading)
    day.talk("A")
    phone(day, "A").in_reach = False
    for _ in range(3):
        day.record("A", shop.a_reading)
    cleared(day, "A")
    ends_well(day)
    before = day.world.ask(day.page("A"), "identity")["before"]
    assert (before["made"], before["at_shop"]) == (4, 1)
