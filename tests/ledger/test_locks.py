"""The queue of writers: first come, first served, among threads and among processes."""

import subprocess
import sys
import threading
import time
from pathlib import Path

from standbook.writing import FileLock, TicketLock

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
