"""A phone without room: said by name, nothing lost, and saved once there is room again."""

from playwright.sync_api import CDPSession, expect

from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, JOURNALS, Stand

NO_ROOM = "This device has no room left."
WHAT_TO_DO = "Free some space, then record again."


class Room:
    """How many bytes the app's origin may keep on a phone, as long as this browser process runs."""

    def __init__(self, phone: Pocket) -> None:
        self.origin = phone.address
        self.browser: CDPSession = phone.context.new_cdp_session(phone.context.pages[0])

    def none_left(self) -> None:
        self.browser.send("Storage.overrideQuotaForOrigin", {"origin": self.origin, "quotaSize": 1})

    def as_before(self) -> None:
        self.browser.send("Storage.overrideQuotaForOrigin", {"origin": self.origin})


def test_a_full_phone_says_so_keeps_the_digits_and_saves_them_when_there_is_room(shop: Shop, phone: Pocket) -> None:
    fresh_v8(shop)
    at_work(phone)
    phone.start()
    room = Room(phone)  # before the app's first write: Chromium counts on room that it saw for half a minute
    room.none_left()
    stand = Stand(phone.show()).engine(JOB).step(JOURNALS).at("Main journal 1, front, across the throw")
    stand.press("2.5498")
    expect(stand.trouble).to_contain_text(NO_ROOM)
    stand.next().done()
    expect(stand.trouble).to_contain_text(WHAT_TO_DO)
    expect(stand.box).to_have_value("2.5498")
    stand.at("Main journal 1, front, across the throw")

    room.as_before()
    stand.next()
    expect(stand.kept).to_contain_text("2.5498")
    expect(stand.trouble).to_be_hidden()
    stand.all_safe(3)
    sizes = [entry["body"]["value"]["text"] for entry in shop.entries() if entry["place"] == "MJ1.F.90"]
    assert sizes[-1] == "2.5498"


def at_work(phone: Pocket) -> None:
    """Person, gauge and a first size are on the phone; then its browser is closed."""
    stand = Stand(phone.open()).take(JONAS).engine(JOB).first_journal()
    stand.read("Main journal 1, front, in line with the throw", "2.5497").all_safe(2)
    phone.close()
