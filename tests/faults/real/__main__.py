"""`python -m tests.faults.real kills 1000 [SEED]`: so many deaths of server and page together.

`python -m tests.faults.real stories STEPS SEED …`: stories with these seeds (`1-9` for a range).
"""

import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from bootstrap.chromium import find_chromium
from tests.faults.real import kills, story
from tests.faults.real.making import ground_in
from tests.faults.real.promises import Broken
from tests.faults.real.world import Ground


def say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def deaths(ground: Ground, folder: Path, words: list[str]) -> int:
    begin = time.perf_counter()
    report = kills.run(ground, folder / "kills", int(words[1]) if words[1:] else 1, int(words[0]))
    say(f"{report.kills} kills in {time.perf_counter() - begin:.0f} s: {report}")
    return 0


def stories(ground: Ground, folder: Path, words: list[str]) -> int:
    failed = []
    total = 0
    for seed in seeds(words[1:]):
        begin = time.perf_counter()
        try:
            steps = story.play(ground, folder / str(seed), seed, int(words[0]))
            total += steps.total()
            say(f"seed {seed}: {steps.total()} steps in {time.perf_counter() - begin:.1f} s: {dict(steps)}")
        except Broken as broken:
            failed.append(seed)
            say(str(broken))
    say(f"{total} steps, failed: {failed}")
    return 1 if failed else 0


def seeds(words: list[str]) -> list[int]:
    found: list[int] = []
    for word in words:
        first, _, last = word.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def main(words: list[str]) -> int:
    program = find_chromium()
    assert program, "There is no Chromium: `python3 tests` brings one."
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        ground = ground_in(Path(name), playwright, program)
        work = {"kills": deaths, "stories": stories}[words[0]]
        return work(ground, Path(name), words[1:])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
