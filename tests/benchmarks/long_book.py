"""A long book of one engine: the demo's own entries, then its readings again and again."""

import json
from collections.abc import Iterator
from itertools import cycle
from typing import Any

from tests.browser.shop import Entry, Shop

FOLLOWING = ("repeat", "measured_again")


def demo_build(entries: list[Entry], job: str) -> list[Entry]:
    """The demo's entries of the engine under this job number."""
    build = next(entry["build"] for entry in entries if entry["body"].get("job") == job)
    return [entry for entry in entries if entry["build"] == build]


def readings_on(shop: Shop, demo: list[Entry]) -> Iterator[Entry]:
    """Without end, the next readings of a person who measures the demo's places round after round."""
    readings = [entry for entry in demo if entry["kind"] == "reading"]
    for number, reading in enumerate(cycle(readings)):
        why = FOLLOWING[(number // len(readings)) % len(FOLLOWING)]
        place = {"step": reading["step"], "place": reading["place"], "why": why}
        body = {**reading["body"], "corrects": None}
        yield shop.entry(reading["build"], reading["person"], "reading", body, **place)


def text_of(entry: Entry) -> str:
    """As a phone writes it."""
    return json.dumps(entry, ensure_ascii=False, separators=(",", ":"))


def fed(entries: list[Entry]) -> list[dict[str, Any]]:
    """Entries as the brain takes them, in the shop's order."""
    return [{"text": json.dumps(entry), "seq": seq} for seq, entry in enumerate(entries, 1)]
