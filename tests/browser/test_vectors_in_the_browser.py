"""Every vector once more by the brain as a browser runs it: the built assets, Chromium's WebAssembly.

Node runs the same files in `tests/trade`; this is about the browser's own engine, its loader and its mathematics.
"""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright

from standbook.config import CHECKOUT
from standbook.trade import calls
from tests.browser.pocket import PHONE, Pocket
from tests.browser.server import Server
from tests.browser.shop import Shop
from tests.trade.test_vectors import ALIKE, assert_within, figures, without_figures
from tests.trade.vector_cases import Case, canonical_size, cases

CASES = cases()
IDS = [f"{case.vector} {case.calculator}" for case in CASES]
HOST = CHECKOUT / "webclient" / "src" / "brain" / "host.js"
#: Where the page finds the start script, which the build has folded into its one script.
HOST_ADDRESS = "/host-under-test.js"
START = """async ([host, loader, wasm, pack]) => {
    const [{ startHost }, { loadMicroPython }, bytes] = await Promise.all([
        import(host), import(loader), fetch(pack).then((answer) => answer.arrayBuffer())])
    window.brainUnderTest = await startHost(loadMicroPython, wasm, new Uint8Array(bytes))
}"""
Host = Callable[[str, str], str]


def asset(script: str, pattern: str) -> str:
    """The hashed address of a built file, as the service worker's list has it."""
    found = set(re.findall(rf"/?(assets/{pattern})", script))
    assert len(found) == 1, found
    return f"/{found.pop()}"


@pytest.fixture(scope="module")
def browser_brain(
    playwright: Playwright, program: str, seeded: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Host]:
    """The call of the brain inside a page."""
    server = Server(seeded).start()
    pocket = Pocket(playwright, program, tmp_path_factory.mktemp("vectors"), server.address, PHONE)
    pocket.start()
    # A new profile: its first page has no service worker yet that would answer in place of this route.
    pocket.context.route(f"**{HOST_ADDRESS}", lambda route: route.fulfill(path=HOST, content_type="text/javascript"))
    page = pocket.open()
    listed = Shop(server.address).text("/sw.js")
    patterns = (r"micropython-[\w-]+\.js", r"micropython-[\w-]+\.wasm", r"trade-[\w-]+\.pack")
    page.evaluate(START, [HOST_ADDRESS, *(asset(listed, pattern) for pattern in patterns)])
    yield lambda name, text: str(page.evaluate("([name, text]) => brainUnderTest(name, text)", [name, text]))
    pocket.close()
    server.stop()
    assert pocket.unexpected() == []


def reckon(host: Host, case: Case) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(host("reckon", case.ask()))
    assert "error" not in answer, answer
    return answer


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_the_browser_reckons_a_vector_within_its_tolerance_and_as_the_server_does(
    browser_brain: Host, case: Case
) -> None:
    here, there = reckon(calls.call, case), reckon(browser_brain, case)
    for expected in case.outputs.values():
        assert_within(there["outputs"][expected.key], expected, case)
    slack = ALIKE * canonical_size(case)
    assert figures(there["outputs"]) == pytest.approx(figures(here["outputs"]), rel=0, abs=slack)
    assert without_figures(there) == without_figures(here)


def test_the_browser_has_the_servers_own_catalogue(browser_brain: Host) -> None:
    assert json.loads(browser_brain("catalogue", "{}")) == json.loads(calls.call("catalogue", "{}"))
