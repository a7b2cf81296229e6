"""Clocks of devices order nothing and date nothing (LG10)."""

from datetime import datetime

import pytest

from standbook import clock
from tests.ledger.kit import Book, Phone


def test_lg10_a_device_clock_orders_nothing(book: Book, phone: Phone) -> None:
    for day in ("25", "19", "30", "01"):
        phone.write(made_at=f"2026-11-{day}T08:30:00.000Z")
    phone.send()
    assert book.texts() == phone.texts
    assert [entry.seq for entry in book.pull().entries] == [1, 2, 3, 4]


def test_lg10_when_an_entry_was_received_is_the_shops_own_time(book: Book, phone: Phone) -> None:
    phone.push(1, [phone.write(), phone.write(person="nobody")], now="1999-12-31T23:59:00.000Z")
    stamps = [book.pull().entries[0].received_at, book.ledger.asides().held[0]["received_at"]]
    assert [abs((clock.now() - datetime.fromisoformat(stamp)).total_seconds()) < 60 for stamp in stamps] == [True, True]


@pytest.mark.parametrize("now", ["", "yesterday", "2026-13-45T99:00:00Z"])
def test_lg10_a_push_with_a_clock_that_cannot_be_read_is_answered(book: Book, phone: Phone, now: str) -> None:
    body = {"device": phone.id, "from_no": 1, "entries": [phone.write()], "now": now}
    answer = book.app.test_client().post("/api/v1/sync/push", json=body, headers={"X-Standbook": "1"})
    assert answer.status_code == 200
    assert answer.json["answers"][0]["result"] == "stored"
