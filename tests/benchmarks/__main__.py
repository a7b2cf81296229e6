"""`python3 tests benchmarks [--all] [--detail] [NAME ...]`."""

import argparse
import sys
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import sync_playwright

from bootstrap.chromium import find_chromium
from tests.benchmarks import (
    brain_up,
    cold_offline_start,
    deaths,
    fold,
    four_phones,
    key_to_verdict,
    phone_download,
    phone_sync,
    pushes,
    stories,
    tap_to_durable,
    throughput,
    wire_bytes,
)
from tests.benchmarks.figure import Figure, tell
from tests.benchmarks.ground import Ground

Measure = Callable[[Ground], Figure]

GOALS: dict[str, Measure] = {
    module.NAME: module.measure
    for module in (phone_download, cold_offline_start, brain_up, key_to_verdict, tap_to_durable)
} | {
    fold.COLD: fold.measure_cold,
    fold.ONE_MORE: fold.measure_one_more,
    throughput.PUSH: throughput.measure_push,
    throughput.PULL: throughput.measure_pull,
    wire_bytes.PUSH: wire_bytes.measure_push,
    wire_bytes.PULL: wire_bytes.measure_pull,
    four_phones.TO_NAIVE: four_phones.measure_to_naive,
    four_phones.TO_MIDDLE: four_phones.measure_to_middle,
    phone_sync.PUSH: phone_sync.measure_push,
    phone_sync.PULL: phone_sync.measure_pull,
}
INFORM: dict[str, Measure] = {
    pushes.NAME: pushes.measure,
    stories.NAME: stories.measure,
    deaths.NAME: deaths.measure,
}


def given() -> argparse.Namespace:
    top = argparse.ArgumentParser(
        prog="python3 tests benchmarks", description="Measures, and prints one line a figure."
    )
    top.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join([*GOALS, *INFORM])}; all with a goal")
    top.add_argument("--all", action="store_true", help="also the figures that have no goal")
    top.add_argument("--detail", action="store_true", help="every repetition, on standard error")
    words = top.parse_args()
    unknown = [name for name in words.names if name not in GOALS and name not in INFORM]
    if unknown:
        top.error(f"there is no figure {', '.join(unknown)}; there are {', '.join([*GOALS, *INFORM])}")
    return words


def wanted(names: list[str], everything: bool) -> dict[str, Measure]:
    known = {**GOALS, **INFORM}
    if names:
        return {name: known[name] for name in names}
    return known if everything else GOALS


def measured(name: str, measure: Measure, ground: Ground, detail: bool) -> bool:
    """Measures and tells one figure; what keeps it from being measured is told and stops no other one."""
    try:
        tell(measure(ground), detail)
    except Exception:  # noqa: BLE001 — whatever it is, the other figures are still to be had
        print(f"{name}: could not be measured", file=sys.stderr)
        traceback.print_exc()
        return False
    return True


def main() -> int:
    """0 when all could be measured, whether their goals hold or not."""
    words = given()
    program = find_chromium()
    if program is None:
        print("There is no Chromium to measure in: python3 tests benchmarks finds or brings one.", file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory(prefix="standbook-") as folder, sync_playwright() as playwright:
        ground = Ground(playwright, program, Path(folder))
        measures = wanted(words.names, words.all)
        done = [measured(name, measure, ground, words.detail) for name, measure in measures.items()]
    return 0 if all(done) else 1


if __name__ == "__main__":
    sys.exit(main())
