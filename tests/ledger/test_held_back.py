"""What the book cannot take is held back with its reason and holds up nothing (LG6)."""

import hashlib
import json
from typing import Any

import msgspec
import pytest

from standbook.errors import Problem
from tests.ledger.kit import LEAD, Book, Phone, only, reading, reasons, results


def altered(phone: Phone, **fields: Any) -> str:
    return json.dumps(phone.entry(**fields), ensure_ascii=False)


def lacking(phone: Phone, field: str) -> str:
    entry = phone.entry()
    del entry[field]
    return json.dumps(entry)


# What a device sends (as text) and the reason it is told.
TEXTS = {
    "empty": (lambda phone: "", "entry_bad_json"),
    "cut short": (lambda phone: altered(phone)[:-1], "entry_bad_json"),
    "two values": (lambda phone: altered(phone) * 2, "entry_bad_json"),
    "trailing comma": (lambda phone: altered(phone)[:-1] + ",}", "entry_bad_json"),
    "NaN": (lambda phone: altered(phone, later=1).replace('"later": 1', '"later": NaN'), "entry_bad_json"),
    "a key twice": (lambda phone: altered(phone)[:-1] + ', "id": "other"}', "entry_bad_json"),
    "deep nesting": (lambda phone: "[" * 5000 + "]" * 5000, "entry_bad_json"),
    "a list": (lambda phone: "[]", "bad_entry"),
    "a number": (lambda phone: "1", "bad_entry"),
    "not NFC": (lambda phone: altered(phone, body=reading(note="e\u0301")), "not_nfc"),
    "NUL": (lambda phone: altered(phone, body=reading(note="x")).replace("x", "\0"), "nul_character"),
    "an escaped NUL": (lambda phone: altered(phone, body=reading(note="!")).replace("!", "\\u0000"), "nul_character"),
    "an escaped half": (lambda phone: altered(phone, body=reading(note="!")).replace("!", "\\ud800"), "bad_utf8"),
    "no id": (lambda phone: lacking(phone, "id"), "entry_broken"),
    "no body": (lambda phone: altered(phone, body=None), "entry_broken"),
    "id too long": (lambda phone: altered(phone, id="x" * 65), "bad_entry"),
    "number too large": (lambda phone: altered(phone, seen=2**60), "bad_entry"),
    "another device": (lambda phone: altered(phone, device="somebody else"), "wrong_device"),
    "another number": (lambda phone: altered(phone, device_no=8), "wrong_number"),
    "unknown person": (lambda phone: altered(phone, person="nobody"), "unknown_person"),
    "letters for a number": (lambda phone: altered(phone, body=reading("2.57S8")), "number_not_digits"),
    "two decimal marks": (lambda phone: altered(phone, body=reading("2.57.58")), "number_two_marks"),
    "underscores": (lambda phone: altered(phone, body=reading("1_000")), "number_not_digits"),
    "digits of another script": (lambda phone: altered(phone, body=reading("\u0662.\u0665")), "number_not_digits"),
    "unknown reason": (lambda phone: altered(phone, why="felt like it"), "entry_broken"),
    "strikes what a newer app names by more than its id": (
        lambda phone: altered(phone, kind="struck_out", body={"v": 2, "target": {"id": "x"}, "reason": "x"}),
        "unknown_target",
    ),
    "strikes a number": (
        lambda phone: altered(phone, kind="struck_out", body={"v": 2, "target": 5, "reason": "x"}),
        "unknown_target",
    ),
    "strikes what is not there": (
        lambda phone: altered(phone, kind="struck_out", body={"v": 1, "target": "gone", "reason": "x"}),
        "unknown_target",
    ),
}


@pytest.mark.parametrize("case", TEXTS)
def test_lg6_is_held_back_with_its_reason_and_the_next_goes_through(book: Book, phone: Phone, case: str) -> None:
    make, code = TEXTS[case]
    bad = phone.keep(make(phone))
    good = phone.write()
    pushed = phone.send()
    assert (results(pushed), reasons(pushed)) == (["held", "stored"], [code, None])
    assert pushed.answers[0].message
    assert pushed.next_no == 3
    (held,) = book.ledger.asides().held
    assert (held["text"], held["code"], held["device_no"]) == (bad, code, 1)
    assert book.texts() == [good]


