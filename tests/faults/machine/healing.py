"""Everything is well again: the network is whole, everybody talks to the shop until nothing is new."""

from tests.faults.machine import acts, shop
from tests.faults.machine.people import Phone
from tests.faults.machine.world import World

#: Longer than the longest pause between two tries.
PAUSE_MS = 125_000
MOST_TALKS = 12


def heal(world: World) -> None:
    world.story.tell("all is well again")
    world.badness = 0.0
    mend_machines(world)
    for asked in world.stragglers:
        if world.luck.random() < 0.5:
            world.ask_server(asked, heard=False)
    world.stragglers.clear()
    for phone in world.phones.values():
        mend(world, phone)
    take_files_in(world)
    talk_until_quiet(world)


def mend_machines(world: World) -> None:
    if world.server.up:
        world.server.set_full(False)
    world.server.full = False
    world.start_server()


def mend(world: World, phone: Phone) -> None:
    """Back in reach, with room, the app up to date; a page that is open stays open."""
    phone.in_reach, phone.full = True, False
    commands = [{"do": "full", "phone": phone.name, "full": False}]
    commands += [{"do": "spare", "page": page} for page in sorted(phone.pages)]
    if phone.client == "previous":
        phone.client = "today"
        commands += [{"do": "kill", "page": page, "why": "updated at last"} for page in sorted(phone.pages)]
    world.tell(*commands)
    world.let_held_up_go()
    world.carry()
    if not phone.pages:
        acts.open_page(world, phone)
        world.carry()
    acts.join(world, phone, world.luck)


def sign_lead_in(world: World) -> None:
    """On every phone: what waits for the lead waits where it was written."""
    for phone in world.phones.values():
        for page in sorted(phone.pages):
            world.call(page, "signIn", shop.LEAD, shop.PASSWORD)
            world.carry()


def take_files_in(world: World) -> None:
    """What was written to files is taken in at the desk: a phone of it may be gone."""
    desk = next(phone for phone in world.phones.values() if phone.mode == "desk")
    for file in world.files:
        world.ask(min(desk.pages), "importFile", file.text)
    world.carry()


def talk_until_quiet(world: World) -> None:
    for phone in world.phones.values():
        world.pass_time(phone.name, PAUSE_MS)
    sign_lead_in(world)
    before = None
    for _ in range(MOST_TALKS):
        now = look(world)
        if now == before:
            return
        before = now
        talk_all(world)
    world.fail("the phones and the shop do not come to rest")


def talk_all(world: World) -> None:
    for phone in world.phones.values():
        for page in sorted(phone.pages):
            world.call(page, "talk")
            world.carry()


def look(world: World) -> object:
    """What moves while anything is still on its way."""
    shop_row = world.server.rows("SELECT epoch, last_seq, head FROM shops")
    asides = world.server.rows("SELECT (SELECT count(*) FROM held_back), (SELECT count(*) FROM conflicts)")
    strips = [world.ask(page, "strip") for page in all_pages(world)]
    return shop_row, asides, [{**strip, "lastContact": 0} for strip in strips]


def all_pages(world: World) -> list[str]:
    return [page for phone in world.phones.values() for page in sorted(phone.pages)]
