"""Twelve writers at once, in three processes: no error, no loss, no gap."""

import json
import subprocess
import sys

from bootstrap.paths import ROOT
from tests.faults.writer import IN_A_BATCH
from tests.ledger.kit import Book

PROCESSES, THREADS, BATCHES = 3, 4, 25


def test_lg3_lg5_lg8_twelve_writers_at_once_lose_nothing_and_leave_no_gap(book: Book) -> None:
    command = [sys.executable, "-m", "tests.faults.writer", str(book.settings.data), str(THREADS), str(BATCHES)]
    running = [
        subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        for _ in range(PROCESSES)
    ]
    told = [process.communicate(timeout=120)[0] for process in running]
    assert [(process.returncode, words) for process, words in zip(running, told, strict=True)] == [(0, "")] * PROCESSES
    entries = [json.loads(text) for text in book.texts()]
    assert len({entry["id"] for entry in entries}) == len(entries) == PROCESSES * THREADS * BATCHES * IN_A_BATCH
    numbers: dict[str, list[int]] = {}
    for entry in entries:
        numbers.setdefault(entry["device"], []).append(entry["device_no"])
    assert list(numbers.values()) == [list(range(1, BATCHES * IN_A_BATCH + 1))] * PROCESSES * THREADS
    assert book.ledger.check().findings == []
