"""What the world does: disks fill, clocks jump, servers die, books are restored, phones are cloned and cleared."""

import json
import random

from tests.faults.machine import shop
from tests.faults.machine.copies import destroying
from tests.faults.machine.people import Phone
from tests.faults.machine.promises import Promise
from tests.faults.machine.world import World
from tests.ledger.kit import LEAD

DAY = 24 * 3600 * 1000
#: A phone's name is one letter.
NAMES = "ABCDEFGHIJ"


def server_stops(world: World, phone: Phone, luck: random.Random) -> None:
    world.story.count("acts")
    if world.server.up:
        world.kill_server("its machine is switched off")
    else:
        world.start_server()


def server_disk(world: World, phone: Phone, luck: random.Random) -> None:
    if world.server.up:
        world.server.set_full(not world.server.full)
        world.story.count("disks and clocks")
        world.story.tell(f"the server's disk {'is full' if world.server.full else 'has room again'}")


def phone_disk(world: World, phone: Phone, luck: random.Random) -> None:
    phone.full = not phone.full
    world.story.count("disks and clocks")
    world.story.tell(f"phone {phone.name} {'has no room left' if phone.full else 'has room again'}")
    world.tell({"do": "full", "phone": phone.name, "full": phone.full})


def storage_closes(world: World, phone: Phone, luck: random.Random) -> None:
    """The browser closes the book's storage unasked; the pages go on."""
    world.story.count("disks and clocks")
    world.story.tell(f"phone {phone.name}'s browser closes the storage unasked")
    world.tell({"do": "close_storage", "phone": phone.name})


def phone_clock(world: World, phone: Phone, luck: random.Random) -> None:
    skew = luck.choice([-400, -30, -1, 0, 1, 3, 365]) * DAY + luck.randrange(1000)
    world.story.count("disks and clocks")
    world.story.tell(f"phone {phone.name}'s clock is set {skew / DAY:+.0f} days off")
    world.tell({"do": "skew", "phone": phone.name, "ms": skew})


def server_clock(world: World, phone: Phone, luck: random.Random) -> None:
    world.server_skew += luck.choice([-2, -1, 1, 2, 8]) * DAY
    world.story.count("disks and clocks")
    world.story.tell(f"the server's clock is set {world.server_skew / DAY:+.0f} days off")


def backup(world: World, phone: Phone, luck: random.Random) -> None:
    to = world.folder / f"backup{len(world.backups)}.standbook.tar"
    world.server.backup(to)
    world.backups.append(to)
    world.story.count("acts")
    world.story.tell(f"a backup is made (number {len(world.backups)})")


def restore(world: World, phone: Phone, luck: random.Random) -> None:
    """Yesterday's book takes the place of today's."""
    if not world.backups:
        return
    number = luck.randrange(len(world.backups))
    world.story.count("acts")
    anew = luck.random() < 0.5
    with destroying(world, f"backup {number + 1} was restored"):
        world.server.restore(world.backups[number], anew)
    world.story.tell(f"backup {number + 1} is restored{' on a new machine' if anew else ''}")
    world.start_server()


def forget_cookies(world: World, phone: Phone, luck: random.Random) -> None:
    """The browser keeps the book and lets go of who it was to the shop."""
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} has lost its cookies")
    phone.cookies.clear()


def cut_off(world: World, phone: Phone, luck: random.Random) -> None:
    """The lead takes the phone for lost."""
    if not world.network or not world.server.up:
        return
    device = identity_on(world, phone)
    if device:
        world.story.count("acts")
        world.story.tell(f"phone {phone.name} is cut off")
        world.server.change((shop.CUT_OFF, ("2026-11-25T00:00:00.000Z", LEAD, device)), (shop.LET_GO, (device,)))


def straggler(world: World, phone: Phone, luck: random.Random) -> None:
    """An old request arrives at last; nobody waits for its reply."""
    if world.stragglers:
        asked = world.stragglers.pop(luck.randrange(len(world.stragglers)))
        world.story.count("fates of requests")
        world.story.tell(f"{asked.words}, sent long ago, arrives at the server")
        world.ask_server(asked, heard=False)


