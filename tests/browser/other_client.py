"""`standbook` with another built client: what a shop has in the moment after an update.

STANDBOOK_OTHER_CLIENT=folder python -m tests.browser.other_client demo --port 20200
"""

import os
import sys
from dataclasses import replace
from pathlib import Path

from standbook import cli, cli_serve, config


def settings() -> config.Settings:
    return replace(config.settings(), web=Path(os.environ["STANDBOOK_OTHER_CLIENT"]))


if __name__ == "__main__":
    cli.settings = cli_serve.settings = settings
    sys.exit(cli.main(sys.argv[1:]))
