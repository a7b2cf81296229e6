"""Pushing: ids, numbers, duplicates, conflicts, order (LG1 to LG5, LG7, LG8)."""

import hashlib
import json
from datetime import timedelta

import pytest
from sqlalchemy.exc import DBAPIError

from standbook import clock
from standbook.ids import uuid7
from standbook.ledger.put import TOGETHER
from tests.ledger.kit import Book, Phone, only, reading, reasons, results


def test_lg1_the_shop_keeps_the_id_that_the_device_made(book: Book, phone: Phone) -> None:
    text = phone.write()
    answer = only(phone.send())
    assert answer.id == json.loads(text)["id"]
    assert (answer.result, answer.seq) == ("stored", 1)


@pytest.mark.parametrize("statement", ["UPDATE entries SET text = '{}'", "DELETE FROM entries"])
def test_lg2_an_entry_is_frozen_even_for_the_database_itself(book: Book, phone: Phone, statement: str) -> None:
    phone.write()
    phone.send()
    with pytest.raises(DBAPIError, match="never changed or deleted"):
        book.sql(statement)
    assert book.texts() == phone.texts


def test_lg2_the_bytes_come_back_as_they_were_written(book: Book, phone: Phone) -> None:
    entry = phone.entry(body=reading("2,5758", note="µ ≤ 0,1 — “gut” 🔧"))
    odd = json.dumps(entry, ensure_ascii=False, indent=3).replace('"seen": 0', '"seen":   0')
    phone.keep(odd)
    phone.send()
    assert book.texts() == [odd]


def test_lg3_the_same_batch_again_changes_nothing(book: Book, phone: Phone) -> None:
    for _ in range(3):
        phone.write()
    first, again = phone.send(), phone.send()
    assert results(again) == ["already"] * 3
    assert [answer.seq for answer in again.answers] == [answer.seq for answer in first.answers]
    assert (again.next_no, again.last_seq) == (first.next_no, first.last_seq)
    assert book.texts() == phone.texts


def test_lg3_a_batch_that_overlaps_stores_only_what_is_new(book: Book, phone: Phone) -> None:
    phone.write()
    phone.send()
    phone.write()
    assert results(phone.send()) == ["already", "stored"]
    assert book.texts() == phone.texts


def test_lg3_one_batch_that_names_an_entry_twice_stores_it_once(book: Book, phone: Phone) -> None:
    text = phone.write()
    phone.push(1, [text])
    assert results(phone.push(1, [text, phone.write()])) == ["already", "stored"]
    assert len(book.texts()) == 2


def test_lg3_a_held_back_entry_sent_again_is_held_back_again_once(book: Book, phone: Phone) -> None:
    phone.keep("no entry at all")
    first, again = only(phone.send()), only(phone.send())
    assert (again.result, again.code, again.message) == (first.result, first.code, first.message)
    assert len(book.ledger.asides().held) == 1


def test_lg4_the_same_id_with_other_bytes_is_a_conflict_and_both_are_kept(book: Book, phone: Phone) -> None:
    first = json.loads(phone.write())
    second = phone.write(id=first["id"], body=reading("2.5759"))
    pushed = phone.send()
    assert (results(pushed), reasons(pushed)) == (["stored", "conflict"], [None, "same_id"])
    (conflict,) = book.ledger.asides().conflicts
    assert conflict["text"] == second
    assert conflict["first"] == {"seq": 1, "text": phone.texts[0]}
    assert book.texts() == phone.texts[:1]


def test_lg4_the_same_id_from_another_phone_is_a_conflict(book: Book, phone: Phone) -> None:
    first = json.loads(phone.write())
    phone.send()
    other = Phone(book)
    other.write(id=first["id"])
    assert reasons(other.send()) == ["same_id"]
    assert book.texts() == phone.texts


def test_lg4_a_number_used_twice_by_a_cloned_phone_is_a_conflict_and_both_are_kept(book: Book, phone: Phone) -> None:
    phone.write()
    clone = Phone(book)
    clone.id = phone.id
    clone.texts = list(phone.texts)
    phone.write()
    phone.send()
    theirs = clone.write(body=reading("9.9999"))
    pushed = clone.send()
    assert (results(pushed), reasons(pushed)) == (["already", "conflict"], [None, "same_number"])
    (conflict,) = book.ledger.asides().conflicts
    assert (conflict["text"], conflict["first"]["text"]) == (theirs, phone.texts[1])
    assert book.texts() == phone.texts


def test_lg4_a_conflict_sent_again_is_the_same_conflict(book: Book, phone: Phone) -> None:
    first = json.loads(phone.write())
    phone.write(id=first["id"], body=reading("2.5759"))
    phone.write()
    assert results(phone.send()) == ["stored", "conflict", "stored"]
    assert results(phone.send()) == ["already", "conflict", "already"]
    assert len(book.ledger.asides().conflicts) == 1


def test_lg4_an_id_that_was_held_back_is_not_free_for_other_bytes(book: Book, phone: Phone) -> None:
    held = json.loads(phone.write(person="nobody"))
    phone.write(id=held["id"])
    assert results(phone.send()) == ["held", "conflict"]


def test_lg5_a_gap_is_refused_and_the_wanted_number_named(book: Book, phone: Phone) -> None:
    for _ in range(4):
        phone.write()
    pushed = phone.send(from_no=3)
    assert (results(pushed), reasons(pushed)) == (["refused"] * 2, ["number_gap"] * 2)
    assert pushed.next_no == 1
    assert book.texts() == []


