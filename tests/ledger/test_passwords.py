"""Passwords, sessions and the lock after misses."""

from datetime import UTC, datetime, timedelta

import argon2
import pytest

from standbook import clock
from standbook.errors import Problem
from standbook.people import passwords, sessions
from standbook.people.access import Whence
from standbook.people.roster import put_password, take_on
from tests.ledger.kit import LEAD, PASSWORD, Book

#: As the shop has it: while tests run, another one stands in its place.
OWN = passwords._hasher  # noqa: SLF001


class Clock:
    """A clock that a test can move on."""

    def __init__(self) -> None:
        self.moment = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.moment


@pytest.fixture
def time(monkeypatch: pytest.MonkeyPatch) -> Clock:
    moving = Clock()
    monkeypatch.setattr(clock, "now", moving)
    return moving


def sign_in(book: Book, person: str = LEAD, password: str = PASSWORD) -> str:
    return sessions.sign_in(book.services.writer, book.ledger.shop(), person, password)[0]


def code_of(book: Book, person: str, password: str) -> str:
    with pytest.raises(Problem) as told:
        sign_in(book, person, password)
    return told.value.code


def who(book: Book, token: str) -> str | None:
    with book.ledger.reading() as connection:
        person = sessions.signed_in(connection, token)
    return person.id if person else None


def test_a_password_is_kept_as_argon2id_and_never_as_itself(book: Book) -> None:
    ((stored,),) = book.sql(f"SELECT password_hash FROM people WHERE id = '{LEAD}'")
    assert argon2.extract_parameters(stored).type is argon2.Type.ID
    assert PASSWORD not in stored


def test_a_guess_costs_what_the_standard_asks_of_a_machine_with_little_memory() -> None:
    """RFC 9106, section 4, second recommended option: argon2id, 3 passes, 4 lanes, 64 MiB, salt 128 bits, tag 256."""
    assert OWN.type is argon2.Type.ID
    assert (OWN.time_cost, OWN.parallelism, OWN.memory_cost) == (3, 4, 64 * 1024)
    assert (OWN.salt_len, OWN.hash_len) == (16, 32)


def test_the_right_password_opens_a_session(book: Book) -> None:
    assert who(book, sign_in(book)) == LEAD


def test_a_token_is_kept_only_as_its_hash(book: Book) -> None:
    token = sign_in(book)
    ((stored,),) = book.sql("SELECT token_sha256 FROM sessions")
    assert token not in stored


@pytest.mark.parametrize(
    ("person", "password"), [(LEAD, "not this one"), ("nobody", PASSWORD), ("bo-b", ""), ("nobody", "x" * 5000)]
)
def test_every_miss_is_answered_alike(book: Book, person: str, password: str) -> None:
    assert code_of(book, person, password) == "sign_in_failed"


@pytest.mark.parametrize("person", [LEAD, "nobody"])
def test_five_misses_lock_a_name_for_a_while_known_or_not(book: Book, time: Clock, person: str) -> None:
    assert [code_of(book, person, "wrong one") for _ in range(6)] == ["sign_in_failed"] * 5 + ["sign_in_locked"]
    time.moment += timedelta(seconds=61)
    assert code_of(book, person, "wrong one") == "sign_in_failed"
    time.moment += timedelta(seconds=61)
    assert code_of(book, person, "wrong one") == "sign_in_locked"


def test_while_locked_the_right_password_does_not_help_and_later_it_does(book: Book, time: Clock) -> None:
    for _ in range(5):
        code_of(book, LEAD, "wrong one")
    assert code_of(book, LEAD, PASSWORD) == "sign_in_locked"
    time.moment += timedelta(seconds=61)
    assert who(book, sign_in(book)) == LEAD


def test_a_sign_in_that_works_forgets_the_misses_before(book: Book) -> None:
    for _ in range(3):
        assert [code_of(book, LEAD, "wrong one") for _ in range(3)] == ["sign_in_failed"] * 3
        sign_in(book)


