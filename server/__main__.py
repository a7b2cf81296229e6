"""`python3 server WORDS`: sets the checkout up where it is not, then runs `standbook WORDS`.

This file and `tests/__main__.py` are kept readable to any Python, so that an old one says what it lacks
instead of showing a syntax error.
"""

import sys

if sys.version_info < (3, 11):
    sys.exit(
        "Standbook needs Python 3.11 or newer and this is Python %d.%d: "
        "install a newer one and run this command with it, for example python3.11 server demo." % sys.version_info[:2]
    )

from bootstrap.commands import server

sys.exit(server(sys.argv[1:]))
