"""What the people of the shop do: they write, look, sign in, open a second tab, walk out of reach."""

import random
import re
from typing import Any

from standbook.people.joining import LETTERS
from standbook.people.sessions import sha256
from tests.faults.machine import shop
from tests.faults.machine.people import Phone
from tests.faults.machine.world import HandedOn, Recording, World
from tests.ledger.kit import LEAD

#: The stories' clocks jump; their codes wait.
LATER = "2999-01-01T00:00:00.000Z"


def page_of(world: World, phone: Phone, luck: random.Random) -> str | None:
    """A tab of the phone to work in; opened when none is. None where it does not come up."""
    if not phone.pages:
        open_page(world, phone)
    return luck.choice(sorted(phone.pages)) if phone.pages else None


def open_page(world: World, phone: Phone) -> None:
    world.tell(opening(world, phone))


def opening(world: World, phone: Phone) -> dict[str, object]:
    phone.opened += 1
    name = f"{phone.name}{phone.opened}"
    phone.pages.add(name)
    world.story.tell(f"{name} is opened ({phone.client} client)")
    world.story.count("acts")
    command = {"do": "open", "phone": phone.name, "page": name, "client": phone.client, "mode": phone.mode}
    return {**command, "dooms": [dict(doom) for doom in world.page_dooms]}


def join(world: World, phone: Phone, luck: random.Random) -> None:
    """The lead makes a code, and the phone gives it."""
    if not world.network or not world.server.up or phone.client == "previous":
        return
    page = page_of(world, phone, luck)
    if page is None:
        return
    code = "".join(luck.choices(LETTERS, k=8))
    world.server.change((shop.CODE, (sha256(code), LATER, LEAD, LATER)))
    world.story.tell(f"{page} joins with the code {code}")
    world.story.count("acts")
    world.call(page, "join", code)
    world.carry(luck=luck)


def doom(world: World, page: str, luck: random.Random) -> None:
    """The page shall die, or its disk fail, at one of the coming writes or between two steps."""
    if luck.random() < 0.4:
        command = {"on": "task", "after": luck.randrange(0, 60), "how": "killed"}
    else:
        how = luck.choice(["before", "after", "before", "after", "full", "trouble"])
        on = luck.choice(["commit", "commit", "commit", "commit", "witness"])
        command = {"on": on, "after": luck.randrange(0, 6), "how": how}
    world.story.tell(f"fate waits for {page}: {command['how']} at a coming {command['on']} ({command['after']} on)")
    world.tell({"do": "doom", "page": page, **command})


def spare(world: World, page: str) -> None:
    world.tell({"do": "spare", "page": page})


def record(world: World, phone: Phone, luck: random.Random, count: int = 1) -> None:
    """`count` entries in one breath: the taps do not wait for each other."""
    page = page_of(world, phone, luck)
    if page is None:
        return
    commands = [record_command(world, page, phone.person, luck) for _ in range(count)]
    world.story.count("acts", count)
    world.tell(*commands)


def in_two_tabs(world: World, phone: Phone, luck: random.Random) -> None:
    """Two tabs of one phone record in the same breath: each number is taken once."""
    if len(phone.pages) < 2:
        return
    pages = luck.sample(sorted(phone.pages), 2)
    world.story.count("acts", 2)
    world.tell(*(record_command(world, page, phone.person, luck) for page in pages))


def record_command(world: World, page: str, person: str, luck: random.Random) -> dict[str, object]:
    mark = world.promises.begin()
    entry = shop.something(mark, person, luck)
    return recording(world, page, mark, entry, typed_before(world.phones[page[0]], luck))


def record_as(world: World, page: str, kind: shop.Kind, luck: random.Random, draft: str | None) -> str:
    """Records one entry of the wanted kind; gives its mark."""
    mark = world.promises.begin()
    entry = kind(mark, world.phones[page[0]].person, luck)
    world.story.count("acts")
    world.tell(recording(world, page, mark, entry, draft))
    return mark


def recording(world: World, page: str, mark: str, entry: dict[str, Any], draft: str | None) -> dict[str, object]:
    tag = world.tag()
    blobs = tuple((blob["sha256"], blob["text"]) for blob in entry.get("blobs", ()))
    world.recording[tag] = Recording(page, mark, draft, blobs)
    world.story.tell(f"{entry['person']} records {entry['kind']} {mark} on {page}")
    return {"do": "call", "page": page, "act": "record", "words": [{**entry, "draft": draft}], "tag": tag}


def take_photo(world: World, phone: Phone, luck: random.Random) -> None:
    page = page_of(world, phone, luck)
    if page is not None and phone.client != "previous":
        photo_on(world, page, luck.choice([0, 0, 0, 0, 0, 0, 0, 600_000]))


def photo_beside_a_new_tab(world: World, phone: Phone, luck: random.Random) -> None:
    """While a picture is being entered another tab begins, and takes up what was left unfinished."""
    page = page_of(world, phone, luck)
    if page is None or phone.client == "previous" or len(phone.pages) > 2:
        return
    _, command = taking_photo(world, page, 0)
    world.tell(command, opening(world, phone))
    world.carry(luck=luck)


def photo_on(world: World, page: str, room: int) -> str:
    """A picture with so many bytes of nothing in it is taken; gives its mark."""
    mark, command = taking_photo(world, page, room)
    world.tell(command)
    return mark


