"""A device signs each batch with its key; the shop proves by that where an entry came from."""

import json
from typing import Any

import pytest

from standbook.errors import Problem
from standbook.ledger import signature_check
from standbook.ledger.signature_check import Signatures, signature_findings
from standbook.people import joining
from tests.ledger.keys import KeyedPhone, batch, new_key, signed
from tests.ledger.kit import LEAD, Book, Phone, reasons, results


@pytest.fixture
def phone(book: Book) -> KeyedPhone:
    return KeyedPhone(book)


def kept(book: Book) -> list[Any]:
    return book.sql("SELECT device, from_no, to_no, signer FROM batch_signatures ORDER BY device, from_no")


def checked(book: Book) -> tuple[int, list[str], list[str]]:
    """Batches proven, sentences of what does not fit, sentences of what cannot be proved."""
    found = Signatures()
    with book.ledger.reading() as connection:
        wrong = list(signature_findings(connection, book.ledger.shop(), found))
    return found.proven, wrong, found.doubtful


def proof(book: Book, text: str) -> dict[str, Any]:
    return book.ledger.proof(json.loads(text)["id"])


def networked(book: Book) -> None:
    book.ledger.keys_wanted = True


def test_a_fitting_signature_is_kept_with_its_batch_and_proves_where_it_came_from(
    book: Book, phone: KeyedPhone
) -> None:
    networked(book)
    for _ in range(3):
        phone.write()
    phone.write(person="nobody")
    assert results(phone.send()) == ["stored"] * 3 + ["held"]
    assert kept(book) == [(phone.id, 1, 4, phone.id)]
    assert checked(book) == (1, [], [])
    told = {"device": phone.id, "from_no": 1, "to_no": 4, "signer": phone.id, "proven": True}
    for text in phone.texts:
        assert proof(book, text) == {"entry": json.loads(text)["id"], **told}


WRONG = {
    "of another key": lambda phone: signed(new_key(), batch(phone.id, 1, phone.texts)),
    "over another text": lambda phone: signed(phone.key, batch(phone.id, 1, ["{}"])),
    "over another order": lambda phone: signed(phone.key, batch(phone.id, 1, phone.texts[::-1])),
    "over another number": lambda phone: signed(phone.key, batch(phone.id, 2, phone.texts)),
    "over another device": lambda phone: signed(phone.key, batch("d", 1, phone.texts)),
    "that is none": lambda phone: "AAAA",
    "that is no base64": lambda phone: "?" * 88,
}


@pytest.mark.parametrize("network", [False, True])
@pytest.mark.parametrize("case", WRONG)
def test_a_signature_that_does_not_fit_refuses_the_batch_whole(
    book: Book, phone: KeyedPhone, case: str, network: bool
) -> None:
    book.ledger.keys_wanted = network
    texts = [phone.write(), phone.write()]
    with pytest.raises(Problem) as met:
        phone.push(1, texts, signature=WRONG[case](phone))
    assert (met.value.code, met.value.status) == ("signature_wrong", 403)
    assert (book.texts(), kept(book)) == ([], [])
    assert results(phone.send()) == ["stored", "stored"]


def test_without_a_signature_a_joined_device_is_refused_on_the_network_and_taken_on_the_machine_itself(
    book: Book, phone: KeyedPhone
) -> None:
    text = phone.write()
    networked(book)
    with pytest.raises(Problem, match="could not prove"):
        phone.push(1, [text], signature="")
    book.ledger.keys_wanted = False
    assert results(phone.push(1, [text], signature="")) == ["stored"]
    assert (kept(book), proof(book, text)["proven"], checked(book)) == ([], False, (0, [], []))


def test_a_key_that_the_shop_does_not_know_proves_nothing_and_is_let_in_on_the_machine_itself_alone(
    book: Book,
) -> None:
    stranger = KeyedPhone(book, joins=False)
    text = stranger.write()
    assert results(stranger.send()) == ["stored"]
    assert (kept(book), proof(book, text)["signer"]) == ([], None)
    networked(book)
    with pytest.raises(Problem) as met:
        stranger.send()
    assert met.value.code == "not_joined"


