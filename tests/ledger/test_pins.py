"""Whose PIN stands under an entry is decided on the server: a proof is good for one entry, one person, one PIN."""

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from standbook import clock
from standbook.ledger.wire import Pushed
from standbook.network.seal import Seal
from standbook.people import pins, proofs
from tests.ledger.kit import APPRENTICE, BUILDER, LEAD, Book, Phone, only, reasons, results
from tests.ledger.pin_kit import NEW_PIN, OTHER_PIN, PIN, give_pin, proof, push, quick, sealed
from tests.ledger.test_passwords import Clock
from tests.network.kit import whereabouts


def verdict(pushed: Pushed) -> tuple[str, str | None]:
    return only(pushed).result, only(pushed).code


def log(book: Book) -> list[Any]:
    return book.sql("SELECT kind, person, device FROM access_log")


def proven(book: Book) -> list[Any]:
    return book.sql("SELECT entry, person, pin_number, device FROM pin_proofs")


def test_a_signature_with_the_signers_pin_is_taken_and_the_proof_is_noted(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    text = phone.write("step_signed")
    assert verdict(push(phone, proof(book, text))) == ("stored", None)
    assert proven(book) == [(json.loads(text)["id"], BUILDER, 1, phone.id)]


def test_the_pin_is_neither_in_the_book_nor_anywhere_beside_it(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    push(phone, proof(book, phone.write("step_signed")))
    push(Phone(book), proof(book, Phone(book).write("step_signed"), pin=PIN))
    for table in ("pins", "pin_proofs", "entries", "held_back", "access_log"):
        assert PIN not in str(book.sql(f"SELECT * FROM {table}"))


def test_without_a_proof_it_waits_on_the_phone_and_keeps_its_number(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    text = phone.write("step_signed")
    refused = push(phone)
    assert verdict(refused) == ("refused", "pin_needed")
    assert only(refused).message == "Bo B. has to give the PIN, or sign in, before the shop takes this."
    assert refused.next_no == 1
    assert verdict(push(phone, proof(book, text))) == ("stored", None)


@pytest.mark.parametrize("kind", ["reading", "photo"])
def test_a_reading_needs_no_pin(book: Book, phone: Phone, kind: str) -> None:
    give_pin(book, BUILDER)
    picture = {"sha256": "a" * 64, "type": "image/jpeg", "size": 9, "width": 3, "height": 3}
    more = {"body": {"v": 1, "photo": picture, "caption": ""}} if kind == "photo" else {}
    phone.write(kind, **more)
    assert verdict(push(phone)) == ("stored", None)


def test_who_is_signed_in_needs_no_proof(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    phone.write("step_signed")
    assert verdict(push(phone, signed_in=LEAD)) == ("refused", "pin_needed")
    assert verdict(push(phone, signed_in=BUILDER)) == ("stored", None)
    assert proven(book) == []


def test_a_wrong_pin_is_held_back_in_sight_and_stands_in_the_access_log(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    text = phone.write("step_signed")
    held = push(phone, proof(book, text, pin=OTHER_PIN))
    assert verdict(held) == ("held", "pin_wrong")
    assert log(book) == [("pin_missed", BUILDER, phone.id)]
    # Sent again, even with the right one, it is answered as before, and noted once.
    assert verdict(push(phone, proof(book, text))) == ("held", "pin_wrong")
    assert len(log(book)) == 1
    assert proven(book) == []


def test_a_proof_is_worth_nothing_under_another_entry(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    first = phone.write("step_signed")
    good = proof(book, first)
    push(phone, good)
    second = json.loads(phone.write("step_signed", step="main_housings"))
    good.device_no = second["device_no"]
    assert results(push(phone, good)) == ["already", "held"]
    assert reasons(push(phone, good)) == [None, "pin_wrong"]


@pytest.mark.parametrize("claimed", [BUILDER, LEAD])
def test_one_persons_pin_proves_nobody_else(book: Book, phone: Phone, claimed: str) -> None:
    """The lead's PIN under the builder's signature, whoever the proof says it is of."""
    give_pin(book, BUILDER)
    give_pin(book, LEAD, OTHER_PIN)
    text = phone.write("step_signed")
    assert verdict(push(phone, proof(book, text, pin=OTHER_PIN, person=claimed))) == ("held", "pin_wrong")


def test_two_people_sign_on_one_phone_each_with_the_own_pin(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    give_pin(book, LEAD, OTHER_PIN)
    builder, lead = phone.write("step_signed"), phone.write("step_signed", person=LEAD)
    assert results(push(phone, proof(book, builder), proof(book, lead, pin=OTHER_PIN))) == ["stored", "stored"]
    assert [row[1] for row in proven(book)] == [BUILDER, LEAD]


@pytest.mark.parametrize("kind", ["build_opened", "limits_frozen", "engine_value", "decision"])
def test_a_leads_pin_stands_for_his_sign_in_and_a_builders_does_not(book: Book, kind: str) -> None:
    give_pin(book, LEAD)
    give_pin(book, BUILDER)
    stand = Phone(book, LEAD)
    text = stand.write(kind)
    assert verdict(push(stand)) == ("refused", "pin_needed")
    assert verdict(push(stand, proof(book, text))) == ("stored", None)
    other = Phone(book, BUILDER)
    assert verdict(push(other, proof(book, other.write(kind)))) == ("held", "not_allowed")


def test_a_lead_strikes_out_anothers_reading_by_his_pin(book: Book, phone: Phone) -> None:
    give_pin(book, LEAD)
    target = json.loads(phone.write())["id"]
    push(phone)
    stand = Phone(book, LEAD)
    text = stand.write("struck_out", body={"v": 1, "target": target, "reason": "wrong journal"})
    assert verdict(push(stand)) == ("refused", "pin_needed")
    assert verdict(push(stand, proof(book, text))) == ("stored", None)


def test_an_apprentice_signs_nothing_whatever_he_types(book: Book) -> None:
    give_pin(book, APPRENTICE)
    phone = Phone(book, APPRENTICE)
    assert verdict(push(phone, proof(book, phone.write("step_signed")))) == ("held", "not_allowed")


def test_the_pin_before_counts_for_what_was_signed_before_its_change_was_pulled(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    phone.write()
    push(phone)  # the book stands at 1
    give_pin(book, BUILDER, NEW_PIN)
    before, after = phone.write("step_signed", seen=1), phone.write("step_signed", seen=2)
    pushed = push(phone, proof(book, before), proof(book, after))
    assert results(pushed) == ["already", "stored", "held"]
    assert reasons(pushed)[2] == "pin_wrong"
    last = phone.write("step_signed", seen=2)
    assert results(push(phone, proof(book, last, NEW_PIN, number=2)))[-1] == "stored"
    assert [row[2] for row in proven(book)] == [1, 2]


def test_a_number_does_not_lend_its_pin_to_another(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    give_pin(book, BUILDER, NEW_PIN)
    text = phone.write("step_signed")
    assert verdict(push(phone, proof(book, text, PIN, number=2))) == ("held", "pin_wrong")


def test_a_pin_that_a_restored_book_does_not_know_is_asked_for_anew(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    text = phone.write("step_signed")
    assert verdict(push(phone, proof(book, text, number=7))) == ("refused", "pin_needed")


@pytest.mark.parametrize("broken", ["", "no base64", "AAAA", "not the form"])
def test_what_cannot_be_read_is_no_proof(book: Book, phone: Phone, broken: str) -> None:
    give_pin(book, BUILDER)
    good = proof(book, phone.write("step_signed"))
    good.sealed = sealed(book, ["pin", PIN]) if broken == "not the form" else broken
    assert verdict(push(phone, good)) == ("refused", "pin_needed")


def test_what_was_sealed_to_a_key_that_is_gone_is_asked_for_anew(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    old = proof(book, phone.write("step_signed"))
    (book.settings.keys / "seal.pem").unlink()
    book.ledger.seal = Seal(book.settings.keys)
    assert verdict(push(phone, old)) == ("refused", "pin_needed")
    assert verdict(push(phone, proof(book, phone.texts[0]))) == ("stored", None)


@pytest.mark.parametrize("again", ["with", "without"])
def test_lg3_after_a_lost_reply_it_is_answered_as_already_there(book: Book, phone: Phone, again: str) -> None:
    give_pin(book, BUILDER)
    good = proof(book, phone.write("step_signed"))
    push(phone, good)
    assert verdict(push(phone, *([good] if again == "with" else []))) == ("already", None)
    assert len(proven(book)) == 1


def test_another_phone_hands_in_a_signature_with_its_proof(book: Book, phone: Phone) -> None:
    give_pin(book, BUILDER)
    good = proof(book, phone.write("step_signed"))
    assert verdict(push(phone, carrier="another-phone")) == ("refused", "pin_needed")
    assert verdict(push(phone, good, carrier="another-phone")) == ("stored", None)


def test_each_pin_is_hashed_once_in_a_push(book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    give_pin(book, BUILDER)
    hashed = counted(monkeypatch)
    texts = [phone.write("step_signed", step=f"step-{count}") for count in range(5)]
    assert results(push(phone, *(proof(book, text) for text in texts))) == ["stored"] * 5
    assert hashed == [PIN]


def test_a_push_full_of_guesses_is_looked_at_in_parts(
    book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(proofs, "MOST_HASHES", 2)
    give_pin(book, BUILDER)
    hashed = counted(monkeypatch)
    guesses = [proof(book, phone.write("step_signed"), pin=f"40271{count}") for count in range(4)]
    pushed = push(phone, *guesses)
    assert reasons(pushed) == ["pin_wrong", "pin_wrong", "pin_later", "waits_behind"]
    assert len(hashed) == 2
    assert results(push(phone, *guesses)) == ["held", "held", "refused", "refused"]


def guess(phone: Phone, pin: str) -> str | None:
    text = phone.write("step_signed")
    return reasons(push(phone, proof(phone.book, text, pin=pin)))[-1]


def test_five_pushes_with_a_wrong_pin_lock_its_person_for_a_while_and_nobody_else(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    time = Clock()
    monkeypatch.setattr(clock, "now", time)
    give_pin(book, BUILDER)
    give_pin(book, LEAD, OTHER_PIN)
    assert [guess(Phone(book), f"40271{digit}") for digit in range(5)] == ["pin_wrong"] * 5
    honest = Phone(book)
    good = proof(book, honest.write("step_signed"))
    hashed = counted(monkeypatch)
    assert verdict(push(honest, good)) == ("refused", "pin_later")
    assert hashed == []
    assert guess(Phone(book, LEAD), OTHER_PIN) is None
    time.moment += timedelta(seconds=61)
    assert verdict(push(honest, good)) == ("stored", None)
    assert [guess(Phone(book), OTHER_PIN) for _ in range(4)] == ["pin_wrong"] * 4


def test_no_hash_is_spent_on_what_needs_no_proof(book: Book, phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    give_pin(book, BUILDER)
    hashed = counted(monkeypatch)
    assert verdict(push(phone, proof(book, phone.write()))) == ("stored", None)
    assert (hashed, proven(book)) == ([], [])


def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The PINs that were hashed from now on."""
    found: list[str] = []
    slow = pins.slow

    def counting(pin: str, salt: bytes, iterations: int) -> bytes:
        found.append(pin)
        return slow(pin, salt, iterations)

    monkeypatch.setattr(pins, "slow", counting)
    return found


@pytest.fixture
def strict(book: Book) -> Iterator[Book]:
    """The same shop, served beyond this machine."""
    served = Book(book.settings.data, book.settings.database, whereabouts())
    yield served
    served.close()


def test_in_the_network_nobody_signs_without_a_pin(strict: Book) -> None:
    phone = Phone(strict)
    phone.write()
    text = phone.write("step_signed")
    pushed = push(phone)
    assert (results(pushed), reasons(pushed)) == (["stored", "refused"], [None, "pin_missing"])
    assert pushed.answers[1].message == "Bo B. has no PIN yet. A lead gives one at the desk."
    give_pin(strict, BUILDER)
    assert results(push(phone, proof(strict, text))) == ["already", "stored"]


def test_in_the_network_a_lead_without_a_pin_signs_in_as_before(strict: Book) -> None:
    desk = Phone(strict, LEAD)
    desk.write("decision")
    assert verdict(push(desk)) == ("refused", "sign_in_needed")
    assert verdict(push(desk, signed_in=LEAD)) == ("stored", None)


def test_a_pull_tells_by_a_mark_that_there_are_other_pins(book: Book) -> None:
    marks = [book.pull().pins]
    for pin in (PIN, NEW_PIN):
        give_pin(book, BUILDER, pin)
        marks.append(book.pull().pins)
    assert marks[0] == ""
    assert len(set(marks)) == 3


def test_a_pin_is_kept_as_owasp_gives_it_for_pbkdf2() -> None:
    """OWASP Password Storage Cheat Sheet: PBKDF2-HMAC-SHA256 with 600,000 iterations."""
    kept = pins.hashed(PIN)
    assert kept.iterations == 600_000
    assert pins.fits(PIN, kept)
    assert not pins.fits(OTHER_PIN, kept)
    assert pins.hashed(PIN).salt != kept.salt


def test_the_hash_is_the_one_of_rfc_7914() -> None:
    """RFC 7914, section 11: PBKDF2-HMAC-SHA256 ("passwd", "salt", 1 iteration), its first 32 bytes."""
    assert pins.slow("passwd", b"salt", 1).hex() == "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"


@pytest.mark.parametrize(
    ("pin", "why"),
    [
        ("", "6 to 12 digits"),
        ("40271", "6 to 12 digits"),
        ("4027184027184", "6 to 12 digits"),
        ("40271a", "6 to 12 digits"),
        ("٤٠٢٧١٨", "6 to 12 digits"),
        (" 402718", "6 to 12 digits"),
        ("000000", "over and over"),
        ("77777777", "over and over"),
        ("123456", "follow each other"),
        ("890123", "follow each other"),
        ("987654", "follow each other"),
    ],
)
def test_a_pin_that_is_none_or_is_guessed_at_once_is_refused_with_the_reason(pin: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        pins.hashed(pin)


@pytest.mark.parametrize("pin", ["402718", "112233", "402718402718", "100000"])
def test_other_digits_are_a_pin(pin: str) -> None:
    assert pins.fits(pin, pins.hashed(pin))


def test_numbers_of_pins_count_up_for_each_person(book: Book) -> None:
    assert [give_pin(book, BUILDER), give_pin(book, BUILDER, NEW_PIN), give_pin(book, LEAD)] == [1, 2, 1]
    with book.ledger.reading() as connection:
        found = pins.present(connection, book.ledger.shop())
    assert found == {
        BUILDER: {"number": 2, **quick(NEW_PIN)._asdict()},
        LEAD: {"number": 1, **quick(PIN)._asdict()},
    }


def test_the_seals_key_is_the_owners_alone_and_stays_the_same(tmp_path: Path) -> None:
    first = Seal(tmp_path / "keys")
    assert Seal(tmp_path / "keys").public == first.public
    assert (tmp_path / "keys" / "seal.pem").stat().st_mode & 0o077 == 0
    assert (tmp_path / "keys").stat().st_mode & 0o077 == 0
