"""The command line: `standbook WORDS`."""

import argparse
import getpass
import json
import logging
import sys
from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

from flask import Flask
from sqlalchemy.exc import DBAPIError

from standbook.api.document import openapi as openapi_document
from standbook.api.first_lead import has_shop
from standbook.api.services import KEY, Services
from standbook.app import create_app
from standbook.caretaker import Caretaker, restore, restore_files
from standbook.cli_reckon import add_words as add_reckoning_words
from standbook.cli_reckon import reckon_as_told
from standbook.cli_serve import add_words as add_serving_words
from standbook.cli_serve import serve_as_told
from standbook.cli_words import Unable, shown
from standbook.config import Misset, prepare, settings
from standbook.errors import Problem
from standbook.keeping.backup import new_name
from standbook.keeping.open_shop import shared
from standbook.keeping.package import DESCRIPTOR
from standbook.keeping.scrub import Copy
from standbook.keeping.trouble import Trouble
from standbook.keeping.whole import Whole
from standbook.ledger.chain_check import DAMAGED, reason
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.shops import open_shop
from standbook.people import changes, passwords, pins
from standbook.people.authority import ROLES
from standbook.people.changes import By
from standbook.people.customers import customers
from standbook.people.names import same
from standbook.people.roster import people, take_on
from standbook.writing import named_errors

#: Whoever may run commands may do everything; the log does not know who it was.
BY_COMMAND = By("", "the command line", "")
USAGE = 2
BROKEN = 1
STOPPED = 130


def main(words: Sequence[str] | None = None) -> int:
    """Runs one command; gives the exit code: 0 well, 1 the book does not hold together, 2 cannot be done."""
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")
    given = parser().parse_args(words)
    try:
        with opened(given):
            return given.command(given) or 0
    except (Problem, Unable, Trouble, Misset) as error:
        print(f"standbook: {shown(error)}", file=sys.stderr, flush=True)
        return USAGE
    except DBAPIError as error:
        print(f"standbook: The database says: {shown(error.orig)}. Run: standbook check", file=sys.stderr, flush=True)
        return USAGE
    except KeyboardInterrupt:
        print("standbook: Stopped.", file=sys.stderr, flush=True)
        return STOPPED


def opened(given: argparse.Namespace) -> AbstractContextManager[None]:
    """A restore wants the folder for itself (it sees to that), so everybody else says that they are there."""
    return sharing() if given.opens else nullcontext()


def sharing() -> AbstractContextManager[None]:
    here = settings()
    with named_errors():
        prepare(here.data)
        return shared(here.open_lock)


def parser() -> argparse.ArgumentParser:
    top = argparse.ArgumentParser(prog="standbook", description="The build book of a performance engine shop.")
    commands = top.add_subparsers(required=True, metavar="COMMAND")
    for name, command, words in (
        ("demo", demo, "an invented shop with two engines: seed it if there is none, then serve"),
        ("serve", serve_shop, "serve this shop's book to its phones and desks"),
        ("seed", seed, "put the demo shop into an empty book"),
        ("shop", new_shop, "open an empty book for a shop of your own"),
        ("person", new_person, "take somebody on"),
        ("openapi", openapi, "print the OpenAPI document"),
        ("check", check, "read the whole book and every file, and say whether they are whole"),
        ("backup", make_backup, "write a backup, also while the shop is served"),
        ("export", export, "write the whole shop into a new folder, as a data package that any program can read"),
        ("import", take_in, "take an exported shop into an empty book"),
        ("password", new_password, "give somebody of the shop a new password"),
        ("erase", erase_customer, "erase a customer's name, phone, email, address and note for good; the book stays"),
        ("pin", new_pin, "give somebody of the shop a new PIN for the stand"),
        ("restore", bring_back, "put a backup in the place of what is here, which is put aside first"),
        ("reckon", reckon_as_told, "work something out: one of the trade's calculators by name, or their list"),
    ):
        opens = command not in (openapi, bring_back, take_in, reckon_as_told)
        commands.add_parser(name, help=words, description=words).set_defaults(command=command, opens=opens)
    add_serving_words(commands.choices["demo"], network=False)
    add_serving_words(commands.choices["serve"], network=True)
    add_keeping_words(commands.choices["backup"], commands.choices["restore"])
    add_person_words(commands.choices["shop"], commands.choices["person"])
    commands.choices["export"].add_argument("folder", type=Path, help="a folder that is not there yet")
    commands.choices["import"].add_argument("folder", type=Path, help="an exported shop's folder")
    add_erasing_words(commands.choices["erase"])
    add_reckoning_words(commands.choices["reckon"])
    for name in ("password", "pin"):
        commands.choices[name].add_argument("person", help="the person's id, as the list of people has it")
    return top


