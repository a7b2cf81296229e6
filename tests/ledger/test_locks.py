"""The queue of writers: first come, first served, among threads and among processes."""

import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from standbook import writing
from standbook.api.bridge import PLACE
from standbook.api.limits import PUSH
from standbook.config import Settings
from standbook.writing import FileLock, Line, Place, TicketLock
from tests.ledger.kit import Book, Phone, opened, results

HOLDER = """
import sys
from pathlib import Path
from standbook.writing import FileLock
with FileLock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_threads_get_the_lock_in_the_order_of_asking() -> None:
    lock, order = TicketLock(), []

    def wait(number: int) -> None:
        with lock:
            order.append(number)

    threads = [threading.Thread(target=wait, args=(number,)) for number in range(12)]
    with lock:
        for number, thread in enumerate(threads):
            thread.start()
            while waiting(lock) <= number:
                time.sleep(0.001)
    for thread in threads:
        thread.join(10)
    assert order == list(range(12))


def waiting(lock: TicketLock) -> int:
    return len(lock._queue)  # noqa: SLF001 - only the queue itself can tell that a thread has arrived


def test_a_free_lock_is_free_again_after_use() -> None:
    lock = TicketLock()
    for _ in range(3):
        with lock:
            assert waiting(lock) == 0


def test_a_process_waits_for_another_and_is_let_in_when_that_one_is_killed(tmp_path: Path) -> None:
    path = tmp_path / "write.lock"
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout
        assert holder.stdout.readline() == "held\n"
        entered = threading.Event()

        def wait() -> None:
            with FileLock(path):
                entered.set()

        thread = threading.Thread(target=wait)
        thread.start()
        assert not entered.wait(0.3)
        holder.kill()
        assert entered.wait(10)
        thread.join(10)


@pytest.fixture
def here(template: Path, tmp_path: Path) -> Iterator[Book]:
    """On SQLite, which has one writer and a log that is folded."""
    yield from opened(template, tmp_path / "data")


def test_a_turn_that_was_taken_early_is_kept_for_the_writing_and_waited_for_by_others(here: Book) -> None:
    order: list[str] = []

    def other() -> None:
        with here.services.writer.writing():
            order.append("other")

    with here.services.writer.turn():
        waiting = threading.Thread(target=other)
        waiting.start()
        waiting.join(0.3)
        assert waiting.is_alive()
        with here.services.writer.writing():
            order.append("mine")
        order.append("still my turn")
    waiting.join(20)
    assert order == ["mine", "still my turn", "other"]


def test_a_turn_ends_with_an_error(here: Book) -> None:
    with pytest.raises(ValueError, match="broken"), here.services.writer.turn():
        raise ValueError("broken")
    others: list[str] = []
    phone = Phone(here)
    thread = threading.Thread(target=lambda: others.extend(results(phone.push(1, [phone.write()]))))
    thread.start()
    thread.join(20)
    assert others == ["stored"]


def pushed_from(book: Book, phone: Phone, number: int, place: Place) -> list[str]:
    """One entry over the API, with the place that its request took when it came."""
    body = {"device": phone.id, "from_no": number, "entries": [phone.texts[number - 1]]}
    client = book.app.test_client()
    answer = client.post(PUSH, json=body, headers={"X-Standbook": "1"}, environ_overrides={PLACE: place})
    return [one["result"] for one in answer.get_json()["answers"]]


def test_lg5_the_second_of_two_batches_waits_for_the_first_whichever_a_thread_has_in_hand_first(here: Book) -> None:
    phone, line = Phone(here), here.services.writer.line
    phone.write()
    phone.write()
    first, second = line.join(), line.join()
    told: list[str] = []
    thread = threading.Thread(target=lambda: told.extend(pushed_from(here, phone, 2, second)))
    thread.start()
    thread.join(0.3)
    assert thread.is_alive()
    assert pushed_from(here, phone, 1, first) == ["stored"]
    thread.join(20)
    assert told == ["stored"]


def test_whoever_leaves_the_line_without_a_word_holds_up_nobody() -> None:
    line = Line()
    first, second, third = (line.join() for _ in range(3))
    second.leave()
    assert first.first.is_set()
    assert not third.first.is_set()
    first.leave()
    first.leave()
    third.wait()
    third.leave()
    line.join().wait()


def test_one_is_looked_through_while_another_is_written_and_no_more_than_one(here: Book) -> None:
    writer, order = here.services.writer, []
    looked_at = threading.Event()

    def push(name: str) -> None:
        with writer.in_line():
            order.append(f"{name} is looked through")
            looked_at.set()
            with writer.writing():
                order.append(f"{name} is written")

    threads = [threading.Thread(target=push, args=(name,)) for name in ("one", "two")]
    with writer.turn():
        threads[0].start()
        assert looked_at.wait(20)
        threads[1].start()
        threads[1].join(0.3)
        order.append("mine is written")
    for thread in threads:
        thread.join(20)
    assert order[:2] == ["one is looked through", "mine is written"]
    # Which of these is first is the threads' own affair.
    assert set(order[2:4]) == {"one is written", "two is looked through"}
    assert order[4:] == ["two is written"]


def in_database_itself(settings: Settings, text: str) -> bool:
    """Whether it stands in the database's file, and not in the log alone."""
    return text.encode() in (settings.data / "standbook.db").read_bytes()


def test_a_long_log_is_folded_beside_the_writers(here: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    phone = Phone(here)
    first = phone.write()
    phone.send()
    assert not in_database_itself(here.settings, phone.id)
    monkeypatch.setattr(writing, "FOLD_AFTER", 1)
    phone.write()
    assert results(phone.send()) == ["already", "stored"]
    until = time.monotonic() + 20
    while not in_database_itself(here.settings, phone.id) and time.monotonic() < until:
        time.sleep(0.01)
    assert in_database_itself(here.settings, phone.id)
    assert here.texts()[0] == first
    assert here.ledger.check().findings == []
