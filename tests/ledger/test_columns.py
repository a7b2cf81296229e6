"""A page as columns: every byte of every entry comes back, and the chain proves it (LG2, LG7, LG8, LG12)."""

import hashlib
import json
from typing import Any

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from standbook.ledger.columns import columns_of
from standbook.ledger.pull import Cursor
from standbook.ledger.wire import Column, Columns, Pulled, PulledEntry
from tests.ledger.kit import BUILD, Book, Phone, reading, results


def at(column: Column, row: int) -> str:
    return column if isinstance(column, str) else column[row]


def texts_of(columns: Columns) -> list[str]:
    """Put together again, as a phone does it."""
    waiting = [iter(range(len(columns.order))) for _ in columns.tables]
    rows = [(columns.tables[table], next(waiting[table])) for table in columns.order]
    return [',"'.join(at(column, row) for column in table) for table, row in rows]


def hash_of(columns: Columns) -> str:
    """The shop's chain over the texts, from the hash before them."""
    hash_now = bytes.fromhex(columns.prev)
    for text in texts_of(columns):
        hash_now = hashlib.sha256(hash_now + text.encode()).digest()
    return hash_now.hex()


def pulled(book: Book, after: int = 0, limit: int = 1000) -> Pulled:
    return book.ledger.pull(Cursor("", after, limit, None, columns=True))


def columns_in(page: Pulled) -> Columns:
    assert isinstance(page.columns, Columns)
    return page.columns


def write(phone: Phone, **fields: Any) -> str:
    """As a phone writes it: nothing between the parts."""
    return phone.keep(json.dumps(phone.entry(**fields), ensure_ascii=False, separators=(",", ":")))


def odd_texts(phone: Phone) -> list[str]:
    """Entries of several kinds, of a newer app, and as no phone of ours would space them."""
    write(phone)
    write(phone, body=reading("2,5758", note='µ ≤ 0,1 — ,"gut" 🔧\\'))
    write(phone, kind="torque_stretch_v9", body={"v": 9, "pull": [1.0, 1e-7]}, later={"field": [None, {"x": 1}]})
    phone.keep(json.dumps(phone.entry(), indent=3))
    write(phone, kind="hold_opened")
    write(phone)
    return phone.texts


def test_lg2_lg12_every_byte_comes_back(book: Book, phone: Phone) -> None:
    texts = odd_texts(phone)
    assert set(results(phone.send())) == {"stored"}
    page = pulled(book)
    assert page.entries == []
    assert texts_of(columns_in(page)) == texts


def test_what_entries_have_in_common_travels_once(book: Book, phone: Phone) -> None:
    for number in range(50):
        write(phone, body=reading(f"2.57{number}"))
    phone.send()
    columns = columns_in(pulled(book))
    told = msgspec.json.encode(columns).decode()
    assert told.count(phone.id) == told.count(BUILD) == 1
    assert len(told) < sum(map(len, phone.texts)) / 3


def test_lg7_lg8_what_does_not_travel_is_what_whole_entries_say(book: Book, phone: Phone) -> None:
    for number in range(7):
        write(phone, body=reading(f"2.575{number}"))
    assert set(results(phone.send())) == {"stored"}
    for after, limit in ((0, 3), (3, 3), (6, 1000)):
        plain = book.pull(after, limit=limit)
        page = pulled(book, after, limit)
        columns = columns_in(page)
        entries = plain.entries
        assert columns.first_seq == entries[0].seq
        assert (columns.prev, columns.hash) == (entries[0].prev, entries[-1].hash)
        assert hash_of(columns) == columns.hash
        assert [at(columns.received_at, row) for row in range(len(entries))] == [one.received_at for one in entries]
        assert (page.more, page.last_seq, page.epoch) == (plain.more, plain.last_seq, plain.epoch)


def test_a_flipped_letter_does_not_lead_to_the_shops_hash(book: Book, phone: Phone) -> None:
    write(phone)
    write(phone)
    phone.send()
    columns = columns_in(pulled(book))
    assert hash_of(columns) == columns.hash
    (table,) = columns.tables
    (build,) = (number for number, column in enumerate(table) if isinstance(column, str) and BUILD in column)
    table[build] = str(table[build]).replace(BUILD, BUILD[:-1] + "f")
    assert hash_of(columns) != columns.hash


def test_nothing_new_has_no_columns(book: Book) -> None:
    page = pulled(book)
    assert page.columns is msgspec.UNSET
    assert (page.entries, page.more) == ([], False)


def test_lg12_who_does_not_ask_for_columns_gets_whole_entries(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    client = book.app.test_client()
    for address in ("pull", "pull?form=entries", "pull?form=as-nobody-knows-yet"):
        told = client.get(f"/api/v1/sync/{address}").json
        assert [entry["text"] for entry in told["entries"]] == phone.texts
        assert "columns" not in told
    told = client.get("/api/v1/sync/pull?form=columns").json
    assert (told["entries"], texts_of(msgspec.convert(told["columns"], Columns))) == ([], phone.texts)


def test_one_form_is_not_taken_for_the_other_when_nothing_is_new(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    client = book.app.test_client()
    tag = client.get("/api/v1/sync/pull").headers["ETag"]
    assert client.get("/api/v1/sync/pull?form=columns", headers={"If-None-Match": tag}).status_code == 200


@given(st.lists(st.text('ab",é🔧\\', max_size=12), min_size=1, max_size=12))
def test_whatever_the_texts_are_they_come_back(texts: list[str]) -> None:
    received_at, prev, last = "2026-11-25T08:30:00.000Z", "0" * 64, "1" * 64
    columns = columns_of([PulledEntry(seq, received_at, prev, last, text) for seq, text in enumerate(texts, 5)])
    assert texts_of(columns) == texts
    assert (columns.first_seq, columns.received_at) == (5, received_at)
