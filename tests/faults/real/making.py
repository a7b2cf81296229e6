"""What stories stand on, made once: the page's script and the folder of a shop with its people and no entry."""

import subprocess
from pathlib import Path

from playwright.sync_api import Playwright

from bootstrap.node import get_node
from tests.faults.real.world import Ground
from tests.ledger.kit import Book, people_in

BUNDLE = Path(__file__).with_name("bundle.mjs")


def ground_in(folder: Path, playwright: Playwright, program: str) -> Ground:
    script, shop = folder / "page.js", folder / "shop"
    subprocess.run([str(get_node().node), str(BUNDLE), str(script)], check=True)
    book = Book(shop)
    people_in(book)
    book.close()
    return Ground(playwright, program, script, shop)