def test_a_session_ends_by_itself_and_by_signing_out(book: Book, time: Clock) -> None:
    first, second = sign_in(book), sign_in(book)
    sessions.sign_out(book.services.writer, first)
    assert (who(book, first), who(book, second)) == (None, LEAD)
    time.moment += timedelta(days=8)
    assert who(book, second) is None


def test_a_new_password_ends_the_sessions_of_the_old_one(book: Book) -> None:
    token = sign_in(book)
    with book.services.writer.writing() as connection:
        put_password(connection, LEAD, passwords.hashed("another long password"))
    assert who(book, token) is None
    assert who(book, sign_in(book, password="another long password")) == LEAD


def test_someone_who_left_can_neither_sign_in_nor_go_on(book: Book) -> None:
    token = sign_in(book)
    book.sql(f"UPDATE people SET left_at = '2026-11-25T08:00:00.000Z' WHERE id = '{LEAD}'")
    assert who(book, token) is None
    assert code_of(book, LEAD, PASSWORD) == "sign_in_failed"


@pytest.mark.parametrize("password", ["", "short", "x" * 201])
def test_a_password_that_is_none_is_refused(password: str) -> None:
    with pytest.raises(ValueError, match="8 to 200"):
        passwords.hashed(password)


@pytest.mark.parametrize("password", ["password", "PassWord1", "12345678", "Lea D. Lea D.", "zoe-oestergaard 2026"])
def test_what_anybody_tries_first_is_no_password_and_neither_is_the_own_name(password: str) -> None:
    name = "Zoë Oestergaard" if password.startswith("zoe") else "Lea D."
    with pytest.raises(ValueError, match=r"anybody tries first|own name"):
        passwords.hashed(password, name.replace("ë", "e"))


@pytest.mark.parametrize("password", ["lead sinker", "        ", "ünïcode wörds", "passwordpassword"])
def test_a_long_one_of_any_letters_is_taken(password: str) -> None:
    assert passwords.fits(password, passwords.hashed(password, "Lea D."))


@pytest.mark.parametrize("given", ["Lea D.", "lea d.", " LEA D. ", LEAD])
def test_the_whole_name_signs_in_as_well_as_the_id(book: Book, given: str) -> None:
    assert who(book, sign_in(book, given)) == LEAD


def test_a_name_is_the_same_however_its_letters_are_composed(book: Book) -> None:
    with book.services.writer.writing() as connection:
        zoe = take_on(connection, book.ledger.shop(), "Zo\u00eb Ö.", "lead", PASSWORD)
    assert who(book, sign_in(book, "zoe\u0308 o\u0308.")) == zoe


def test_of_two_with_one_name_neither_is_meant_by_it(book: Book) -> None:
    with book.services.writer.writing() as connection:
        second = take_on(connection, book.ledger.shop(), "Lea D.", "lead", PASSWORD)
    assert code_of(book, "Lea D.", PASSWORD) == "sign_in_failed"
    assert (who(book, sign_in(book, LEAD)), who(book, sign_in(book, second))) == (LEAD, second)


@pytest.mark.parametrize("spellings", [("Lea D.", LEAD, "LEA D."), ("Nemo X.", "nemo-x", "NEMO X.")])
def test_a_name_and_its_id_share_one_count_known_or_not(book: Book, time: Clock, spellings: tuple[str, ...]) -> None:
    told = [code_of(book, spellings[at % 3], "wrong one") for at in range(6)]
    assert told == ["sign_in_failed"] * 5 + ["sign_in_locked"]


def from_address(book: Book, person: str, password: str, address: str = "192.168.1.9") -> str | None:
    whence = Whence(address)
    try:
        sessions.sign_in(book.services.writer, book.ledger.shop(), person, password, whence)
    except Problem as problem:
        return problem.code
    return None


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """No password is checked: thirty take half a minute."""
    monkeypatch.setattr(passwords, "fits", lambda password, stored: password == PASSWORD and stored is not None)