WIRES = {
    "an object for a text": (b'{"id": "1"}', "not_text"),
    "null": (b"null", "not_text"),
    "half a surrogate pair": (b'"\\ud800"', "bad_utf8"),
    "bytes that are no UTF-8": (b'"\xff\xfe"', "bad_utf8"),
    "an encoded surrogate": (b'"\xed\xa0\x80"', "bad_utf8"),
}


@pytest.mark.parametrize("case", WIRES)
def test_lg6_what_is_no_text_on_the_wire_holds_up_nothing(book: Book, phone: Phone, case: str) -> None:
    wire, code = WIRES[case]
    phone.keep("never reached the wire like this")
    good = phone.write()
    pushed = phone.push_raw(1, [wire, msgspec.json.encode(good)])
    assert (results(pushed), reasons(pushed)) == (["held", "stored"], [code, None])
    ((raw,),) = book.sql("SELECT raw FROM held_back")
    assert raw == wire


@pytest.mark.parametrize("size", [32 * 1024 + 1, 10_000_000])
def test_lg6_of_an_entry_that_is_too_large_size_and_hash_are_kept(book: Book, phone: Phone, size: int) -> None:
    shell = altered(phone, body=reading(note=""))
    huge = phone.keep(shell.replace('"note": ""', '"note": "' + "x" * (size - len(shell)) + '"'))
    assert len(huge.encode()) == size
    phone.write()
    pushed = phone.send()
    assert (results(pushed), reasons(pushed)) == (["held", "stored"], ["entry_too_large", None])
    (held,) = book.ledger.asides().held
    assert (held["size"], held["text"]) == (size, None)
    assert held["sha256"] == hashlib.sha256(huge.encode()).hexdigest()
    assert results(phone.send()) == ["held", "already"]


def test_lg6_the_largest_entry_that_fits_is_counted_in_bytes(book: Book, phone: Phone) -> None:
    shell = altered(phone, body=reading(note=""))
    room = 32 * 1024 - len(shell.encode())
    phone.keep(shell.replace('"note": ""', '"note": "' + "µ" * (room // 2) + "x" * (room % 2) + '"'))
    assert only(phone.send()).result == "stored"


def test_lg6_a_fault_in_the_brains_own_check_holds_up_nothing(
    book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def check(entry: dict[str, Any]) -> None:
        if entry["device_no"] == 1:
            raise ZeroDivisionError

    monkeypatch.setattr("standbook.ledger.entry_text.check_entry", check)
    phone.write()
    phone.write()
    pushed = phone.send()
    assert (results(pushed), reasons(pushed)) == (["held", "stored"], ["bad_entry", None])


def test_lg6_it_stays_visible_until_a_person_has_dealt_with_it(book: Book, phone: Phone) -> None:
    phone.keep("no entry at all")
    phone.send()
    (held,) = book.ledger.asides().held
    book.ledger.deal(held["id"], LEAD, "Recorded again by hand.")
    assert book.ledger.asides() == ([], [])
    assert book.sql("SELECT dealt_by, dealt_reason, raw FROM held_back") == [
        (LEAD, "Recorded again by hand.", b"no entry at all")
    ]


def test_lg6_it_is_dealt_with_once(book: Book, phone: Phone) -> None:
    phone.keep("no entry at all")
    phone.send()
    (held,) = book.ledger.asides().held
    book.ledger.deal(held["id"], LEAD, "Recorded again by hand.")
    with pytest.raises(Problem, match="already dealt with by lea-d"):
        book.ledger.deal(held["id"], LEAD, "Once more.")
    with pytest.raises(Problem, match="nothing held back"):
        book.ledger.deal("unknown", LEAD, "What?")
