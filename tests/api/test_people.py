"""Taking on, changing, leaving; passwords and PINs from the desk."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from standbook.api.guard import PREFIX
from standbook.people import pins
from tests.api.roles import copy_of, person_of, signed_in_as, staffed
from tests.ledger.kit import LEAD, PASSWORD, Book
from tests.ledger.pin_kit import PIN, lend_key, quick

OURS = {"X-Standbook": "1"}
BUILDER, OWNER, CHIEF = person_of("builder"), person_of("owner"), person_of("lead")
NEW = "another long password"


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return staffed(tmp_path_factory.mktemp("staff") / "data")


@pytest.fixture
def book(template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Book]:
    monkeypatch.setattr(pins, "hashed", quickly)
    with copy_of(template, tmp_path / "data") as shop:
        lend_key(shop)
        yield shop


def quickly(pin: str) -> pins.Hashed:
    pins.refuse_unfit(pin)
    return quick(pin)


@pytest.fixture
def lead(book: Book) -> FlaskClient:
    return signed_in_as(book, "lead")


def post(client: FlaskClient, path: str, body: Any = None, match: str | None = None) -> TestResponse:
    """`match`: the version that a change of a person names; without it the one that stands now."""
    head = OURS | {"If-Match": f'"{match or standing(client, path)}"'} if path.count("/") == 2 else OURS
    return client.post(PREFIX + path, json=body, headers=head) if body else client.post(PREFIX + path, headers=head)


def standing(client: FlaskClient, path: str) -> str:
    version: str = people(client).get(path.split("/")[2], {}).get("version", "none")
    return version


def code(answer: TestResponse) -> str | None:
    return answer.json["error"]["code"] if answer.is_json and "error" in answer.json else None


def people(client: FlaskClient) -> dict[str, Any]:
    return {person["id"]: person for person in client.get(f"{PREFIX}/shop").json["people"]}


def log(book: Book) -> list[Any]:
    kinds = "('signed_in', 'sign_in_missed')"
    lines = f"SELECT kind, person, detail, address FROM access_log WHERE kind NOT IN {kinds} ORDER BY id"
    return book.sql(lines)


def signs_in(book: Book, person: str, password: str) -> str | None:
    return code(post(book.app.test_client(), "/session", {"person": person, "password": password}))


def test_somebody_is_taken_on_and_the_log_says_by_whom(book: Book, lead: FlaskClient) -> None:
    answer = post(lead, "/people", {"name": " Zoe O. ", "role": "dyno operator"})
    assert (answer.status_code, answer.json) == (201, {"id": "zoe-o", "name": "Zoe O.", "role": "dyno operator"})
    assert people(lead)["zoe-o"]["name"] == "Zoe O."
    assert log(book) == [("person_added", "zoe-o", "by One lead", "127.0.0.1")]


def test_name_and_role_are_changed_each_by_itself(book: Book, lead: FlaskClient) -> None:
    assert post(lead, f"/people/{BUILDER}", {"name": "Bea B."}).json["role"] == "builder"
    changed = post(lead, f"/people/{BUILDER}", {"role": "lead"})
    assert changed.json == {"id": BUILDER, "name": "Bea B.", "role": "lead"}
    assert [line[0] for line in log(book)] == ["person_changed", "person_changed"]


def test_a_person_changed_at_another_desk_is_not_written_over(book: Book, lead: FlaskClient) -> None:
    path = f"/people/{BUILDER}"
    seen = standing(lead, path)
    assert post(lead, path, {"name": "Bea B."}, seen).status_code == 200
    late = post(lead, path, {"name": "Ben B.", "role": "lead"}, seen)
    assert (late.status_code, code(late)) == (412, "changed_meanwhile")
    assert people(lead)[BUILDER]["name"] == "Bea B."
    # Sent again, since its answer was lost: it stands there already.
    again = post(lead, path, {"name": "Bea B."}, seen)
    assert (again.status_code, again.headers["ETag"]) == (200, f'"{standing(lead, path)}"')
    bare = lead.post(PREFIX + path, json={"role": "lead"}, headers=OURS)
    assert (bare.status_code, code(bare)) == (428, "version_missing")


@pytest.mark.parametrize(
    ("path", "body", "reason"),
    [
        ("/people", {"name": "X", "role": "king"}, "a role is one of"),
        ("/people", {"name": "  ", "role": "builder"}, "a name has 1 to 80 letters"),
        (f"/people/{BUILDER}", {"role": "king"}, "a role is one of"),
        (f"/people/{BUILDER}/password", {"password": "short"}, "a password has 8 to 200 characters"),
        (f"/people/{BUILDER}/pin", {"pin": "000000"}, "over and over"),
        (f"/people/{BUILDER}/pin", {"pin": "123456"}, "follow each other"),
        (f"/people/{BUILDER}/pin", {"pin": "12345"}, "6 to 12 digits"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(
    book: Book, lead: FlaskClient, path: str, body: Any, reason: str
) -> None:
    answer = post(lead, path, body)
    assert (answer.status_code, code(answer)) == (422, "unfit")
    assert reason in answer.json["error"]["message"]
    assert log(book) == []


@pytest.mark.parametrize("what", ["", "/left", "/password", "/pin"])
def test_nobody_is_changed_who_is_not_there(lead: FlaskClient, what: str) -> None:
    bodies = {"": {"role": "lead"}, "/password": {"password": NEW}, "/pin": {"pin": PIN}}
    answer = post(lead, f"/people/nobody{what}", bodies.get(what))
    assert (answer.status_code, code(answer)) == (404, "no_such_person")


def test_who_has_left_is_off_the_list_and_signed_in_no_more_at_once(book: Book, lead: FlaskClient) -> None:
    theirs = signed_in_as(book, "owner")
    assert theirs.get(f"{PREFIX}/held").status_code == 200
    assert post(lead, f"/people/{OWNER}/left").status_code == 204
    assert theirs.get(f"{PREFIX}/held").status_code == 401
    assert book.sql(f"SELECT count(*) FROM sessions WHERE person = '{OWNER}'") == [(0,)]
    assert OWNER not in people(lead)
    assert signs_in(book, OWNER, PASSWORD) == "sign_in_failed"
    assert code(post(lead, f"/people/{OWNER}/left")) == "no_such_person"
    assert log(book)[-1] == ("person_left", OWNER, "by One lead", "127.0.0.1")


def test_the_last_who_leads_cannot_stop_leading(book: Book, lead: FlaskClient) -> None:
    for other in (OWNER, LEAD):
        assert post(lead, f"/people/{other}/left").status_code == 204
    for path, body in ((f"/people/{CHIEF}/left", None), (f"/people/{CHIEF}", {"role": "builder"})):
        assert (post(lead, path, body).status_code, code(post(lead, path, body))) == (409, "last_lead")
    # The owner leads too; and somebody who cannot sign in leads nobody.
    assert post(lead, f"/people/{CHIEF}", {"role": "owner"}).status_code == 200
    post(lead, "/people", {"name": "New L.", "role": "lead"})
    assert code(post(lead, f"/people/{CHIEF}/left")) == "last_lead"
    post(lead, "/people/new-l/password", {"password": NEW})
    assert post(lead, f"/people/{CHIEF}/left").status_code == 204


def test_a_new_password_from_the_desk_ends_what_the_old_one_opened(book: Book, lead: FlaskClient) -> None:
    theirs = signed_in_as(book, "owner")
    assert post(lead, f"/people/{OWNER}/password", {"password": NEW}).status_code == 204
    assert theirs.get(f"{PREFIX}/held").status_code == 401
    assert signs_in(book, OWNER, NEW) is None
    assert log(book)[0] == ("password_set", OWNER, "by One lead", "127.0.0.1")
    assert NEW not in str(log(book))


def test_a_new_pin_from_the_desk_has_the_next_number_and_says_where_the_book_stood(
    book: Book, lead: FlaskClient
) -> None:
    for pin in (PIN, "615903"):
        assert post(lead, f"/people/{BUILDER}/pin", {"pin": pin}).status_code == 204
    assert people(lead)[BUILDER]["pin"] == {"number": 2, **quick("615903")._asdict()}
    assert book.sql("SELECT number, set_by, at_seq FROM pins ORDER BY number") == [(1, CHIEF, 0), (2, CHIEF, 0)]
    assert log(book)[0] == ("pin_set", BUILDER, "by One lead", "127.0.0.1")
    assert PIN not in str(log(book))


def test_the_own_password_is_changed_by_who_knows_the_old_one(book: Book) -> None:
    mine, elsewhere = signed_in_as(book, "builder"), signed_in_as(book, "builder")
    assert code(post(mine, "/me/password", {"old": "not this one", "password": NEW})) == "sign_in_failed"
    assert post(mine, "/me/password", {"old": PASSWORD, "password": NEW}).status_code == 204
    assert mine.get(f"{PREFIX}/session").json["person"]["id"] == BUILDER
    assert elsewhere.get(f"{PREFIX}/session").json["person"] is None
    assert signs_in(book, BUILDER, NEW) is None
    assert log(book) == [("password_set", BUILDER, "", "127.0.0.1")]


def test_the_own_pin_is_set_by_who_knows_the_password(book: Book) -> None:
    mine = signed_in_as(book, "builder")
    assert code(post(mine, "/me/pin", {"password": "not this one", "pin": PIN})) == "sign_in_failed"
    assert code(post(mine, "/me/pin", {"password": PASSWORD, "pin": "111111"})) == "unfit"
    assert post(mine, "/me/pin", {"password": PASSWORD, "pin": PIN}).status_code == 204
    assert people(mine)[BUILDER]["pin"]["number"] == 1


def test_guessing_the_own_password_is_locked_like_a_sign_in(book: Book) -> None:
    mine = signed_in_as(book, "builder")
    answers = [post(mine, "/me/pin", {"password": f"wrong {n}", "pin": PIN}) for n in range(6)]
    assert [code(answer) for answer in answers] == ["sign_in_failed"] * 5 + ["sign_in_locked"]
    assert answers[-1].headers["Retry-After"]


def test_tries_that_fit_are_not_counted(book: Book) -> None:
    mine = signed_in_as(book, "builder")
    answers = [post(mine, "/me/pin", {"password": PASSWORD, "pin": PIN}) for _ in range(6)]
    assert [answer.status_code for answer in answers] == [204] * 6
