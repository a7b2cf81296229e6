"""`python -m tests.faults.machine SEED …`: tells the stories with these seeds (`1-50` for a range).

The end of each line says what it took; a broken promise is told with its whole story.
"""

import gc
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.cheap import collect_seldom, compile_statements_once
from tests.faults.machine.driver import play
from tests.faults.machine.memory import memory
from tests.faults.machine.phones import Phones
from tests.faults.machine.shop import shop_folder
from tests.faults.machine.story import Fault

#: Stories between two looks for garbage.
STORIES_BETWEEN = 10


def seeds(words: list[str]) -> list[int]:
    found: list[int] = []
    for word in words:
        first, _, last = word.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def main(words: list[str]) -> int:
    loud = "-v" in words
    total: Counter[str] = Counter()
    failed: list[int] = []
    begin = time.perf_counter()
    compile_statements_once()
    collect_seldom()
    with tempfile.TemporaryDirectory(dir=memory()) as name:
        template = shop_folder(Path(name) / "template")
        node = Phones()
        for told, seed in enumerate(seeds([word for word in words if word != "-v"]), 1):
            if told % STORIES_BETWEEN == 0:
                gc.collect()
            try:
                story = play(node, template, Path(name) / "story", seed)
            except Fault as fault:
                failed.append(seed)
                say(f"seed {seed}:\n{fault}" if loud else f"seed {seed}: {fault.words[:300]}")
                continue
            total.update(story.steps)
            if loud:
                say(story.text())
        node.close()
    say(f"{total.total()} steps in {time.perf_counter() - begin:.1f} s: {dict(total)}; failed: {failed}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
