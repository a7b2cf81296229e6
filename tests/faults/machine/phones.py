"""The phones' process: commands go in as one line of JSON, what happened comes out as one."""

import subprocess
from pathlib import Path
from typing import Any

import msgspec

from tests.micropython.brain import node

HOST = Path(__file__).parent.parent / "client" / "host.mjs"
Event = dict[str, Any]


class PhonesLost(Exception):
    """The phones' process is gone, or a command was no good: a fault of the machine, not of the product."""


class Phones:
    """One Node process with any number of phones in it."""

    def __init__(self) -> None:
        pipe = subprocess.PIPE
        self._process = subprocess.Popen([node(), str(HOST)], stdin=pipe, stdout=pipe, cwd=HOST.parent)
        self._reader = msgspec.json.Decoder()
        self._writer = msgspec.json.Encoder()
        self._read()

    def tell(self, *commands: Event) -> Event:
        """Has the commands carried out until nobody can go on without the world; gives what happened."""
        assert self._process.stdin
        self._process.stdin.write(self._writer.encode(commands) + b"\n")
        self._process.stdin.flush()
        return self._read()

    def _read(self) -> Event:
        assert self._process.stdout
        line = self._process.stdout.readline()
        if not line:
            raise PhonesLost(f"the process ended with {self._process.wait()}")
        told: Event = self._reader.decode(line)
        if "fault" in told:
            raise PhonesLost(told["fault"])
        return told

    def close(self) -> None:
        """Closing its input ends the process."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.close()
        self._process.wait(20)
        self._process.stdout.close()