def taking_photo(world: World, page: str, room: int) -> tuple[str, dict[str, object]]:
    person = world.phones[page[0]].person
    mark, tag = world.promises.begin(), world.tag()
    world.recording[tag] = Recording(page, mark, None, ())
    world.story.count("acts")
    world.story.tell(f"{person} takes photo {mark} on {page}")
    words = [shop.PICTURE, where(mark, person), room]
    return mark, {"do": "call", "page": page, "act": "takePhoto", "words": words, "tag": tag}


def where(mark: str, person: str) -> dict[str, str | None]:
    """Where a photo belongs; its mark is its caption."""
    return {"build": shop.BUILDS[0], "step": None, "place": None, "caption": mark, "person": person}


def hand_on(world: World, phone: Phone, luck: random.Random) -> None:
    """What is unsent is written to a file."""
    page = page_of(world, phone, luck)
    if page is None or phone.client == "previous":
        return
    world.story.count("acts")
    told = world.answers.pop(world.call(page, "exportUnsent"), None)
    if told and told["ok"]:
        text = told["value"]["text"]
        world.files.append(HandedOn(text, frozenset(NAMES.findall(text))))
        world.story.tell(f"{page} writes {told['value']['entries']} entries to a file")


#: Marks and hashes, as they stand in a file.
NAMES = re.compile(r"\bt-\d+\b|\b[0-9a-f]{64}\b")


def take_in(world: World, phone: Phone, luck: random.Random) -> None:
    """A file of another phone, or of this one, is taken in."""
    page = page_of(world, phone, luck)
    if page is None or phone.client == "previous" or not world.files:
        return
    world.story.count("acts")
    world.story.tell(f"{page} takes in a file")
    world.call(page, "importFile", luck.choice(world.files).text)
    world.carry(luck=luck)


def deal_with_own(world: World, phone: Phone, luck: random.Random) -> None:
    """Somebody at the phone deals with what the shop keeps back."""
    page = page_of(world, phone, luck)
    if page is None or phone.client == "previous":
        return
    world.story.count("acts")
    world.story.tell(f"{phone.person} deals with what is held back on {page}")
    world.call(page, "dealWithOwn", phone.person, "written down by hand")
    world.carry(luck=luck)


def typed_before(phone: Phone, luck: random.Random) -> str | None:
    """A half-typed field that the entry makes good."""
    typed = [key for key, text in phone.drafts.items() if text is not None]
    return luck.choice(typed) if typed and luck.random() < 0.5 else None


def talk(world: World, phone: Phone, luck: random.Random) -> None:
    """Somebody taps on the strip: it talks to the shop now."""
    page = page_of(world, phone, luck)
    if page is None:
        return
    world.story.tell(f"{page} is told to talk to the shop")
    world.story.count("acts")
    world.call(page, "talk")
    world.carry(luck=luck)


def wait(world: World, phone: Phone, luck: random.Random) -> None:
    ms = luck.choice([300, 300, 2_000, 16_000, 31_000, 130_000])
    world.story.tell(f"{ms / 1000:g} seconds pass on phone {phone.name}")
    world.story.count("acts")
    world.pass_time(phone.name, ms)


def type_half(world: World, phone: Phone, luck: random.Random) -> None:
    """Half a number: a draft, saved with each key."""
    page = page_of(world, phone, luck)
    if page is None:
        return
    key, text = f"{shop.BUILDS[0]}/journals/{luck.choice(shop.PLACES)}", f"2.4{luck.randrange(100)}"
    world.story.tell(f"on {page} somebody types {text}")
    world.story.count("acts")
    tag = world.call(page, "saveDraft", key, text)
    done = world.answers.pop(tag, None)
    if done and done["ok"]:
        phone.drafts[key] = text
    else:
        phone.drafts.pop(key, None)


def sign_in(world: World, phone: Phone, luck: random.Random) -> None:
    page = page_of(world, phone, luck)
    if page is None:
        return
    world.story.tell(f"the lead signs in on {page}")
    world.story.count("acts")
    world.call(page, "signIn", shop.LEAD, shop.PASSWORD)
    world.carry(luck=luck)


def sign_out(world: World, phone: Phone, luck: random.Random) -> None:
    page = page_of(world, phone, luck)
    if page is None:
        return
    world.story.tell(f"the lead signs out on {page}")
    world.story.count("acts")
    world.call(page, "signOut")
    world.carry(luck=luck)


def second_tab(world: World, phone: Phone, luck: random.Random) -> None:
    if 0 < len(phone.pages) < 3:
        open_page(world, phone)
        world.carry(luck=luck)


def close(world: World, phone: Phone, luck: random.Random) -> None:
    """Swiped away, or the battery is empty."""
    if phone.pages:
        page = luck.choice(sorted(phone.pages))
        world.story.count("acts")
        world.tell({"do": "kill", "page": page, "why": "swiped away"})


def walk(world: World, phone: Phone, luck: random.Random) -> None:
    """Out of the shop's network, or back into it."""
    phone.in_reach = not phone.in_reach
    world.story.count("acts")
    world.story.tell(f"phone {phone.name} is {'in' if phone.in_reach else 'out of'} reach")
    if phone.in_reach:
        world.tell(*({"do": "hear", "page": page, "type": "online"} for page in sorted(phone.pages)))
