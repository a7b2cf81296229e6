"""A shop with somebody of every role, each able to sign in."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from standbook.api.who import COOKIE
from standbook.people.authority import ROLES, Author
from standbook.people.roster import take_on
from standbook.people.sessions import open_session
from tests.ledger.kit import PASSWORD, Book, people_in

#: Nobody is signed in.
NOBODY = "nobody"
EVERYBODY = (NOBODY, *ROLES)


def person_of(role: str) -> str:
    """The id of the shop's person of that role beside those of the small test shop."""
    return f"one-{role.replace(' ', '-')}"


def staffed(folder: Path) -> Path:
    """A folder with such a shop; hashing passwords takes its time."""
    book = Book(folder)
    people_in(book)
    with book.services.writer.writing() as connection:
        for role in ROLES:
            take_on(connection, book.services.ledger.shop(), f"One {role}", role, PASSWORD)
    book.close()
    return folder


@contextmanager
def copy_of(template: Path, folder: Path) -> Iterator[Book]:
    shutil.copytree(template, folder)
    book = Book(folder)
    try:
        yield book
    finally:
        book.close()


def signed_in_as(book: Book, role: str) -> FlaskClient:
    """As after a sign-in, without the time that a password takes."""
    client = book.app.test_client()
    if role != NOBODY:
        client.set_cookie(COOKIE, token_of(book, role), path=PREFIX)
    return client


def token_of(book: Book, role: str) -> str:
    return open_session(book.services.writer, author_of(role))


def author_of(role: str) -> Author:
    return Author(person_of(role), f"One {role}", role)