def test_a_batch_sent_again_changes_nothing_and_one_that_reaches_further_takes_its_place(
    book: Book, phone: KeyedPhone
) -> None:
    for _ in range(3):
        phone.write()
    phone.push(1, phone.texts[:2])
    assert results(phone.send()) == ["already", "already", "stored"]
    assert kept(book) == [(phone.id, 1, 3, phone.id)]
    before = book.sql("SELECT signature FROM batch_signatures")
    assert results(phone.push(1, phone.texts[:1])) == ["already"]
    assert results(phone.send()) == ["already"] * 3
    assert book.sql("SELECT signature FROM batch_signatures") == before
    assert checked(book) == (1, [], [])


def test_a_batch_that_was_taken_in_part_is_proven_when_the_rest_has_come(book: Book, phone: KeyedPhone) -> None:
    phone.write()
    phone.write("decision", person=LEAD)
    phone.write()
    assert results(phone.send()) == ["stored", "refused", "refused"]
    assert checked(book) == (0, [], [f"Device {phone.id}, numbers 1 to 3 cannot be proved: the bytes of number 2 "
                                     "are not here."])  # fmt: skip
    assert not proof(book, phone.texts[0])["proven"]
    phone.send(signed_in=LEAD, from_no=2)
    assert checked(book) == (2, [], [])
    assert proof(book, phone.texts[0])["proven"]


def test_of_a_batch_that_was_refused_nothing_is_kept(book: Book, phone: KeyedPhone) -> None:
    phone.write()
    phone.write()
    assert reasons(phone.send(from_no=2)) == ["number_gap"]
    assert kept(book) == []


def test_a_phone_set_back_after_a_refusal_accuses_nobody(book: Book, phone: KeyedPhone) -> None:
    phone.write()
    phone.write("decision", person=LEAD)
    phone.send()
    phone.texts.pop()
    phone.write()
    phone.send(from_no=2)
    proven, wrong, doubtful = checked(book)
    assert (proven, wrong) == (1, [])
    assert "came later than the signature" in doubtful[0]


def test_what_a_device_carries_for_another_is_under_its_own_key(book: Book, phone: KeyedPhone) -> None:
    networked(book)
    gone = Phone(book)
    texts = [gone.write(), gone.write()]
    assert results(phone.carry(gone, 1, texts)) == ["stored", "stored"]
    assert kept(book) == [(gone.id, 1, 2, phone.id)]
    assert (proof(book, texts[0])["device"], proof(book, texts[0])["signer"]) == (gone.id, phone.id)
    assert checked(book) == (1, [], [])


def test_the_devices_own_word_stands_before_that_of_one_who_carries_for_it(book: Book, phone: KeyedPhone) -> None:
    carrier = KeyedPhone(book)
    texts = [phone.write(), phone.write()]
    carrier.carry(phone, 1, texts)
    phone.push(1, texts[:1])
    assert kept(book) == [(phone.id, 1, 1, phone.id)]
    carrier.carry(phone, 1, texts)
    assert kept(book) == [(phone.id, 1, 1, phone.id)]


FLIPS = {
    "an entry": "UPDATE entries SET text = replace(text, '2.5758', '2.5759') WHERE device_no = 2",
    "a held-back entry": "UPDATE held_back SET raw = {raw} WHERE device_no = 4",
    "the signature": "UPDATE batch_signatures SET signature = "
    "(SELECT signature FROM batch_signatures WHERE from_no = 5) WHERE from_no = 1",
}


