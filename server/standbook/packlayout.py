"""How a pack lies: the same parts of all modules side by side, each name once, since so it packs smaller on the wire.

A pack is one line of JSON, `{"format": 2, "names": N, "files": [[path, beginning, names, texts, code], ...]}`, and then
six stretches: the names that modules use, N bytes, in the order in which they are first met; the modules' texts; for
each use of a name its number, first all high bytes, then all low ones, where 0 is the next new name and n the n-th that
was met; the modules' beginnings; their code. The line tells the lengths of each module's parts in bytes, its names by
their count.

A module is bytecode as MicroPython keeps it (format 6): four bytes and two counts, names, constant texts, code.
`webclient/src/brain/host.js` puts it together again.
"""

import json
from collections.abc import Iterable
from typing import NamedTuple

FORMAT = 2
HEADER = 4
MAGIC = b"M\x06"
#: Kinds of constants: without a value; with further constants in it; with a zero byte at the end.
BARE, TUPLE, ENDED = (0, 1, 2, 3, 4), 10, (5, 6)


class Parts(NamedTuple):
    """One module taken apart: its bytes are these, one after another."""

    beginning: bytes
    names: list[bytes]
    texts: bytes
    code: bytes


def number(module: bytes, at: int) -> tuple[int, int]:
    """A number written in groups of seven bits, and where it ends."""
    value = 0
    while True:
        value = value << 7 | module[at] & 127
        at += 1
        if module[at - 1] < 128:
            return value, at


def after_name(module: bytes, at: int) -> int:
    """Where a name ends: an odd number is one that the interpreter knows, an even one twice the length of its text."""
    value, at = number(module, at)
    return at if value & 1 else at + (value >> 1) + 1


def after_constant(module: bytes, at: int) -> int:
    kind, at = module[at], at + 1
    if kind in BARE:
        return at
    count, at = number(module, at)
    if kind != TUPLE:
        return at + count + (kind in ENDED)
    for _ in range(count):
        at = after_constant(module, at)
    return at


def apart(module: bytes) -> Parts:
    """A compiled module's parts. Raises ValueError for another format of bytecode."""
    if not module.startswith(MAGIC):
        raise ValueError("this is no bytecode of format 6")
    name_count, at = number(module, HEADER)
    constants, at = number(module, at)
    beginning, names = module[:at], []
    for _ in range(name_count):
        end = after_name(module, at)
        names.append(module[at:end])
        at = end
    begun = at
    for _ in range(constants):
        at = after_constant(module, at)
    return Parts(beginning, names, module[begun:at], module[at:])


def laid_out(modules: Iterable[tuple[str, bytes]]) -> bytes:
    """The pack's bytes from (path, compiled module) pairs."""
    files = [(path, apart(module)) for path, module in modules]
    met: dict[bytes, int] = {}
    uses = []
    for name in (name for _, parts in files for name in parts.names):
        uses.append(met.get(name, 0))
        met.setdefault(name, len(met) + 1)
    names = b"".join(met)
    lengths = [[path, len(p.beginning), len(p.names), len(p.texts), len(p.code)] for path, p in files]
    head = json.dumps({"format": FORMAT, "names": len(names), "files": lengths}, separators=(",", ":"))
    return b"".join(
        [
            head.encode() + b"\n",
            names,
            *(parts.texts for _, parts in files),
            bytes(use >> 8 for use in uses),
            bytes(use & 255 for use in uses),
            *(parts.beginning for _, parts in files),
            *(parts.code for _, parts in files),
        ]
    )
