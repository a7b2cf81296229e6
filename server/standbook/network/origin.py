"""The one origin of the shop: name and ports, chosen when it is first served and kept, for phones keep a book by it."""

import json
import re
from pathlib import Path
from typing import NamedTuple

FILE = "origin.json"
NAME, PORT, DOOR_PORT = "standbook.local", 8443, 8764
HOST_NAME = re.compile(r"(?=.{1,63}$)[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*")


class Origin(NamedTuple):
    name: str
    port: int
    door_port: int

    @property
    def address(self) -> str:
        return f"https://{self.name}" + ("" if self.port == 443 else f":{self.port}")


class OtherOrigin(Exception):
    """Phones keep their book under another one."""


def origin(folder: Path, wanted: dict[str, str | int | None], move: bool = False) -> Origin:
    """The kept origin; `wanted`: what the command asks for. Raises OtherOrigin where that differs, unless `move`."""
    asked = {part: value for part, value in wanted.items() if value is not None}
    known = read(folder)
    chosen = Origin(**{**(known or Origin(NAME, PORT, DOOR_PORT))._asdict(), **asked})
    if known is not None and not move and (known.name, known.port) != (chosen.name, chosen.port):
        raise OtherOrigin(known.address)
    if chosen != known:
        (folder / FILE).write_text(json.dumps(chosen._asdict(), indent=1) + "\n", encoding="utf-8")
    return chosen


def read(folder: Path) -> Origin | None:
    try:
        said = json.loads((folder / FILE).read_text(encoding="utf-8"))
        return Origin(str(said["name"]), int(said["port"]), int(said["door_port"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def host_name(text: str) -> str:
    """A name as the network has it. Raises ValueError."""
    name = text.strip().lower().rstrip(".")
    if not HOST_NAME.fullmatch(name) or re.fullmatch(r"[\d.]+", name):
        raise ValueError("a name such as standbook.local: letters, digits and hyphens, with points between its parts")
    return name