@pytest.mark.parametrize("case", FLIPS)
def test_a_flipped_byte_is_told_with_its_device_and_numbers(
    book: Book, phone: KeyedPhone, case: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(signature_check, "WINDOW", 1)
    for _ in range(3):
        phone.write()
    held = phone.write(person="nobody").replace("2.5758", "2.5759").encode().hex()
    phone.send()
    phone.write()
    phone.send(from_no=5)
    book.unfreeze()
    raw = f"x'{held}'" if book.on_sqlite else f"decode('{held}', 'hex')"
    book.sql(FLIPS[case].format(raw=raw))
    words = f"Device {phone.id}, numbers 1 to 4: what the book has there is not what it signed."
    assert checked(book) == (1, [words], [])


def test_a_flipped_byte_in_what_was_carried_names_the_carrier(book: Book, phone: KeyedPhone) -> None:
    gone = Phone(book)
    phone.carry(gone, 1, [gone.write()])
    book.unfreeze()
    book.sql("UPDATE entries SET text = replace(text, '2.5758', '2.5759')")
    (words,) = checked(book)[1]
    assert words == (
        f"Device {gone.id}, numbers 1 to 1: what the book has there is not what device {phone.id}, which handed them "
        "in, signed."
    )


def test_what_is_not_there_byte_for_byte_is_told_as_not_provable(book: Book, phone: KeyedPhone) -> None:
    phone.write()
    phone.write(body={"v": 1, "note": "x" * 40_000})
    assert results(phone.send()) == ["stored", "held"]
    proven, wrong, doubtful = checked(book)
    assert (proven, wrong) == (0, [])
    assert doubtful == [f"Device {phone.id}, numbers 1 to 2 cannot be proved: the bytes of number 2 are not here."]
    assert not proof(book, phone.texts[0])["proven"]


def test_half_a_character_is_held_back_and_holds_up_nothing_that_is_signed(book: Book, phone: KeyedPhone) -> None:
    networked(book)
    good = phone.write()
    # An encoder writes U+FFFD for the half that has no bytes of its own.
    signature = signed(phone.key, batch(phone.id, 1, ["half \ufffd", good]))
    pushed = Phone.push_raw(phone, 1, [b'"half \\ud800"', json.dumps(good).encode()], signature=signature)
    assert reasons(pushed) == ["bad_utf8", "wrong_number"]
    assert checked(book)[1] == []


def test_the_key_of_a_device_that_was_cut_off_still_proves_what_it_sent(book: Book, phone: KeyedPhone) -> None:
    text = phone.write()
    phone.send()
    with book.services.writer.writing() as connection:
        joining.cut_off(connection, book.ledger.shop(), phone.id, LEAD, "lost")
    assert checked(book) == (1, [], [])
    assert proof(book, text)["proven"]


def test_without_the_key_nothing_is_called_broken(book: Book, phone: KeyedPhone) -> None:
    phone.write()
    phone.send()
    book.sql("DELETE FROM joined_devices")
    proven, wrong, doubtful = checked(book)
    assert (proven, wrong) == (0, [])
    assert f"the key of device {phone.id} is not here" in doubtful[0]


def test_lg4_of_two_phones_with_one_name_and_one_key_both_entries_are_kept_and_the_copy_is_noticed(
    book: Book, phone: KeyedPhone
) -> None:
    networked(book)
    phone.write()
    phone.send()
    twin = phone.twin()
    firsts = [phone.write(), phone.write()]
    phone.send(from_no=2)
    seconds = [twin.write(), twin.write(), twin.write()]
    pushed = twin.send(from_no=2)
    assert reasons(pushed) == ["same_number", "same_number", None]
    assert book.texts() == [phone.texts[0], *firsts, seconds[2]]
    asides = book.ledger.asides()
    assert [conflict["text"] for conflict in asides.conflicts] == seconds[:2]
    assert checked(book)[1] == []
    assert [proof(book, text)["proven"] for text in firsts] == [True, True]


def test_lg4_the_copys_own_batch_is_proven_by_the_texts_that_stand_beside_the_book(
    book: Book, phone: KeyedPhone
) -> None:
    twin = phone.twin()
    phone.write()
    phone.write()
    phone.send()
    seconds = [twin.write(), twin.write()]
    twin.send(from_no=2)
    assert kept(book) == [(phone.id, 1, 2, phone.id), (phone.id, 2, 2, phone.id)]
    assert checked(book) == (2, [], [])
    assert proof(book, seconds[1])["proven"]


def test_nobody_is_asked_for_a_proof_of_an_entry_that_the_shop_does_not_have(book: Book) -> None:
    with pytest.raises(Problem) as met:
        book.ledger.proof("nothing")
    assert (met.value.code, met.value.status) == ("unknown_entry", 404)