def add_keeping_words(backup: argparse.ArgumentParser, restore: argparse.ArgumentParser) -> None:
    where = backup.add_mutually_exclusive_group()
    where.add_argument("file", nargs="?", type=Path, help="the new file's name")
    where.add_argument("--to", type=Path, metavar="FOLDER", help="a folder for it; usually among the data: backups")
    restore.add_argument("file", type=Path, help="a backup's file")
    words = "leave the book as it is and put back only photos and texts that are missing or damaged here"
    restore.add_argument("--only-files", action="store_true", help=words)


def add_erasing_words(erase: argparse.ArgumentParser) -> None:
    erase.add_argument("customer", help="the customer's id or whole name")
    erase.add_argument("--reason", help="why, without naming anybody; asked for where it is not given")
    words = "delete the older backups that still hold the customer, after asking"
    erase.add_argument("--delete-backups", action="store_true", help=words)


def add_person_words(shop: argparse.ArgumentParser, person: argparse.ArgumentParser) -> None:
    shop.add_argument("name", help="the shop's name")
    shop.add_argument("--lead", required=True, help="name of its first lead; the password is asked for")
    person.add_argument("name", help="how this person is called on screens")
    person.add_argument("--role", choices=ROLES, default="builder")


def application() -> tuple[Flask, Services]:
    app = create_app(settings())
    services: Services = app.extensions[KEY]
    return app, services


def demo(given: argparse.Namespace) -> None:
    from seed_demo import sign_in_words

    def ready(services: Services) -> None:
        if not has_shop(services):
            print("Seeding the demo shop …", flush=True)
            seed_shop(services)

    def words(services: Services) -> str:
        with services.ledger.reading() as connection:
            return sign_in_words(connection)

    serve_as_told(given, ready, words)


def serve_shop(given: argparse.Namespace) -> None:
    serve_as_told(given, lambda _: None, lambda _: "sign in there with your password")


def seed(_: argparse.Namespace) -> None:
    services = application()[1]
    if has_shop(services):
        raise Unable("This book already belongs to a shop; the demo shop goes only into an empty one.")
    seed_shop(services)
    print("The demo shop is in the book.")


def seed_shop(services: Services) -> None:
    from seed_demo import seed as put_in

    put_in(services.ledger, services.writer)


def new_shop(given: argparse.Namespace) -> None:
    services = application()[1]
    password = asked_password(given.lead)
    try:
        with services.writer.writing() as connection:
            shop = open_shop(connection, given.name)
            person = take_on(connection, shop, given.lead, "lead", password)
    except ValueError as error:
        raise Unable(f"That does not work: {error}.") from error
    print(f"The book of {given.name} is open. {given.lead} signs in as {person}.")


def new_person(given: argparse.Namespace) -> None:
    services = application()[1]
    password = asked_password(given.name) if given.role in ("lead", "owner") else None
    try:
        with services.writer.writing() as connection:
            person = take_on(connection, the_shop(connection), given.name, given.role, password)
    except ValueError as error:
        raise Unable(f"That does not work: {error}.") from error
    print(f"{given.name} is on the list as {person}.")


def asked_password(name: str) -> str:
    return asked_secret(f"Password for {name}: ")


def asked_secret(question: str) -> str:
    """From a terminal without showing it; else the first line of what is piped in."""
    if sys.stdin.isatty():
        return getpass.getpass(question)
    return sys.stdin.readline().rstrip("\n")


