"""The invented shop of the demo, its engines and what was measured on them so far.

Nothing here is a value to check against: shop, people, engines and readings are made up.
"""

from sqlalchemy import Connection

from seed_demo import eight, four, shop, six, twin, v8
from seed_demo.player import Player
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.service import Ledger
from standbook.ledger.shops import open_shop, shop_name
from standbook.people import pins
from standbook.people.instruments import add_as_given
from standbook.people.roster import take_on
from standbook.writing import Writer


def seed(ledger: Ledger, writer: Writer) -> None:
    """Opens the demo shop in an empty book and plays its engines in, through the ledger like any device."""
    with writer.writing() as connection:
        shop_id = open_shop(connection, shop.NAME)
        people = {name: take_on(connection, shop_id, name, role, password) for name, role, password in shop.PEOPLE}
        calibrated = shop.calibrations()
        gauges = [{**gauge, "calibrated_on": calibrated.get(gauge["id"])} for gauge in shop.instruments()]
        add_as_given(connection, shop_id, gauges)
    player = Player(ledger, people)
    for engine in (v8, six, four, twin, eight):
        player.play(engine.BUILD)
    give_pins(writer, people)


def give_pins(writer: Writer, people: dict[str, str]) -> None:
    """Last of all: what is in the book by then was signed before anybody had one."""
    hashed = {people[name]: pins.hashed(pin) for name, pin in shop.PINS.items()}
    with writer.writing() as connection:
        at = read_counter(connection, the_shop(connection))
        for person, pin in hashed.items():
            pins.give(connection, person, pin, people[shop.LEAD[0]], at.last_seq)


def sign_in_words(connection: Connection) -> str:
    """How the lead of the demo signs in, and everybody's PIN; of another shop's book it gives nothing away."""
    if shop_name(connection, the_shop(connection)) != shop.NAME:
        return "sign in there with your password"
    name, _, password = shop.LEAD
    said = ", ".join(f"{who} {pin}" for who, pin in shop.PINS.items())
    return f"sign in as {name}, password {password}; PINs: {said}"