def test_lg5_a_lost_batch_heals_itself(book: Book, phone: Phone) -> None:
    for _ in range(6):
        phone.write()
    phone.push(1, phone.texts[:2])
    lost = phone.send(from_no=5)
    assert results(phone.send(from_no=lost.next_no)) == ["stored"] * 4
    assert book.texts() == phone.texts


def test_lg5_every_device_counts_for_itself(book: Book, phone: Phone) -> None:
    other = Phone(book)
    for device in (phone, other):
        device.write()
        assert device.send().next_no == 2


def test_lg7_the_shops_record_of_a_device_counts_what_is_held_back_too(book: Book, phone: Phone) -> None:
    phone.write()
    phone.keep("no entry at all")
    mine = phone.send().mine
    assert (mine.count, mine.next_no) == (2, 3)
    assert mine.head == book.pull().entries[-1].hash
    assert book.pull(device=phone.id).mine == mine


def test_lg7_a_device_that_never_sent_has_an_empty_record(book: Book) -> None:
    mine = book.pull(device=uuid7()).mine
    assert mine
    assert (mine.count, mine.next_no, mine.head) == (0, 1, None)


def test_lg8_seq_has_no_gaps_whatever_is_held_back_or_refused_between(book: Book, phone: Phone) -> None:
    other = Phone(book)
    for round_no in range(4):
        phone.write()
        phone.keep(f"not an entry {round_no}")
        phone.write(id=json.loads(phone.texts[0])["id"], body=reading(f"1.{round_no}"))
        phone.send()
        other.write()
        other.send()
        other.push(99, ["far too early"])
    assert [entry.seq for entry in book.pull().entries] == list(range(1, 9))


def test_lg8_the_chain_is_sha256_over_the_raw_hash_before_and_the_bytes(book: Book, phone: Phone) -> None:
    for note in ("", "ä", "🔧"):
        phone.write(body=reading(note=note))
    phone.send()
    before = bytes(32)
    for entry in book.pull().entries:
        assert entry.prev == before.hex()
        before = hashlib.sha256(before + entry.text.encode("utf-8")).digest()
        assert entry.hash == before.hex()


def test_lg9_a_cursor_of_another_book_or_from_the_future_starts_from_zero(book: Book, phone: Phone) -> None:
    phone.write()
    epoch = phone.send().epoch
    for cursor in ({"epoch": uuid7(), "after": 1}, {"epoch": epoch, "after": 7}, {"epoch": "", "after": 1}):
        pulled = book.pull(**cursor)
        assert (pulled.reset, len(pulled.entries)) == (True, 1)
    assert not book.pull(epoch=epoch, after=1).reset
    assert not book.pull().reset


def test_lg9_pages_follow_each_other_until_there_is_no_more(book: Book, phone: Phone) -> None:
    for _ in range(5):
        phone.write()
    epoch = phone.send().epoch
    pages = [book.pull(after, epoch, limit=2) for after in (0, 2, 4)]
    assert [[entry.seq for entry in page.entries] for page in pages] == [[1, 2], [3, 4], [5]]
    assert [page.more for page in pages] == [True, True, False]


@pytest.mark.parametrize("days", [-3, 3])
def test_lg10_a_clock_days_off_is_measured_and_refuses_nothing(book: Book, phone: Phone, days: int) -> None:
    now = clock.stamp(clock.now() + timedelta(days=days))
    assert results(phone.push(1, [phone.write(made_at=now)], now=now)) == ["stored"]
    ((on_entry,),) = book.sql("SELECT skew_ms FROM entries")
    ((on_device,),) = book.sql("SELECT skew_ms FROM devices")
    assert on_entry == on_device
    assert abs(on_entry - days * 86_400_000) < 60_000


@pytest.mark.parametrize("now", ["", "yesterday", "2026-13-45T99:00:00Z", "9999-12-31T23:59:59.999-23:59"])
def test_lg10_a_clock_that_cannot_be_read_refuses_nothing(book: Book, phone: Phone, now: str) -> None:
    assert results(phone.push(1, [phone.write(made_at="some time ago")], now=now)) == ["stored"]


def test_lg12_kinds_and_fields_of_a_newer_peer_are_kept_byte_for_byte(book: Book, phone: Phone) -> None:
    phone.write("torque_stretch_v9", body={"v": 9, "pull": [1.0, 1e-7]}, later={"field": [None, {"x": 1}]})
    phone.write(body={"v": 2, "value": "told otherwise"}, mood="good")
    assert results(phone.send()) == ["stored", "stored"]
    assert book.texts() == phone.texts


def test_a_batch_of_more_than_one_statement_is_kept_whole_and_in_order(book: Book, phone: Phone) -> None:
    for number in range(2 * TOGETHER + 3):
        phone.write(place=f"MJ{number % 5 + 1}.F.0")
    assert set(results(phone.send())) == {"stored"}
    assert book.texts() == phone.texts
    rows = book.sql("SELECT seq, device_no, place FROM entries ORDER BY seq")
    assert [tuple(row) for row in rows] == [(n + 1, n + 1, f"MJ{n % 5 + 1}.F.0") for n in range(2 * TOGETHER + 3)]
    assert book.ledger.check().findings == []


def test_the_same_id_twice_in_one_batch_is_told_and_both_are_kept(book: Book, phone: Phone) -> None:
    first = phone.entry()
    phone.keep(json.dumps(first))
    phone.write(id=first["id"])
    assert results(phone.send()) == ["stored", "conflict"]
    assert [one["code"] for one in book.ledger.asides().conflicts] == ["same_id"]
