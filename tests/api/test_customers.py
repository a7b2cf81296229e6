"""Customers over the API: for leads, and nowhere else."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.roles import copy_of, signed_in_as, staffed
from tests.ledger.kit import BUILD, Book, Phone

OURS = {"X-Standbook": "1"}
WHO = {"name": "Xaverius Quillfeather", "phone": "555-0173", "email": "", "address": "", "note": "rings twice"}


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return staffed(tmp_path_factory.mktemp("staff") / "data")


@pytest.fixture
def shop(staff: Path, tmp_path: Path) -> Iterator[Book]:
    with copy_of(staff, tmp_path / "data") as book:
        phone = Phone(book)
        phone.push(1, [phone.write()])
        yield book


@pytest.fixture
def lead(shop: Book) -> FlaskClient:
    return signed_in_as(shop, "lead")


def send(client: FlaskClient, method: str, path: str, body: Any, match: str | None = None) -> tuple[int, Any]:
    """`match`: the version that a change names; without it the one that stands now."""
    head = {"If-Match": f'"{match or standing(client, path)}"'} if method == "PUT" else {}
    answer = client.open(f"/api/v1{path}", method=method, json=body, headers=OURS | head)
    return answer.status_code, answer.json if answer.is_json else None


def standing(client: FlaskClient, path: str) -> str:
    """What a reader of the list knows of it."""
    kind, which = path.split("/")[1:3]
    if kind == "customers":
        return next((one["version"] for one in listed(client) if one["id"] == which), "none")
    return next((one["id"] for one in listed(client) if which in one["builds"]), "nobody")


def add(client: FlaskClient, **fields: str) -> str:
    status, customer = send(client, "POST", "/customers", {**WHO, **fields})
    assert status == 201
    return str(customer["id"])


def listed(client: FlaskClient) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.get("/api/v1/customers").json["customers"]
    return found


def test_a_customer_is_added_changed_and_given_an_engine(lead: FlaskClient) -> None:
    which = add(lead)
    assert send(lead, "PUT", f"/customers/{which}", {**WHO, "phone": " 555-0999 "})[0] == 200
    assert send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": which}) == (204, None)
    (found,) = listed(lead)
    assert {key: found[key] for key in ("name", "phone", "email", "note", "builds", "erased_at")} == {
        "name": WHO["name"],
        "phone": "555-0999",
        "email": None,
        "note": "rings twice",
        "builds": [BUILD],
        "erased_at": None,
    }


def test_an_engine_has_one_customer_and_may_have_none(lead: FlaskClient) -> None:
    first, second = add(lead), add(lead, name="Another One")
    for which in (first, second):
        send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": which})
    assert {one["id"]: one["builds"] for one in listed(lead)} == {first: [], second: [BUILD]}
    send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": None})
    assert [one["builds"] for one in listed(lead)] == [[], []]


def test_they_stand_in_the_order_of_names_and_the_erased_last(lead: FlaskClient) -> None:
    gone = add(lead, name="Aaa")
    for name in ("bert", "Anna", "Zoë"):
        add(lead, name=name)
    send(lead, "POST", f"/customers/{gone}/erase", {"reason": "asked for it"})
    assert [one["name"] for one in listed(lead)] == ["Anna", "bert", "Zoë", None]


def test_erasing_tells_what_is_left_and_where(lead: FlaskClient) -> None:
    which = add(lead)
    status, told = send(lead, "POST", f"/customers/{which}/erase", {"reason": "asked for it"})
    assert (status, told["clean"], told["copies"]) == (200, True, [])
    assert send(lead, "PUT", f"/customers/{which}", WHO)[1]["error"]["code"] == "customer_erased"


@pytest.mark.parametrize(
    ("method", "path", "body", "code"),
    [
        ("PUT", "/customers/x", WHO, "unknown_customer"),
        ("POST", "/customers/x/erase", {"reason": "asked"}, "unknown_customer"),
        ("PUT", f"/builds/{BUILD}/customer", {"customer": "x"}, "unknown_customer"),
        ("PUT", "/builds/x/customer", {"customer": None}, "unknown_build"),
        ("POST", "/customers", {**WHO, "name": "  "}, "invalid"),
        ("POST", "/customers", {**WHO, "name": "x" * 121}, "invalid"),
        ("POST", "/customers", {**WHO, "note": "a\0b"}, "invalid"),
        ("POST", "/customers/x/erase", {"reason": ""}, "invalid"),
    ],
)
def test_what_cannot_be_is_named(lead: FlaskClient, method: str, path: str, body: Any, code: str) -> None:
    assert send(lead, method, path, body)[1]["error"]["code"] == code


def test_no_answer_that_a_phone_asks_for_holds_a_customer(shop: Book, lead: FlaskClient) -> None:
    which = add(lead)
    send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": which})
    phone = shop.app.test_client()
    for path in ("/shop", "/sync/pull", "/builds", f"/builds/{BUILD}", f"/builds/{BUILD}/steps/journals", "/session"):
        for client in (phone, lead):
            answer = client.get(f"/api/v1{path}")
            assert answer.status_code == 200
            assert not any(word in answer.text for word in ("Quillfeather", "555-0173", which)), path


def test_the_answer_is_kept_by_no_cache(lead: FlaskClient) -> None:
    assert lead.get("/api/v1/customers").headers["Cache-Control"] == "no-store"


# --- two leads at once -----------------------------------------------------------------------------------------------


def test_a_change_names_the_version_that_it_was_made_on(lead: FlaskClient) -> None:
    which = add(lead)
    for path, body in ((f"/customers/{which}", WHO), (f"/builds/{BUILD}/customer", {"customer": which})):
        answer = lead.put(f"/api/v1{path}", json=body, headers=OURS)
        assert (answer.status_code, answer.json["error"]["code"]) == (428, "version_missing")


def test_who_changes_a_customer_that_another_lead_has_changed_is_refused_and_nothing_is_lost(lead: FlaskClient) -> None:
    which = add(lead)
    seen = standing(lead, f"/customers/{which}")
    assert send(lead, "PUT", f"/customers/{which}", {**WHO, "phone": "555-1"}, seen)[0] == 200
    status, told = send(lead, "PUT", f"/customers/{which}", {**WHO, "phone": "555-2"}, seen)
    assert (status, told["error"]["code"]) == (412, "changed_meanwhile")
    assert listed(lead)[0]["phone"] == "555-1"
    assert send(lead, "PUT", f"/customers/{which}", {**WHO, "phone": "555-2"})[0] == 200


def test_a_change_whose_answer_was_lost_may_be_sent_again(lead: FlaskClient) -> None:
    which = add(lead)
    seen = standing(lead, f"/customers/{which}")
    for _ in range(2):
        assert send(lead, "PUT", f"/customers/{which}", {**WHO, "phone": "555-1"}, seen)[0] == 200
    for _ in range(2):
        assert send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": which}, "nobody")[0] == 204


def test_whose_engine_it_is_is_not_said_over_another_leads_word(lead: FlaskClient) -> None:
    first, second = add(lead), add(lead, name="Another One")
    assert send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": first}, "nobody")[0] == 204
    status, told = send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": second}, "nobody")
    assert (status, told["error"]["code"]) == (412, "changed_meanwhile")
    assert {one["id"]: one["builds"] for one in listed(lead)} == {first: [BUILD], second: []}
    assert send(lead, "PUT", f"/builds/{BUILD}/customer", {"customer": second}, first)[0] == 204


def test_the_answer_names_its_version_as_an_etag(lead: FlaskClient) -> None:
    answer = lead.post("/api/v1/customers", json=WHO, headers=OURS)
    assert answer.headers["ETag"] == f'"{answer.json["version"]}"'
    which = answer.json["id"]
    changed = lead.put(
        f"/api/v1/customers/{which}", json=WHO | {"phone": "1"}, headers=OURS | {"If-Match": answer.headers["ETag"]}
    )
    assert changed.headers["ETag"] != answer.headers["ETag"]
