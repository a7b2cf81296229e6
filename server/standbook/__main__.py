"""`python -m standbook WORDS`."""

import sys

from standbook.cli import main

sys.exit(main())