def openapi(_: argparse.Namespace) -> None:
    print(json.dumps(openapi_document(), indent=2))


def spoken(what: str, done: int, of: int) -> None:
    """How far a long piece of work has come: one line of a terminal, drawn over; elsewhere only its end."""
    if done >= of or sys.stderr.isatty():
        print(f"  {what}: {done} of {of}", end="\n" if done >= of else "\r", file=sys.stderr, flush=True)


def check(_: argparse.Namespace) -> int:
    try:
        caretaker = Caretaker(application()[1])
    except (Problem, *DAMAGED) as error:
        if isinstance(error, Problem) and error.code != "disk_trouble":
            raise
        print(f"The book cannot be opened: {shown(reason(error))}. Put a backup in its place: standbook restore FILE")
        return BROKEN
    whole = caretaker.check(spoken)
    print(shown(check_words(whole)))
    return BROKEN if whole.findings else 0


def check_words(whole: Whole) -> str:
    book = whole.book
    counts = f"{book.entries} entries, {book.devices} devices, {book.blobs} files"
    waiting = [f"{book.open_asides} held back or in conflict and not dealt with"]
    if whole.awaited:
        waiting.append(f"{whole.awaited} files that entries name are still on their devices")
    if whole.signatures.proven:
        waiting.append(f"batches proven by their devices' keys: {whole.signatures.proven}")
    lines = [*whole.findings, *whole.signatures.doubtful]
    if not whole.findings:
        return "\n".join((f"The book holds together: {counts}; {'; '.join(waiting)}.", *lines))
    return "\n".join((f"The book does not hold together ({counts}; {'; '.join(waiting)}):", *lines))


def make_backup(given: argparse.Namespace) -> int:
    services = application()[1]
    target = new_name(given.to) if given.to else given.file
    if target and target.is_dir():
        raise Unable(f"{target} is a folder. Name a new file, or say: standbook backup --to {target}")
    made = Caretaker(services).backup(target, spoken)
    print(f"{made.path} holds the book up to entry {made.last_seq}.")
    if made.lacking:
        print(f"It lacks {len(made.lacking)} files that are missing or damaged here. Run: standbook check")
    return BROKEN if made.lacking else 0


def export(given: argparse.Namespace) -> int:
    made = Caretaker(application()[1]).export(given.folder, spoken)
    print(f"{made.folder} holds the shop up to entry {made.last_seq}, with its customers and without passwords.")
    if made.lacking:
        print(f"It lacks {len(made.lacking)} files that are missing or damaged here. Run: standbook check")
    return BROKEN if made.lacking else 0


def take_in(given: argparse.Namespace) -> int:
    here = settings()
    if not (given.folder / DESCRIPTOR).is_file():
        raise Unable(f"{given.folder} is no folder of an exported shop: there is no {DESCRIPTOR} in it.")
    with sharing():
        services = application()[1]
        belongs = has_shop(services)
        services.ledger.engine.dispose()
    if belongs:
        raise Unable("There is a shop in this book already. Import into an empty one; STANDBOOK_DATA names its folder.")
    taken = restore(here, given.folder, spoken)
    print(f"The shop of {shown(taken.manifest.made_at)} is in the book, up to entry {taken.manifest.last_seq}.")
    print("Nobody has a password or a PIN yet. Give the lead a password: standbook password ID")
    if taken.missing:
        print(f"{len(taken.missing)} files were not in the folder. Run: standbook check")
    return BROKEN if taken.missing else 0


def new_password(given: argparse.Namespace) -> None:
    services, name = services_with(given.person)
    try:
        hashed = passwords.hashed(asked_password(given.person), name)
    except ValueError as error:
        raise Unable(f"That does not work: {error}.") from error
    with services.writer.writing() as connection:
        changes.new_password(connection, the_shop(connection), given.person, hashed, BY_COMMAND)
    print(f"{given.person} signs in with the new password from now on.")