def held_up_go(world: World, phone: Phone, luck: random.Random) -> None:
    if world.held_up:
        world.story.count("acts")
        world.story.tell("what was held up in the network goes on")
        world.let_held_up_go()
        world.carry(luck=luck)


def client_changes(world: World, phone: Phone, luck: random.Random) -> None:
    """The app is updated, to today's client or to one that writes more than anybody knows today."""
    wish = "newer" if phone.client == "today" and luck.random() < 0.5 else "today"
    if phone.client == wish:
        return
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} gets the {wish} client")
    phone.client = wish
    world.tell(*({"do": "kill", "page": page, "why": "reloaded for the update"} for page in sorted(phone.pages)))


def server_changes(world: World, phone: Phone, luck: random.Random) -> None:
    """The server becomes one of tomorrow, which says more than anybody knows today, or today's again (LG12)."""
    world.talkative = not world.talkative
    world.story.count("acts")
    world.story.tell(f"the server is {'a newer one' if world.talkative else 'of today again'}")


def clone(world: World, phone: Phone, luck: random.Random) -> None:
    """Its storage, as it stands, is on another phone too."""
    name = next((letter for letter in NAMES if letter not in world.phones), None)
    if name is None:
        return
    twin = Phone(name, phone.person, phone.mode, phone.client, phone.packs, cookies=dict(phone.cookies))
    world.phones[name] = twin
    world.twins = True
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} is cloned: {name} is its twin")
    world.tell(
        {"do": "phone", "phone": name, "seed": luck.randrange(2**32)},
        {"do": "save", "phone": phone.name, "as": f"twin {name}"},
        {"do": "load", "phone": name, "from": f"twin {name}"},
    )


def remember(world: World, phone: Phone, luck: random.Random) -> None:
    """The phone's own backup, as it stands."""
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} is backed up")
    world.tell({"do": "save", "phone": phone.name, "as": f"backup of {phone.name}"})
    phone.saved = dict(phone.drafts)


def set_back(world: World, phone: Phone, luck: random.Random) -> None:
    """The phone's own backup takes the place of its storage."""
    if phone.saved is None:
        return
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} is set back to its backup")
    with destroying(world, f"phone {phone.name} was set back"):
        world.tell({"do": "load", "phone": phone.name, "from": f"backup of {phone.name}"})
    phone.cleared_as = None
    phone.drafts = dict(phone.saved)


def fire(world: World, phone: Phone, luck: random.Random) -> None:
    """The server's machine and one phone are gone at once: what others have pulled is all there is."""
    if world.backups:
        evict(world, phone, luck)
        restore(world, phone, luck)


def evict(world: World, phone: Phone, luck: random.Random) -> None:
    """The browser clears the book; what else it keeps for the site it leaves, or clears as well."""
    witness = luck.random() < 0.7
    world.story.count("acts")
    world.story.tell(f"phone {phone.name}'s storage is cleared{'' if witness else ', all of it'}")
    clear(world, phone, witness)


def clear(world: World, phone: Phone, witness: bool) -> None:
    """`witness`: what it keeps beside the book stays, and then it knows what it was."""
    spoken_as = {device_of(promise) for promise in world.promises.saved() if spoke(phone, promise)}
    before = identity_on(world, phone)
    with destroying(world, f"phone {phone.name} was cleared"):
        world.tell({"do": "evict", "phone": phone.name, "witness": witness})
    phone.drafts.clear()
    phone.cleared_unheard = None
    if not witness:
        phone.cleared_as = None
    elif before in spoken_as:
        phone.cleared_as = before
    else:
        # Its first entry may be on the disk and in the witness, and nobody has heard of it before the storage went.
        phone.cleared_unheard = before


def spoke(phone: Phone, promise: Promise) -> bool:
    """This phone called the entry saved, with a client that keeps a witness."""
    return promise.page is not None and promise.page[0] == phone.name and promise.client != "previous"


def device_of(promise: Promise) -> str | None:
    return json.loads(promise.text)["device"] if promise.text else None


def identity_on(world: World, phone: Phone) -> str | None:
    tag = world.tag()
    world.tell({"do": "rows", "phone": phone.name, "table": "device", "tag": tag})
    rows = {row["key"]: row["value"] for row in world.answers.pop(tag)["rows"]}
    return rows.get("identity", {}).get("device")
