"""Settings and fixtures that every test shares."""

import gc
import itertools
import tempfile
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from cryptography.hazmat.primitives.serialization import load_pem_private_key
from hypothesis import settings

from tests.cheap import CHEAP, collect_seldom, compile_statements_once

if TYPE_CHECKING:
    from tests.ledger.postgres import Postgres

# The same examples on every machine and day: a failure found elsewhere is found here too. Seeds that failed
# are kept as tests of their own. No deadline: a busy machine is no fault of the code.
settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("repeatable")
compile_statements_once()


@pytest.fixture(scope="session", autouse=True)
def keys_taken_as_they_are() -> Iterator[None]:
    """Every key here was made a moment ago: nobody has to prove its numbers at each start of a server."""
    loaded = partial(load_pem_private_key, password=None, unsafe_skip_rsa_key_validation=True)
    with pytest.MonkeyPatch.context() as quick:
        quick.setattr("standbook.network.seal.loaded", loaded)
        yield


@pytest.fixture(scope="session", autouse=True)
def passwords_hashed_at_little_cost() -> Iterator[None]:
    """Tests sign in a thousand times, and how strong the hash is, is a matter of one of them (test_passwords)."""
    with pytest.MonkeyPatch.context() as cheap:
        cheap.setattr("standbook.people.passwords._hasher", CHEAP)
        yield


#: Where single tests take minutes: they begin first, so that no core is left alone with one of them at the end.
LONG_FIRST = ("tests/faults/test_crash_points.py", "tests/faults/machine/", "tests/faults/", "tests/browser/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    def place(item: pytest.Item) -> int:
        long = [at for at, path in enumerate(LONG_FIRST) if item.nodeid.startswith(path)]
        return min(long, default=len(LONG_FIRST))

    items.sort(key=place)


#: Tests between two looks at everything.
TESTS_BETWEEN = 200


def pytest_collection_finish() -> None:
    collect_seldom()


def pytest_runtest_logfinish() -> None:
    if next(_ended) % TESTS_BETWEEN == 0:
        gc.collect()


_ended = itertools.count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator["Postgres"]:
    """One PostgreSQL for all tests of a run, started when the first of them asks for it."""
    from tests.ledger.postgres import Postgres

    with tempfile.TemporaryDirectory(prefix="pg") as folder:
        running = Postgres(Path(folder))
        yield running
        running.close()
