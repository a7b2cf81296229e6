"""The demo shop: engines that differ, half-way through, with something for every eye to find."""

from collections.abc import Iterator
from typing import Any

import pytest

import seed_demo
from seed_demo import eight, four, shop, six, twin, v8
from standbook.people.pins import Hashed, fits, present
from standbook.trade.engine import Engine
from tests.ledger.kit import Book

STEPS = (
    *("main_housings", "journals", "main_bearing_clearance", "pushrod_length", "main_cap_bolts", "rod_bolts"),
    *("timing_cover_bolts", "oil_pan_bolts", "head_bolts", "final_marks", "intake_bolts"),
    *("solid_lash", "hydraulic_preload", "lash_again"),
)
ENGINES = (v8, six, four, twin, eight)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    book = Book(tmp_path_factory.mktemp("demo") / "data")
    seed_demo.seed(book.ledger, book.services.writer)
    yield book
    book.close()


@pytest.fixture(scope="module")
def builds(demo: Book) -> dict[str, dict[str, Any]]:
    answer = demo.app.test_client().get("/api/v1/builds").json
    return {build["job"]: build for build in answer["builds"]}


def steps_of(build: dict[str, Any]) -> dict[str, Any]:
    return {step["id"]: step for stage in build["stages"] for step in stage["steps"]}


def step(demo: Book, builds: dict[str, Any], job: str, step: str) -> dict[str, Any]:
    address = f"/api/v1/builds/{builds[job]['build']}/steps/{step}"
    view: dict[str, Any] = demo.app.test_client().get(address).json
    return view


def places(view: dict[str, Any]) -> dict[str, Any]:
    return {place["id"]: place for group in view["groups"] for place in group["places"]}


def test_every_entry_is_in_the_book_and_nothing_beside_it(demo: Book) -> None:
    report = demo.ledger.check()
    assert (report.findings, report.open_asides) == ([], 0)
    assert report.entries > 200


@pytest.mark.parametrize("engine", ENGINES)
def test_the_specifications_are_whole(engine: Any) -> None:
    assert Engine(engine.ENGINE).problems() == []


@pytest.mark.parametrize("field", ["layout", "numbering", "rotation", "firing_order"])
def test_the_two_engines_differ(field: str) -> None:
    assert v8.ENGINE[field] != six.ENGINE[field]


def test_all_are_half_way_through_the_steps(builds: dict[str, Any]) -> None:
    states = {(job, step): view["state"] for job, build in builds.items() for step, view in steps_of(build).items()}
    assert {step for _, step in states} == set(STEPS)
    assert set(states.values()) == {"not started", "in work", "measured", "accepted"}


def test_a_card_is_in_force_for_each(builds: dict[str, Any]) -> None:
    assert all(build["limits"]["cards"] and not build["limits"]["needs_blob"] for build in builds.values())


def flags(builds: dict[str, Any], sort: str) -> list[dict[str, Any]]:
    return [flag for build in builds.values() for flag in build["flags"] if flag["sort"] == sort]


def test_one_main_clearance_is_out_of_limits_and_waits_for_the_lead(builds: dict[str, Any]) -> None:
    (flag,) = [flag for flag in flags(builds, "out") if flag["step"] == "main_bearing_clearance"]
    assert flag["open"]
    assert flag["answer"].startswith("found so: ")


def test_the_four_runs_on_its_delivered_pushrods_and_the_marks_are_signed(demo: Book, builds: dict[str, Any]) -> None:
    view = step(demo, builds, "K-058", "final_marks")
    assert (view["state"], view["signed"]["person"]) == ("accepted", shop.JONAS)
    assert {value["verdict"] for group in view["groups"] for value in group["values"]} == {"in", "shown"}
    assert not view["flags"]


def test_of_the_second_v8_one_final_mark_is_out_and_waits_for_the_lead_and_two_are_still_to_make(
    demo: Book, builds: dict[str, Any]
) -> None:
    (flag,) = [flag for flag in builds["R-109"]["flags"] if flag["open"]]
    assert (flag["step"], flag["sort"], flag["severity"]) == ("final_marks", "out", "WARN")
    assert "Exhaust 7" in flag["words"]
    view = step(demo, builds, "R-109", "final_marks")
    assert (view["state"], view["next"]) == ("in work", "2I.length")


def test_one_reading_has_two_digits_swapped_and_nobody_has_answered(builds: dict[str, Any]) -> None:
    (flag,) = [flag for flag in flags(builds, "slip") if flag["open"]]
    assert "Did you mean 2.0997?" in flag["words"]
    assert flag["answer"] is None


