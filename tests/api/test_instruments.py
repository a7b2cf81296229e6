"""The shop's instruments over the API: kept by leads, each change against the version that was looked at."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.roles import copy_of, signed_in_as, staffed
from tests.ledger.kit import BODIES, Book, Phone

OURS = {"X-Standbook": "1"}


def typed(text: str, unit: str) -> dict[str, str]:
    return {"text": text, "unit": unit}


FEELERS = {
    "kind": "feeler_gauges",
    "name": "Feelers, drawer 3",
    "step": typed("0.001", "in"),
    "trust": typed("0.0005", "in"),
}
WRENCH = {
    "kind": "torque_wrench",
    "name": "Wrench 30 to 150",
    "step": typed("1", "lbf*ft"),
    "trust": typed("4", "%"),
    "range_low": typed("30", "lbf*ft"),
    "range_high": typed("150", "lbf*ft"),
    "band": "4",
    "calibrated_on": "2026-03-01",
}


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return staffed(tmp_path_factory.mktemp("staff") / "data")


@pytest.fixture
def shop(staff: Path, tmp_path: Path) -> Iterator[Book]:
    with copy_of(staff, tmp_path / "data") as book:
        yield book


@pytest.fixture
def lead(shop: Book) -> FlaskClient:
    return signed_in_as(shop, "lead")


def send(client: FlaskClient, method: str, path: str, body: Any, version: int | None = None) -> tuple[int, Any]:
    match = {} if version is None else {"If-Match": f'"{version}"'}
    answer = client.open(f"/api/v1{path}", method=method, json=body, headers={**OURS, **match})
    return answer.status_code, answer.json


def added(client: FlaskClient, form: dict[str, Any]) -> dict[str, Any]:
    status, instrument = send(client, "POST", "/instruments", form)
    assert status == 201, instrument
    return dict(instrument)


def of_the_phone(shop: Book) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = shop.app.test_client().get("/api/v1/shop").json["instruments"]
    return found


def test_an_instrument_is_added_changed_and_retired_with_its_history(shop: Book, lead: FlaskClient) -> None:
    new = added(lead, FEELERS)
    assert (new["id"], new["version"], new["pulls"]) == ("feelers-drawer-3", 1, None)
    path = f"/instruments/{new['id']}"
    status, changed = send(lead, "PUT", path, {**FEELERS, "calibration_due": "2027-01-31"}, 1)
    assert (status, changed["version"], changed["calibration_due"]) == (200, 2, "2027-01-31")
    assert [gauge["id"] for gauge in of_the_phone(shop)] == [new["id"]]
    status, retired = send(lead, "POST", f"{path}/retired", {"reason": "blade kinked"}, 2)
    assert (status, retired["retired_because"]) == (200, "blade kinked")
    assert of_the_phone(shop) == []
    assert send(lead, "POST", f"{path}/retired", {"reason": ""}, 3)[1]["retired_at"] is None
    (kept,) = lead.get("/api/v1/instruments").json["instruments"]
    assert [(change["person"], change["words"]) for change in kept["history"]] == [
        ("One lead", "in use again"),
        ("One lead", "retired: blade kinked"),
        ("One lead", "changed: calibration due 2027-01-31"),
        (
            "One lead",
            "added: name Feelers, drawer 3, kind feeler_gauges, reads to 0.001 in, trusted to 0.0005 in",
        ),
    ]


def test_what_is_as_it_was_makes_no_version(lead: FlaskClient) -> None:
    new = added(lead, FEELERS)
    assert send(lead, "PUT", f"/instruments/{new['id']}", FEELERS, 1)[1]["version"] == 1


@pytest.mark.parametrize("how", [("PUT", "", FEELERS), ("POST", "/retired", {"reason": "lost"})])
def test_a_change_names_the_version_that_was_looked_at(lead: FlaskClient, how: tuple[str, str, Any]) -> None:
    method, more, body = how
    path = f"/instruments/{added(lead, FEELERS)['id']}{more}"
    send(lead, "PUT", "/instruments/feelers-drawer-3", {**FEELERS, "name": "Feelers"}, 1)
    without, older = send(lead, method, path, body), send(lead, method, path, body, 1)
    assert (without[0], without[1]["error"]["code"]) == (428, "version_missing")
    assert (older[0], older[1]["error"]["code"]) == (412, "changed_meanwhile")
    assert send(lead, method, path, body, 2)[0] == 200


def test_the_answer_is_marked_with_its_version(lead: FlaskClient) -> None:
    answer = lead.post("/api/v1/instruments", json=FEELERS, headers=OURS)
    assert answer.headers["ETag"] == '"1"'


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"kind": "crystal ball"}, "kind"),
        ({"step": typed("0", "in")}, "reads to"),
        ({"step": typed("1", "lbf*ft")}, "reads to"),
        ({"trust": typed("-0.001", "in")}, "below zero"),
        ({"trust": typed("much", "in")}, "digits"),
        ({"calibration_due": "2026-02-30"}, "year-month-day"),
    ],
)
def test_what_an_instrument_cannot_be_is_named(lead: FlaskClient, more: dict[str, Any], word: str) -> None:
    status, answer = send(lead, "POST", "/instruments", {**FEELERS, **more})
    assert (status, answer["error"]["code"]) == (422, "unfit")
    assert word in answer["error"]["message"].lower()


@pytest.mark.parametrize(
    "less",
    [
        {"range_low": None},
        {"range_high": typed("20", "lbf*ft")},
        {"range_high": typed("150", "in")},
        {"band": ""},
        {"band": "0"},
        {"trust": typed("4", "lbf*ft")},
        {"calibrated_on": ""},
    ],
    ids=str,
)
def test_a_torque_wrench_says_range_band_and_last_calibration(lead: FlaskClient, less: dict[str, Any]) -> None:
    assert send(lead, "POST", "/instruments", {**WRENCH, **less})[1]["error"]["code"] == "unfit"


def test_a_wrench_is_due_a_year_after_its_calibration_unless_the_shop_says_otherwise(
    shop: Book, lead: FlaskClient
) -> None:
    """ISO 6789:2003 (from memory): 12 months or 5000 cycles, where no other interval is set."""
    new = added(lead, WRENCH)
    assert (new["calibration_due"], new["pulls"], new["range_high"]) == ("2027-03-01", 0, typed("150", "lbf*ft"))
    assert added(lead, {**WRENCH, "calibration_due": "2026-09-01"})["calibration_due"] == "2026-09-01"
    assert {gauge["band"] for gauge in of_the_phone(shop)} == {"4"}


# --- pulls ---


def pull(phone: Phone, wrench: dict[str, Any], made_at: str, **more: Any) -> str:
    gauge = {key: wrench[key] for key in ("id", "kind", "name", "step", "trust", "dial", "calibration_due")}
    body = {**BODIES["reading"], "value": typed("75", "lbf*ft"), "instrument": gauge, **more}
    return phone.write("reading", step="main_housings", place="torque", why="first", body=body, made_at=made_at)


def pulls_of(lead: FlaskClient, which: str) -> int | None:
    listed = lead.get("/api/v1/instruments").json["instruments"]
    return next(one["pulls"] for one in listed if one["id"] == which)


def test_pulls_are_counted_from_the_book_since_the_calibration(shop: Book, lead: FlaskClient) -> None:
    wrench, phone = added(lead, WRENCH), Phone(shop)
    for day in ("2026-02-28", "2026-03-01", "2026-11-25"):
        pull(phone, wrench, f"{day}T08:00:00.000Z")
    pull(phone, wrench, "2026-11-25T08:01:00.000Z", value=None, not_measured="wrench dropped")
    phone.write("reading")
    pull(phone, wrench, "2026-11-25T08:02:00.000Z", pulls=0)
    phone.send()
    assert pulls_of(lead, wrench["id"]) == 2
    pull(phone, wrench, "2026-11-26T08:00:00.000Z")
    phone.send()
    assert pulls_of(lead, wrench["id"]) == 3
    changed = {**WRENCH, "calibrated_on": "2026-11-26"}
    assert send(lead, "PUT", f"/instruments/{wrench['id']}", changed, 1)[1]["pulls"] == 1


def test_a_wrench_pulled_more_than_five_thousand_times_is_used_up(shop: Book, lead: FlaskClient) -> None:
    wrench, phone = added(lead, WRENCH), Phone(shop)
    for number in range(5):
        pull(phone, wrench, f"2026-11-{number + 1:02}T08:00:00.000Z", pulls=1000)
    phone.send()
    assert (pulls_of(lead, wrench["id"]), "used_up" in of_the_phone(shop)[0]) == (5000, False)
    pull(phone, wrench, "2026-11-27T08:00:00.000Z")
    phone.send(from_no=6)
    assert of_the_phone(shop)[0]["used_up"] is True
    (listed,) = lead.get("/api/v1/instruments").json["instruments"]
    assert "more than 5000 pulls since its calibration" in listed["overdue"]


def test_another_run_of_the_server_counts_the_same(shop: Book, lead: FlaskClient) -> None:
    wrench, phone = added(lead, WRENCH), Phone(shop)
    pull(phone, wrench, "2026-11-25T08:00:00.000Z")
    phone.send()
    with shop.services.ledger.reading() as connection:
        fresh = type(shop.services.pulls)()
        (kept,) = fresh.kept(connection, shop.services.ledger.shop())
    assert kept["pulls"] == pulls_of(lead, wrench["id"]) == 1