def new_pin(given: argparse.Namespace) -> None:
    services, _ = services_with(given.person)
    try:
        pin = pins.hashed(asked_secret(f"PIN for {given.person}: "))
    except ValueError as error:
        raise Unable(f"That does not work: {error}.") from error
    with services.writer.writing() as connection:
        at = read_counter(connection, the_shop(connection))
        changes.new_pin(connection, at.shop, given.person, pin, at.last_seq, BY_COMMAND)
    print(f"{given.person} has the new PIN at the stand as soon as a phone hears of it.")


def services_with(person: str) -> tuple[Services, str]:
    """And the person's name. Raises Unable where nobody of the shop has this id."""
    services = application()[1]
    with services.ledger.reading() as connection:
        known = {author.id: author.name for author in people(connection, the_shop(connection))}
    if person not in known:
        raise Unable(f"Nobody here has the id {person}. There are: {', '.join(known)}")
    return services, known[person]


def erase_customer(given: argparse.Namespace) -> int:
    services = application()[1]
    which = customer_meant(services, given.customer)
    reason = given.reason or asked("Why is this customer erased (without naming anybody)? ")
    if not reason:
        raise Unable("Erasing wants a reason; it is kept without the customer's name.")
    erased = Caretaker(services).erase(which, "command line", reason, spoken)
    print(f"Customer {which} is erased. The book is as it was, and names nobody.")
    if not erased.clean:
        print("The database's file could not be written anew: make room, stop the server, then erase once more.")
    left = delete_copies(erased.copies) if given.delete_backups else erased.copies
    print(left_words(left))
    return 0 if erased.clean else BROKEN


def customer_meant(services: Services, given: str) -> str:
    with services.ledger.reading() as connection:
        known = customers(connection, the_shop(connection))
    found = [one["id"] for one in known if given == one["id"] or same(given) == same(one["name"] or "")]
    if len(found) != 1:
        several = f"{len(found)} customers have this name: {', '.join(found)}. Name one by its id."
        raise Unable(several if found else "There is no such customer. The desk lists them.")
    return str(found[0])


def delete_copies(copies: list[Copy]) -> list[Copy]:
    """Those that are left: what may hold the customer is not deleted unread."""
    sure = [copy for copy in copies if copy.sure]
    if not sure:
        return copies
    print("These backups still hold the customer:", *copy_lines(sure), sep="\n")
    if asked(f"Delete {'it' if len(sure) == 1 else f'all {len(sure)}'} for good? Type yes: ") != "yes":
        return copies
    for number, copy in enumerate(sure, 1):
        copy.path.unlink(missing_ok=True)
        spoken("backups deleted", number, len(sure))
    return [copy for copy in copies if not copy.sure]


def left_words(copies: list[Copy]) -> str:
    elsewhere = "Copies and exports that lie elsewhere hold the customer as well: look for them yourself."
    if not copies:
        return f"No backup of this shop holds the customer. {elsewhere}"
    return "\n".join(("Still in:", *copy_lines(copies), elsewhere))


def copy_lines(copies: list[Copy]) -> list[str]:
    doubt = "  (cannot be read, so it may)"
    return [f"  {copy.path}, of {copy.made_at}{'' if copy.sure else doubt}" for copy in copies]


def asked(words: str) -> str:
    """A line from the terminal, or of what is piped in."""
    print(words, end="" if sys.stdin.isatty() else "\n", flush=True)
    return sys.stdin.readline().strip()


def bring_back(given: argparse.Namespace) -> int:
    if given.only_files:
        count = restore_files(settings(), given.file, spoken)
        print(f"{count} files were missing or damaged and are back. The book itself is as it was.")
        return 0
    restored = restore(settings(), given.file, spoken)
    print(f"The book of {shown(restored.manifest.made_at)} is in its place, up to entry {restored.manifest.last_seq}.")
    if restored.before:
        print(f"What was here before is kept in {restored.before}.")
    print("Phones and desks offer again what they have as soon as they reach the shop.")
    if restored.missing:
        print(f"{len(restored.missing)} files are neither in the backup nor here. Run: standbook check")
    return BROKEN if restored.missing else 0
