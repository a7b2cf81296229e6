"""`python3 tests`: sets up what the tests need, then runs all of them and every check.

python3 tests                      everything; pytest's summary is the last line
python3 tests tests/ledger -k gap  words go to pytest
python3 tests benchmarks [NAME ...]  the measurements, which are no tests
"""

import os
import sys

if sys.version_info < (3, 11):
    sys.exit(
        "Standbook needs Python 3.11 or newer and this is Python %d.%d: "
        "install a newer one and run this command with it, for example python3.11 tests." % sys.version_info[:2]
    )

# This folder's own packages must not hide the set-up's, which lie in `server`.
sys.path[0] = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "server")

from bootstrap.commands import tests

sys.exit(tests(sys.argv[1:]))