def test_thirty_misses_from_one_address_lock_it_whatever_the_names(book: Book, time: Clock, quick: None) -> None:
    assert {from_address(book, f"name {at}", "wrong one") for at in range(30)} == {"sign_in_failed"}
    assert from_address(book, LEAD, PASSWORD) == "sign_in_locked"
    assert from_address(book, LEAD, PASSWORD, "192.168.1.10") is None
    time.moment += timedelta(minutes=10, seconds=1)
    assert from_address(book, LEAD, PASSWORD) is None


def test_misses_of_more_than_ten_minutes_lock_no_address(book: Book, time: Clock, quick: None) -> None:
    for at in range(60):
        assert from_address(book, f"name {at}", "wrong one") == "sign_in_failed"
        time.moment += timedelta(seconds=25)


def test_a_sign_in_that_works_washes_nothing_off_its_address(book: Book, time: Clock, quick: None) -> None:
    told = []
    for at in range(30):
        told.append(from_address(book, f"name {at}", "wrong one"))
        told.append(from_address(book, LEAD, PASSWORD))
    assert told == ["sign_in_failed", None] * 29 + ["sign_in_failed", "sign_in_locked"]


def test_the_addresses_of_one_ipv6_network_count_as_one(book: Book, time: Clock, quick: None) -> None:
    told = [from_address(book, f"name {at}", "wrong one", f"fd00:1:2:3::{at:x}") for at in range(31)]
    assert told[-1] == "sign_in_locked"
    assert from_address(book, LEAD, PASSWORD, "fd00:1:2:4::1") is None


def test_the_first_try_of_all_takes_as_long_for_a_known_name_as_for_an_unknown_one() -> None:
    """What an unknown name is checked against is made at the first try, whoever it is for."""
    stored = passwords.hashed("one long password")
    passwords.nobody.cache_clear()
    assert passwords.fits("one long password", stored)
    assert passwords.nobody.cache_info().currsize == 1


def use(book: Book, token: str) -> None:
    with book.services.writer.writing() as connection:
        sessions.stay(connection, token)


def test_a_session_that_nobody_uses_for_half_a_day_is_over(book: Book, time: Clock) -> None:
    used, idle = sign_in(book), sign_in(book)
    for _ in range(3):
        time.moment += timedelta(hours=5)
        use(book, used)
    assert (who(book, used), who(book, idle)) == (LEAD, None)
    use(book, idle)
    assert who(book, idle) is None


def test_a_session_in_use_ends_after_a_week_all_the_same(book: Book, time: Clock) -> None:
    token = sign_in(book)
    for _ in range(20):
        time.moment += timedelta(hours=8)
        use(book, token)
    assert who(book, token) == LEAD
    time.moment += timedelta(hours=8, minutes=1)
    assert who(book, token) is None


def test_everywhere_means_every_browser_and_nobody_else(book: Book) -> None:
    with book.services.writer.writing() as connection:
        take_on(connection, book.ledger.shop(), "Olga P.", "owner", PASSWORD)
    first, second, others = sign_in(book), sign_in(book), sign_in(book, "olga-p")
    sessions.sign_out_everywhere(book.services.writer, LEAD)
    assert [who(book, token) for token in (first, second, others)] == [None, None, "olga-p"]


def test_ids_of_people_can_be_read_and_are_never_used_twice(book: Book) -> None:
    shop = book.ledger.shop()
    with book.services.writer.writing() as connection:
        ids = [take_on(connection, shop, name, "builder") for name in ("Zoë Ö.", "Zoe O.", "名", "名")]
    assert ids == ["zoe-o", "zoe-o-2", "person", "person-2"]


def test_roles_and_names_that_cannot_be_are_refused(book: Book) -> None:
    shop = book.ledger.shop()
    with book.services.writer.writing() as connection:
        for name, role in (("Bo", "king"), (" ", "builder"), ("x" * 81, "builder")):
            with pytest.raises(ValueError, match=r"role|name"):
                take_on(connection, shop, name, role)
