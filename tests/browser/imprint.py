"""The imprint of the brain's memory (`brain/imprint.js`), as a browser makes it a second after the brain's first start.

A browser that has been used before has one, and most stories are of such a browser: each of them would spend a good
part of its time on making its own. `test_imprint` and `test_story` are of browsers that have none.
"""

import json
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page

#: An address of the shop at which no app runs.
ASIDE = "/here.svg"
MADE = "async () => Boolean(await (await caches.open('standbook-imprint')).match('/imprint'))"
READ = """async () => {
    const kept = await (await caches.open('standbook-imprint')).match('/imprint')
    const reader = new FileReader()
    const read = new Promise((resolve) => { reader.onload = resolve })
    reader.readAsDataURL(await kept.blob())
    await read
    return { text: reader.result.split(',')[1], headers: Object.fromEntries(kept.headers) }
}"""
KEEP = """async ({ text, headers }) => {
    const letters = atob(text)
    const bytes = new Uint8Array(letters.length)
    for (let at = 0; at < letters.length; at += 1) bytes[at] = letters.charCodeAt(at)
    const cache = await caches.open('standbook-imprint')
    await cache.put('/imprint', new Response(bytes, { headers }))
}"""
#: What stands for the shop's own address, which is another one in each story.
SHOP = "{shop}"


Profiles = Callable[[str], Path]


def read_imprint(page: Page, address: str, file: Path) -> None:
    """Waits until this browser has one, and writes it to a file."""
    page.wait_for_function(MADE)
    file.write_text(json.dumps(page.evaluate(READ)).replace(address, SHOP), encoding="utf-8")


def keep_imprint(page: Page, address: str, file: Path) -> None:
    """Has this browser keep the one in a file, as if it had made it."""
    page.goto(address + ASIDE)
    page.evaluate(KEEP, json.loads(file.read_text(encoding="utf-8").replace(SHOP, address)))
