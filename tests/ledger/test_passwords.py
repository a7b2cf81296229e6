"""Passwords, sessions and the lock after misses."""

from datetime import UTC, datetime, timedelta

import argon2
import pytest

from standbook import clock
from standbook.errors import Problem
from standbook.people import passwords, sessions
from standbook.people.roster import set_password, take_on
from tests.ledger.kit import LEAD, PASSWORD, Book


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
        set_password(connection, LEAD, "another long password")
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