def test_one_head_bolt_felt_wrong_and_its_head_waits_while_the_other_is_tight_and_seen(
    demo: Book, builds: dict[str, Any]
) -> None:
    (flag,) = flags(builds, "joint")
    assert (flag["severity"], flag["open"]) == ("HOLD", True)
    assert flag["words"].startswith("Right head, bolt 7 creaked.")
    address = f"/api/v1/builds/{builds['R-117']['build']}/steps/head_bolts"
    view = demo.app.test_client().get(address).json
    assert places(view)["H1.check"]["readings"][0]["person"] == shop.ROSA
    assert [flag["severity"] for flag in view["flags"]] == ["HOLD"]


def test_one_reading_was_typed_wrong_and_stands_struck_out(demo: Book, builds: dict[str, Any]) -> None:
    place = places(step(demo, builds, "R-117", "journals"))["MJ2.F.0"]
    assert [reading["struck"] for reading in place["readings"]] == ["typed wrong, replaced", None]
    assert place["accepted"]["text"] == "2.5497"


def test_whole_rows_are_untouched(demo: Book, builds: dict[str, Any]) -> None:
    view = places(step(demo, builds, "R-117", "journals"))
    assert all(not view[place]["readings"] for place in view if place.startswith("RJ4."))
    lash = places(step(demo, builds, "H-204", "solid_lash"))
    assert sum(bool(place["readings"]) for name, place in lash.items() if name.endswith(".lash")) == 5


def test_five_valves_of_the_four_are_set_to_the_preload_of_its_card(demo: Book, builds: dict[str, Any]) -> None:
    view = step(demo, builds, "K-058", "hydraulic_preload")
    values = [value for group in view["groups"] for value in group["values"] if value["shown"]]
    assert [value["verdict"] for value in values] == ["in"] * 5
    assert {limit["source"] for value in values for limit in value["limits"]} == {"spec card: Lifter card, version 1"}
    assert not [flag for flag in builds["K-058"]["flags"] if flag["open"]]


def test_the_twin_stands_in_the_middle_of_its_rod_bolts(demo: Book, builds: dict[str, Any]) -> None:
    view = step(demo, builds, "K-061", "rod_bolts")
    assert [value["verdict"] for group in view["groups"] for value in group["values"] if value["shown"]] == ["in"] * 4
    at = places(view)
    people = {at[f"RF{rod}.second{bolt}"]["readings"][0]["person"] for rod in (1, 2) for bolt in (1, 2)}
    assert people == {shop.ROSA}
    assert (view["next"], bool(at["RF3.free2"]["readings"])) == ("RF3.stretch1", True)
    assert not [flag for flag in builds["K-061"]["flags"] if flag["open"]]


def test_a_signature_is_kept_with_what_it_showed(demo: Book, builds: dict[str, Any]) -> None:
    view = step(demo, builds, "R-117", "main_housings")
    assert (view["state"], view["signed"]["person"]) == ("accepted", "Jonas K.")
    signed = [stretch for engine in ENGINES for stretch in engine.BUILD.work if stretch.signed is not None]
    table_of_limits = 1
    assert demo.sql("SELECT count(*) FROM blobs") == [(table_of_limits + len(signed),)]


def test_the_lead_signs_in_with_the_printed_password(demo: Book) -> None:
    name, _, password = shop.LEAD
    with demo.ledger.reading() as connection:
        words = seed_demo.sign_in_words(connection)
    assert words.startswith(f"sign in as {name}, password {password}; PINs: {name} {shop.PINS[name]}, ")
    client = demo.app.test_client()
    people = {person["name"]: person["id"] for person in client.get("/api/v1/shop").json["people"]}
    answer = client.post(
        "/api/v1/session", json={"person": people[name], "password": password}, headers={"X-Standbook": "1"}
    )
    assert answer.json["person"]["role"] == "lead"


def test_everybody_of_the_demo_has_the_pin_that_is_printed(demo: Book) -> None:
    with demo.ledger.reading() as connection:
        given = present(connection, demo.ledger.shop())
        words = seed_demo.sign_in_words(connection)
    people = demo.app.test_client().get("/api/v1/shop").json["people"]
    for person in people:
        pin = shop.PINS[person["name"]]
        kept = given[person["id"]]
        assert fits(pin, Hashed(kept["salt"], kept["hash"], kept["iterations"]))
        assert f"{person['name']} {pin}" in words


def test_every_gauge_is_one_that_the_brain_knows(demo: Book) -> None:
    from standbook.trade.instruments import kinds

    known = {kind["kind"] for kind in kinds()}
    gauges = demo.app.test_client().get("/api/v1/shop").json["instruments"]
    assert {gauge["kind"] for gauge in gauges} <= known
