"""Death before, in and after every write of both sides: the day goes on, and at its end nothing is lost or double."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

from tests.faults import crash_points, crash_points_found
from tests.faults.crash_points_tour import Day
from tests.faults.machine.machine import Ground
from tests.faults.machine.server import Doom, Killed, Server
from tests.faults.machine.world import World


@pytest.fixture(scope="module")
def ground() -> Iterator[Ground]:
    made = Ground()
    made.phones.tell({"do": "name_writes", "wish": True})
    yield made
    made.close()


@pytest.fixture
def world(ground: Ground) -> Iterator[World]:
    made = World(ground.phones, ground.template, ground.folder / "day", seed=1, network=True)
    made.server.naming = True
    yield made
    made.end()
    shutil.rmtree(ground.folder / "day", ignore_errors=True)


def test_the_list_of_the_clients_writes_is_what_its_code_does() -> None:
    assert sorted(crash_points.CLIENT) == sorted(crash_points_found.client_writes())


def test_the_list_of_the_clients_texts_is_what_its_code_does() -> None:
    assert sorted(crash_points.CLIENT_TEXTS) == sorted(crash_points_found.client_texts())


def test_the_list_of_the_servers_commits_is_what_its_code_does() -> None:
    assert sorted(crash_points.COMMITS + crash_points.FIRST_COMMITS) == sorted(crash_points_found.commits())


def test_the_list_of_the_servers_file_changes_is_what_its_code_does() -> None:
    assert sorted(crash_points.FILES + crash_points.FIRST_FILES) == sorted(crash_points_found.file_changes())


def test_a_day_without_a_death_ends_well_and_makes_every_write_on_the_lists(world: World) -> None:
    seen: set[str] = set()
    world.heard_write = seen.add
    Day(world).go()
    assert set(crash_points.CLIENT) - seen == set()
    assert {*crash_points.COMMITS, *crash_points.FILES} - set(world.server.writes) == set()


@pytest.mark.parametrize("how", ["before", "after"])
@pytest.mark.parametrize("write", crash_points.CLIENT)
def test_a_page_killed_around_this_write_loses_nothing(world: World, write: str, how: str) -> None:
    world.page_dooms = [{"on": "commit", "after": 0, "how": how, "purpose": write}]
    Day(world).go()
    assert world.page_dooms == [], "the page was never killed"


@pytest.mark.parametrize("how", ["before", "after"])
@pytest.mark.parametrize("write", crash_points.CLIENT_TEXTS)
def test_a_page_killed_around_this_text_loses_nothing(world: World, write: str, how: str) -> None:
    world.page_dooms = [{"on": "witness", "after": 0, "how": how}]
    Day(world).go()
    assert world.page_dooms == [], "the page was never killed"


@pytest.mark.parametrize("how", ["full", "trouble"])
@pytest.mark.parametrize("write", crash_points.CLIENT)
def test_a_write_that_the_phones_disk_refuses_loses_nothing(world: World, write: str, how: str) -> None:
    world.page_dooms = [{"on": "commit", "after": 0, "how": how, "purpose": write}]
    Day(world).go()
    assert world.page_dooms == [], "the write was never refused"


@pytest.mark.parametrize("how", ["before", "in", "after"])
@pytest.mark.parametrize("write", crash_points.COMMITS)
def test_a_server_killed_around_this_commit_loses_nothing(world: World, write: str, how: str) -> None:
    world.server.doom = Doom("commit", 0, how, write)
    Day(world).go()
    assert world.server.deaths == 1


@pytest.mark.parametrize("how", ["before", "after"])
@pytest.mark.parametrize("change", crash_points.FILES)
def test_a_server_killed_around_this_change_of_a_file_loses_nothing(world: World, change: str, how: str) -> None:
    world.server.doom = Doom("file", 0, how, change)
    Day(world).go()
    assert world.server.deaths == 1


FIRSTS = [("commit", name, how) for name in crash_points.FIRST_COMMITS for how in ("before", "in", "after")]
FIRSTS += [("file", name, how) for name in crash_points.FIRST_FILES for how in ("before", "after")]


@pytest.mark.parametrize(("on", "what", "how"), FIRSTS)
def test_a_server_killed_while_it_takes_its_first_lead_on_has_one_lead_in_the_end(
    tmp_path: Path, on: str, what: str, how: str
) -> None:
    server = Server(tmp_path / "shop")
    server.start()
    server.naming = True
    form = {"token": server.first_link(), "shop": "A shop", "name": "Lea D.", "password": "seven brass feelers on it"}
    server.doom = Doom(on, 0, how, what)
    with pytest.raises(Killed):
        told(server, "/first-lead", form)
    server.start()
    # Either the link is still good, or he is there already.
    assert told(server, "/first-lead", form) in (201, 401)
    assert told(server, "/first-lead", form) == 401
    assert told(server, "/session", {"person": "Lea D.", "password": form["password"]}) == 200
    server.stop()


def told(server: Server, path: str, form: dict[str, str]) -> int:
    headers = {"content-type": "application/json", "x-standbook": "1"}
    return server.ask("POST", f"/api/v1{path}", headers, msgspec.json.encode(form)).status
