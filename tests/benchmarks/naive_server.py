"""The shop's own server, without the queue in which its writers wait: SQLite's busy-wait alone decides who is next.

`python tests/benchmarks/naive_server.py WORDS`, as `standbook WORDS`.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from standbook import cli
from standbook.writing import Place, Writer


@contextmanager
def nobody_waits(_writer: Writer) -> Iterator[None]:
    yield


if __name__ == "__main__":
    Writer._turn = nobody_waits  # type: ignore[method-assign]  # noqa: SLF001
    Place.wait = lambda _place: None  # type: ignore[method-assign]
    sys.exit(cli.main(sys.argv[1:]))
