"""One process of several that write into the same book: `python -m tests.faults.writer FOLDER THREADS BATCHES`."""

import sys
import threading
from pathlib import Path

from tests.ledger.kit import Book, Phone, results

IN_A_BATCH = 3


def main(folder: str, threads: str, batches: str) -> int:
    book = Book(Path(folder))
    troubles: list[str] = []
    workers = [
        threading.Thread(target=work, args=(Phone(book), int(batches), troubles), daemon=True)
        for _ in range(int(threads))
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    sys.stdout.write("\n".join(troubles))
    return 1 if troubles else 0


def work(phone: Phone, batches: int, troubles: list[str]) -> None:
    try:
        for _ in range(batches):
            push(phone, troubles)
    except Exception as error:  # noqa: BLE001 - whatever it is, the test wants to see it
        troubles.append(repr(error))


def push(phone: Phone, troubles: list[str]) -> None:
    first = len(phone.texts) + 1
    for _ in range(IN_A_BATCH):
        phone.write()
    answers = results(phone.send(from_no=first))
    if answers != ["stored"] * IN_A_BATCH:
        troubles.append(f"{phone.id} {first}: {answers}")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
