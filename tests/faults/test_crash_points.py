"""Death before, in and after every write of both sides: the day goes on, and at its end nothing is lost or double."""

import json
import shutil
from collections.abc import Iterator, Sequence
from itertools import cycle, product, zip_longest
from pathlib import Path
from typing import TypeVar

import pytest

from standbook.api.first_lead import first_link
from standbook.network.seal import fresh
from tests.faults import crash_points, crash_points_found
from tests.faults.crash_points_tour import Day
from tests.faults.machine.machine import Ground
from tests.faults.machine.server import Doom, Killed, Reply, Server
from tests.faults.machine.world import World

PASSWORD = "a long enough password"
HOWS = ("before", "after", "full", "trouble")
TEXTS = crash_points.CLIENT_TEXTS
COMMITS = (*crash_points.COMMITS, *crash_points.KEEPING)
D = TypeVar("D")
HEADERS = {"X-Standbook": "1", "Content-Type": "application/json"}


@pytest.fixture(scope="module")
def cheap_secrets() -> Iterator[None]:
    """Hashes and keys take long on purpose; the days are about when they are written, and not how strong they are."""
    keys = cycle([fresh(), fresh()])
    with pytest.MonkeyPatch.context() as cheap:
        cheap.setattr("standbook.people.pins.ITERATIONS", 1000)
        cheap.setattr("standbook.network.seal.fresh", lambda: next(keys))
        yield


@pytest.fixture(scope="module")
def ground(cheap_secrets: None) -> Iterator[Ground]:
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
    assert sorted((*crash_points.COMMITS, *crash_points.FIRST_COMMITS)) == sorted(crash_points_found.commits())


def test_the_list_of_the_servers_file_changes_is_what_its_code_does() -> None:
    assert sorted((*crash_points.FILES, *crash_points.FIRST_FILES)) == sorted(crash_points_found.file_changes())


def test_a_day_without_a_death_ends_well_and_makes_every_write_on_the_lists(world: World) -> None:
    seen: set[str] = set()
    world.heard_write = seen.add
    Day(world).go()
    assert set(crash_points.CLIENT) - seen == set()
    wanted = {*crash_points.COMMITS, *crash_points.KEEPING, *crash_points.FILES}
    assert wanted - set(world.server.writes) == set()


#: A page dies around each write; or the phone's disk refuses it.
PAGE_DOOMS = [
    *({"on": "commit", "after": 0, "how": how, "purpose": write} for write, how in product(crash_points.CLIENT, HOWS)),
    *({"on": "witness", "after": 0, "how": how} for _text, how in product(TEXTS, ("before", "after"))),
]
SERVER_DOOMS = [
    *(Doom("commit", 0, how, write) for write, how in product(COMMITS, ("before", "in", "after"))),
    *(Doom("file", 0, how, change) for change, how in product(crash_points.FILES, ("before", "after"))),
]


def named(dooms: list[Doom | dict[str, object]]) -> str:
    return " and ".join(named_one(doom) for doom in dooms)


def named_one(doom: Doom | dict[str, object]) -> str:
    if isinstance(doom, Doom):
        return f"{doom.what} {doom.how}"
    return f"{doom.get('purpose', doom['on'])} {doom['how']}"


def by_day(dooms: Sequence[D]) -> list[list[D]]:
    """Two a day, of different writes: a write's own ones stand side by side on the list."""
    half = (len(dooms) + 1) // 2
    return [list(dooms[day::half]) for day in range(half)]


@pytest.mark.parametrize(
    ("page", "server"), [*zip_longest(by_day(PAGE_DOOMS), by_day(SERVER_DOOMS), fillvalue=[])], ids=named
)
def test_a_day_with_deaths_around_these_writes_on_either_side_loses_nothing(
    world: World, page: list[dict[str, object]], server: list[Doom]
) -> None:
    """Four deaths a day, two a side: a day takes a second, and the deaths are many."""
    world.page_dooms = [dict(doom) for doom in page]
    world.server.dooms = list(server)
    Day(world).go()
    assert world.page_dooms == [], "the page was never killed, its write never refused"
    assert world.server.deaths == len(server)


@pytest.mark.parametrize(
    "doom",
    [
        *(Doom("commit", 0, how, what) for how in ("before", "in", "after") for what in crash_points.FIRST_COMMITS),
        *(Doom("file", 0, how, what) for how in ("before", "after") for what in crash_points.FIRST_FILES),
        *(Doom("commit", 0, how, "people.sessions.open_session") for how in ("before", "in", "after")),
    ],
    ids=lambda doom: f"{doom.what}, {doom.how}",
)
def test_a_server_killed_while_its_shop_begins_has_one_shop_with_a_lead_or_none(tmp_path: Path, doom: Doom) -> None:
    server = Server(tmp_path / "data")
    server.naming = True
    server.start()
    server.dooms = [doom]
    with pytest.raises(Killed):
        begun(server)
    server.start()
    if server.rows("SELECT id FROM shops") == []:
        assert begun(server).status == 201
    assert first_link(server.services, "") is None
    form = {"person": "Ann O.", "password": PASSWORD}
    assert server.ask("POST", "/api/v1/session", HEADERS, json.dumps(form).encode()).status == 200
    assert server.rows("SELECT count(*) FROM shops") == server.rows("SELECT count(*) FROM people") == [(1,)]
    assert list(server.services.settings.keys.iterdir()) == []
    server.stop()


def begun(server: Server) -> Reply:
    link = first_link(server.services, "")
    assert link
    form = {"token": link.split("#")[1], "shop": "Our Shop", "name": "Ann O.", "password": PASSWORD}
    return server.ask("POST", "/api/v1/first-lead", HEADERS, json.dumps(form).encode())
