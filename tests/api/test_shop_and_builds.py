"""The shop, its builds and its files, as a client reads them."""

import hashlib
from typing import Any

from standbook.people.instruments import add_as_given
from tests.ledger.kit import BUILD, LEAD, Book, Phone
from tests.ledger.pin_kit import PIN, give_pin, quick

OURS = {"X-Standbook": "1"}
GAUGE = {
    "id": "OM-1",
    "kind": "outside_micrometer",
    "name": "Micrometer",
    "step": {"text": "0.0001", "unit": "in"},
    "trust": {"text": "0.0001", "unit": "in"},
    "dial": False,
    "calibration_due": None,
}


def asked_twice(client: Any, address: str) -> tuple[Any, Any]:
    first = client.get(address)
    return first, client.get(address, headers={"If-None-Match": first.headers["ETag"]})


def opened(book: Book) -> Phone:
    desk = Phone(book, LEAD)
    desk.write("build_opened")
    desk.send(LEAD)
    return desk


def test_the_shop_names_its_people_and_gauges_and_nobodys_password(book: Book) -> None:
    with book.services.writer.writing() as connection:
        add_as_given(connection, book.ledger.shop(), [GAUGE])
    first, again = asked_twice(book.app.test_client(), "/api/v1/shop")
    assert first.json["shop"]["name"] == "Test shop"
    assert [person["name"] for person in first.json["people"]] == ["Al A.", "Bo B.", "Lea D."]
    assert set(first.json["people"][0]) == {"id", "name", "role", "pin", "version"}
    assert (first.json["people"][0]["pin"], first.json["seal"], first.json["pins"]) == (None, None, "")
    assert first.json["instruments"] == [GAUGE]
    assert (again.status_code, again.data) == (304, b"")
    assert "argon2" not in first.text


def test_the_shop_gives_each_pin_as_a_slow_hash_and_the_key_to_seal_one_to(book: Book) -> None:
    client = book.app.test_client()
    before = client.get("/api/v1/shop")
    give_pin(book, "bo-b")
    after = client.get("/api/v1/shop", headers={"If-None-Match": before.headers["ETag"]})
    assert after.status_code == 200
    by_id = {person["id"]: person["pin"] for person in after.json["people"]}
    assert by_id == {"al-a": None, "bo-b": {"number": 1, **quick(PIN)._asdict()}, "lea-d": None}
    assert after.json["seal"] == book.ledger.seal.public._asdict()
    assert after.json["pins"] == book.pull().pins
    assert PIN not in after.text


def test_the_shop_is_news_when_somebody_is_taken_on(book: Book) -> None:
    client = book.app.test_client()
    tag = client.get("/api/v1/shop").headers["ETag"]
    book.sql("UPDATE people SET left_at = '2026-01-01' WHERE id = 'bo-b'")
    answer = client.get("/api/v1/shop", headers={"If-None-Match": tag})
    assert [person["id"] for person in answer.json["people"]] == ["al-a", "lea-d"]


def test_the_board_has_every_build_and_says_when_nothing_is_new(book: Book, phone: Phone) -> None:
    opened(book)
    client = book.app.test_client()
    first, again = asked_twice(client, "/api/v1/builds")
    assert [build["job"] for build in first.json["builds"]] == ["R-1"]
    assert again.status_code == 304
    phone.write()
    phone.send()
    news = client.get("/api/v1/builds", headers={"If-None-Match": first.headers["ETag"]})
    assert (news.status_code, news.json["builds"][0]["count"]) == (200, 2)


def test_a_build_and_a_step_are_the_brains_own_views(book: Book, phone: Phone) -> None:
    opened(book)
    client = book.app.test_client()
    state, _ = asked_twice(client, f"/api/v1/builds/{BUILD}")
    assert (state.json["build"], state.json["title"]) == (BUILD, "A V8")
    step, again = asked_twice(client, f"/api/v1/builds/{BUILD}/steps/journals")
    assert (step.json["id"], step.json["state"]) == ("journals", "not started")
    assert again.status_code == 304


def test_a_build_or_step_that_is_not_there_is_told(book: Book) -> None:
    client = book.app.test_client()
    assert client.get(f"/api/v1/builds/{BUILD}").json["error"]["code"] == "unknown_build"
    opened(book)
    assert client.get(f"/api/v1/builds/{BUILD}/steps/no_such").json["error"]["code"] == "unknown_step"
    assert client.get(f"/api/v1/builds/{BUILD}/holds/no_such").json["error"]["code"] == "unknown_hold"
    assert client.get(f"/api/v1/builds/{BUILD}/holds/parts_accepted").json["state"] == "waiting"


def test_a_file_is_kept_by_its_hash_and_comes_back_for_ever(book: Book) -> None:
    data = b"\x00\xff table"
    address = f"/api/v1/blobs/{hashlib.sha256(data).hexdigest()}"
    client = book.app.test_client()
    assert client.get(address).json["error"]["code"] == "unknown_blob"
    assert [client.put(address, data=data, headers=OURS).status_code for _ in range(2)] == [201, 200]
    answer = client.get(address)
    assert answer.data == data
    assert "immutable" in answer.headers["Cache-Control"]
    assert answer.headers["Content-Type"] == "application/octet-stream"


def test_a_file_under_the_wrong_hash_is_refused(book: Book) -> None:
    answer = book.app.test_client().put(f"/api/v1/blobs/{'0' * 64}", data=b"x", headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "hash_mismatch")


def test_health_tells_the_versions_and_how_far_the_book_has_come(book: Book) -> None:
    opened(book)
    health = book.app.test_client().get("/api/v1/health").json
    assert (health["status"], health["shop"], health["last_seq"]) == ("ok", True, 1)
    assert health["trade_version"]
