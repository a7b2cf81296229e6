"""Settings and fixtures that every test shares."""

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from tests.ledger.postgres import Postgres

# The same examples on every machine and day: a failure found elsewhere is found here too. Seeds that failed
# are kept as tests of their own. No deadline: a busy machine is no fault of the code.
settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("repeatable")


@pytest.fixture(scope="session")
def postgres() -> Iterator["Postgres"]:
    """One PostgreSQL for all tests of a run, started when the first of them asks for it."""
    from tests.ledger.postgres import Postgres

    with tempfile.TemporaryDirectory(prefix="pg") as folder:
        running = Postgres(Path(folder))
        yield running
        running.close()
