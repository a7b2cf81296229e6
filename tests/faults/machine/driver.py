"""A story by its seed: phones, weather and what happens are all drawn from one number."""

import random
from collections.abc import Callable
from pathlib import Path

from tests.faults.machine import acts, disasters
from tests.faults.machine.checks import check
from tests.faults.machine.healing import heal
from tests.faults.machine.people import Phone
from tests.faults.machine.phones import Phones
from tests.faults.machine.shop import BUILDER, LEAD
from tests.faults.machine.story import Story
from tests.faults.machine.world import World

Act = Callable[[World, Phone, random.Random], None]

#: What happens how often.
ACTS: list[tuple[Act, float]] = [
    (acts.record, 30),
    (acts.in_two_tabs, 4),
    (acts.take_photo, 4),
    (acts.photo_beside_a_new_tab, 1),
    (acts.hand_on, 1.5),
    (acts.take_in, 1.5),
    (acts.deal_with_own, 1.5),
    (acts.wait, 14),
    (acts.talk, 10),
    (acts.type_half, 4),
    (acts.sign_in, 3),
    (acts.sign_out, 1),
    (acts.join, 4),
    (acts.second_tab, 3),
    (acts.close, 3),
    (acts.walk, 4),
    (disasters.server_stops, 2),
    (disasters.server_disk, 1.5),
    (disasters.phone_disk, 1.5),
    (disasters.storage_closes, 1),
    (disasters.phone_clock, 1.5),
    (disasters.server_clock, 1),
    (disasters.backup, 2),
    (disasters.restore, 1.5),
    (disasters.straggler, 4),
    (disasters.held_up_go, 4),
    (disasters.client_changes, 1),
    (disasters.server_changes, 0.7),
    (disasters.forget_cookies, 1),
    (disasters.cut_off, 0.5),
    (disasters.clone, 0.4),
    (disasters.remember, 1),
    (disasters.set_back, 0.7),
    (disasters.evict, 0.7),
    (disasters.fire, 1.5),
]
NAMES = [act for act, _ in ACTS]
PARTS = [part for _, part in ACTS]


def on_the_network(seed: int) -> bool:
    """Every other story is of a shop that lets in only whom it knows."""
    return seed % 2 == 0


def people(world: World, luck: random.Random) -> None:
    """Two or three phones of builders, one of them perhaps with yesterday's client, and the desk."""
    for name in "ABC"[: luck.choice([2, 2, 3])]:
        client = "previous" if luck.random() < 0.25 else "today"
        add_phone(world, Phone(name, BUILDER, client=client, packs=luck.random() < 0.3), luck)
    add_phone(world, Phone("D", LEAD, mode="desk"), luck)


def add_phone(world: World, phone: Phone, luck: random.Random) -> None:
    world.phones[phone.name] = phone
    world.tell({"do": "phone", "phone": phone.name, "seed": luck.randrange(2**32), "packs": phone.packs})
    if world.network and luck.random() < 0.8:
        acts.join(world, phone, luck)


def happen(world: World, act: Act, phone: Phone, luck: random.Random, deadly: float = 0.12) -> None:
    """One act, and with it perhaps the death of the page that it happens on."""
    doomed = None
    if phone.pages and luck.random() < deadly:
        doomed = luck.choice(sorted(phone.pages))
        acts.doom(world, doomed, luck)
    if act is acts.record and luck.random() < 0.1:
        acts.record(world, phone, luck, luck.choice([2, 3, 5, 40]))
    else:
        act(world, phone, luck)
    if doomed:
        acts.spare(world, doomed)


def play(node: Phones, template: Path, folder: Path, seed: int, most: int = 120) -> Story:
    """One story to its end, healed and checked. Raises Fault with the story when a promise is broken."""
    world = World(node, template, folder, seed, on_the_network(seed))
    try:
        luck = world.luck
        people(world, luck)
        for _ in range(luck.randrange(most // 3, most)):
            world.badness = luck.choice([0, 0.05, 0.2, 0.5]) if luck.random() < 0.1 else world.badness
            happen(world, luck.choices(NAMES, PARTS)[0], world.phones[luck.choice(sorted(world.phones))], luck)
        heal(world)
        check(world)
        return world.story
    finally:
        world.end()
