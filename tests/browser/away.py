"""A phone that has the app and an engine on it, and then no shop."""

from tests.browser.pocket import Pocket
from tests.browser.server import Server
from tests.browser.stand import JONAS, Stand


def loaded(phone: Pocket, job: str) -> None:
    """In reach of the shop: app, worker, gauges and the engine come onto the phone."""
    page = phone.open()
    Stand(page).take(JONAS).engine(job)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.close()


def without_the_shop(server: Server, phone: Pocket, job: str) -> Stand:
    """The engine comes onto the phone while the shop is there; then the server's process ends."""
    loaded(phone, job)
    server.stop()
    return Stand(phone.open()).engine(job)
