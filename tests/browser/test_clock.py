"""A phone whose clock is wrong (LG10)."""

from datetime import datetime

import pytest

from tests.browser.engines import JOB, fresh_v8
from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.browser.stand import JONAS, Stand

DAYS_OFF = 3
DAY_MS = 24 * 60 * 60 * 1000
#: How far the measured skew may lie beside the set one: a request's way and a busy machine.
SLACK_MS = 60_000
SHIFTED = """(() => {
    const Clock = Date
    const off = %d
    window.Date = class extends Clock {
        constructor(...given) { if (given.length) super(...given); else super(Clock.now() + off) }
        static now() { return Clock.now() + off }
    }
})()"""


def test_lg10_entries_of_a_phone_three_days_ahead_arrive_and_its_skew_is_kept(
    server: Server, shop: Shop, phone: Pocket
) -> None:
    build = fresh_v8(shop)
    phone.scripts.append(SHIFTED % (DAYS_OFF * DAY_MS))
    stand = Stand(phone.open()).take(JONAS).engine(JOB).first_journal()
    stand.read("Main journal 1, front, in line with the throw", "2.5497")
    stand.all_safe(2)
    entry = shop.of_build(build)[-1]
    assert entry["body"]["value"]["text"] == "2.5497"
    assert server.devices()[entry["device"]].skew_ms == pytest.approx(DAYS_OFF * DAY_MS, abs=SLACK_MS)
    made, received = (datetime.fromisoformat(entry[name]) for name in ("made_at", "received_at"))
    assert (made - received).total_seconds() * 1000 == pytest.approx(DAYS_OFF * DAY_MS, abs=SLACK_MS)
