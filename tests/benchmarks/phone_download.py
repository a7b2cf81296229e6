"""Everything that a phone downloads until the app is installed in it, as packed as the server sends it.

A fresh phone opens the app through a relay that counts heads and bodies. The book itself (`/api`) is left out: it
grows with the shop. KB: 1,000 bytes. The most of a few phones counts, since page and service worker race.
"""

from collections import Counter

from tests.benchmarks.figure import Figure, shown
from tests.benchmarks.ground import INSTALLED, QUIET_MS, Ground
from tests.benchmarks.relay import relay

NAME = "phone-download"
MOST = 450.0
PHONES = 3
KB = 1000


def measure(ground: Ground) -> Figure:
    with ground.serving():
        downloads = [download(ground, f"fresh-{number}") for number in range(PHONES)]
    most = max(downloads, key=lambda one: one.total())
    detail = [f"  {shown(size / KB)} KB {path}" for path, size in most.most_common()]
    return Figure(NAME, most.total() / KB, "KB", None, MOST, detail)


def download(ground: Ground, profile: str) -> Counter[str]:
    """Bytes by address on the first visit of one phone."""
    with relay(ground.server.port) as between, ground.browser(ground.folder / profile, 1) as page:
        page.goto(between.address)
        page.evaluate(INSTALLED)
        page.wait_for_timeout(QUIET_MS)
        counted = Counter(between.bytes)
    return Counter({path: size for path, size in counted.items() if not path.startswith("/api/")})
