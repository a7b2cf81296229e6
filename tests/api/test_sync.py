"""The sync routes over HTTP: push, pull, gzip, nothing new."""

import gzip
import json
from typing import Any

import pytest

from tests.ledger.kit import BUILDER, LEAD, PASSWORD, Book, Phone

OURS = {"X-Standbook": "1"}
PUSH, PULL = "/api/v1/sync/push", "/api/v1/sync/pull"


def body_of(phone: Phone, **more: Any) -> dict[str, Any]:
    about = {"device_name": "Stand 1", "app_version": "0.1.0", "now": "2026-11-25T08:30:00.000Z"}
    return {"device": phone.id, "from_no": 1, "entries": phone.texts, **about, **more}


def push(book: Book, phone: Phone, **more: Any) -> Any:
    answer = book.app.test_client().post(PUSH, json=body_of(phone, **more), headers=OURS)
    assert answer.status_code == 200, answer.text
    return answer.json


def test_a_push_is_answered_entry_by_entry(book: Book, phone: Phone) -> None:
    phone.write()
    phone.keep("not an entry")
    answer = push(book, phone)
    assert set(answer) == {"answers", "next_no", "epoch", "last_seq", "server_now", "mine"}
    stored, held = answer["answers"]
    assert set(stored) == {"device_no", "id", "result", "seq", "code", "message"}
    assert (stored["device_no"], stored["result"], stored["seq"]) == (1, "stored", 1)
    assert (held["device_no"], held["result"], held["code"]) == (2, "held", "entry_bad_json")
    assert (answer["next_no"], answer["last_seq"], answer["mine"]["count"]) == (3, 1, 2)


def test_lg12_fields_of_a_newer_phone_are_passed_over(book: Book, phone: Phone) -> None:
    phone.write()
    assert push(book, phone, mood="good", battery=0.4)["answers"][0]["result"] == "stored"


def test_what_comes_back_is_byte_for_byte_what_was_sent(book: Book, phone: Phone) -> None:
    phone.keep(json.dumps(phone.entry(), ensure_ascii=False).replace('"v": 1', '"v":   1, "e": 1e-7, "q": "µ\\u00b5"'))
    push(book, phone)
    answer = book.app.test_client().get(PULL).json
    assert [entry["text"] for entry in answer["entries"]] == phone.texts
    assert set(answer["entries"][0]) == {"seq", "received_at", "prev", "hash", "text"}


def test_both_ways_may_be_packed(book: Book, phone: Phone) -> None:
    for _ in range(50):
        phone.write()
    packed = gzip.compress(json.dumps(body_of(phone)).encode())
    client = book.app.test_client()
    headers = {**OURS, "Content-Encoding": "gzip", "Accept-Encoding": "gzip"}
    answer = client.post(PUSH, data=packed, headers=headers, content_type="application/json")
    assert answer.headers["Content-Encoding"] == "gzip"
    assert len(json.loads(gzip.decompress(answer.data))["answers"]) == 50
    page = client.get(PULL, headers={"Accept-Encoding": "gzip"})
    assert "Accept-Encoding" in page.headers["Vary"]
    assert len(page.data) < len(gzip.decompress(page.data)) / 3


def post_packed(book: Book, data: bytes, encoding: str = "gzip") -> Any:
    headers = {**OURS, "Content-Encoding": encoding}
    return book.app.test_client().post(PUSH, data=data, headers=headers, content_type="application/json")


BOMB = gzip.compress(b" " * (33 * 1024 * 1024), mtime=0)


@pytest.mark.parametrize(
    ("data", "encoding", "status", "code"),
    [
        (BOMB, "gzip", 413, "too_large"),
        (b"not packed at all", "gzip", 400, "bad_gzip"),
        (gzip.compress(b"{}" * 1000, mtime=0)[:-10], "gzip", 400, "bad_gzip"),
        (gzip.compress(b"{}", mtime=0) + b"more", "gzip", 400, "bad_gzip"),
        (b"", "gzip", 400, "bad_gzip"),
        (b"{}", "br", 415, "unsupported_media"),
    ],
)
def test_what_cannot_be_unpacked_is_told(book: Book, data: bytes, encoding: str, status: int, code: str) -> None:
    answer = post_packed(book, data, encoding)
    assert (answer.status_code, answer.json["error"]["code"]) == (status, code)


def test_a_device_that_knows_all_is_told_so_without_a_body(book: Book, phone: Phone) -> None:
    phone.write()
    epoch = push(book, phone)["epoch"]
    client = book.app.test_client()
    address = f"{PULL}?epoch={epoch}&after=1&device={phone.id}"
    first = client.get(address)
    assert (first.status_code, first.json["entries"], first.json["more"]) == (200, [], False)
    again = client.get(address, headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    phone.write()
    push(book, phone)
    news = client.get(address, headers={"If-None-Match": first.headers["ETag"]})
    assert [entry["seq"] for entry in news.json["entries"]] == [2]


def test_lg7_something_held_back_is_news_for_its_own_device(book: Book, phone: Phone) -> None:
    phone.write()
    epoch = push(book, phone)["epoch"]
    client = book.app.test_client()
    address = f"{PULL}?epoch={epoch}&after=1&device={phone.id}"
    tag = client.get(address).headers["ETag"]
    phone.keep("not an entry")
    push(book, phone)
    answer = client.get(address, headers={"If-None-Match": tag})
    assert (answer.status_code, answer.json["mine"]["count"]) == (200, 2)


def test_without_a_device_the_answer_has_no_record_of_one(book: Book) -> None:
    assert "mine" not in book.app.test_client().get(PULL).json


@pytest.mark.parametrize("query", ["after=-1", "after=x", "limit=1e3", "after=1_0", "after=٣", "after=" + "9" * 20])
def test_a_cursor_that_is_no_number_is_told(book: Book, query: str) -> None:
    answer = book.app.test_client().get(f"{PULL}?{query}")
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "invalid")


@pytest.mark.parametrize(
    "change",
    [
        {"from_no": 0},
        {"from_no": "1"},
        {"device": ""},
        {"device": "x" * 65},
        {"entries": {}},
        {"entries": ["x"] * 1001},
    ],
)
def test_an_envelope_that_is_wrong_is_told(book: Book, phone: Phone, change: dict[str, Any]) -> None:
    answer = book.app.test_client().post(PUSH, json=body_of(phone, **change), headers=OURS)
    assert (answer.status_code, answer.json["error"]["code"]) == (422, "invalid")
    assert next(iter(change)) in answer.json["error"]["message"]


def test_a_lead_sends_his_entries_once_he_is_signed_in(book: Book) -> None:
    desk = Phone(book, LEAD)
    desk.write("build_opened")
    client = book.app.test_client()
    refused = client.post(PUSH, json=body_of(desk), headers=OURS).json["answers"][0]
    assert (refused["result"], refused["code"]) == ("refused", "sign_in_needed")
    client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS)
    assert client.post(PUSH, json=body_of(desk), headers=OURS).json["answers"][0]["result"] == "stored"


def test_a_builder_beside_a_signed_in_lead_is_still_a_builder(book: Book) -> None:
    phone = Phone(book, BUILDER)
    phone.write("decision")
    client = book.app.test_client()
    client.post("/api/v1/session", json={"person": LEAD, "password": PASSWORD}, headers=OURS)
    assert client.post(PUSH, json=body_of(phone), headers=OURS).json["answers"][0]["code"] == "not_allowed"
