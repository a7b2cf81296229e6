"""Reads the sources for writes, so that the list of crash points can be held against them."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from bootstrap.paths import CLIENT as CLIENT_FOLDER
from bootstrap.paths import ROOT

SERVER = ROOT / "server" / "standbook"
#: Packages whose code runs while the server serves. What only a command line does is tested where it lives.
SERVING = ("api", "ledger", "people")
FUNCTION = re.compile(r"^(?:export )?(?:async )?function\*? (\w+)")
#: What is written to a packer's stream (`writer.write`) comes out packed and lies nowhere.
WRITE = re.compile(r"(?<!\bwriter\.)\bwrite\(|deleteDatabase\(")
TEXT = re.compile(r"Storage\??\.(?:setItem|removeItem|clear)\(")
#: Screens keep nothing of the book: only these lie over the storage.
PARTS = ("store", "sync", "app")


def client_writes() -> set[str]:
    """Functions that ask for a transaction that writes; the upgrade is one of its own."""
    return found_in_client(WRITE) | {"store/schema.upgrade"}


def client_texts() -> set[str]:
    """Functions that write a text beside the database."""
    return found_in_client(TEXT)


def found_in_client(pattern: re.Pattern[str]) -> set[str]:
    files = [file for part in PARTS for file in (CLIENT_FOLDER / "src" / part).rglob("*.ts")]
    return {point for file in files if ".test." not in file.name for point in functions_with(pattern, file)}


def functions_with(pattern: re.Pattern[str], file: Path) -> Iterator[str]:
    module = file.relative_to(CLIENT_FOLDER / "src").with_suffix("").as_posix()
    if module == "store/connection":
        return
    name = "?"
    for line in file.read_text("utf-8").splitlines():
        begins = FUNCTION.match(line)
        name = begins[1] if begins else name
        if pattern.search(line) and not line.lstrip().startswith(("*", "//", "import")):
            yield f"{module}.{name}"


def server_functions() -> Iterator[tuple[str, ast.AST]]:
    for part in SERVING:
        for file in sorted((SERVER / part).rglob("*.py")):
            module = ".".join(file.relative_to(SERVER).with_suffix("").parts)
            for node in ast.walk(ast.parse(file.read_text("utf-8"))):
                if isinstance(node, ast.FunctionDef):
                    yield f"{module}.{node.name}", node


def calls(function: ast.AST) -> Iterator[ast.Call]:
    for node in ast.walk(function):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield node


def commits() -> set[str]:
    """Functions that open a write transaction."""
    return {name for name, node in server_functions() for call in calls(node) if attribute(call) == "writing"}


def attribute(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else ""


def file_changes() -> set[str]:
    """Functions that change a file, with what becomes of it, in the words of `machine/files.py`."""
    found = ((name, change_by(call)) for name, node in server_functions() for call in calls(node))
    return {f"{name}: {change}" for name, change in found if change}


CHANGES = {
    "mkdir": "folder made",
    "rename": "named",
    "unlink": "removed",
    "remove": "removed",
    "rmtree": "removed",
    "rmdir": "removed",
    "truncate": "cut short",
    "write_bytes": "opened",
    "write_text": "opened",
    "touch": "opened",
}


def change_by(call: ast.Call) -> str | None:
    name = attribute(call)
    if name == "replace":
        # A path's takes one word, a text's two.
        return "named" if len(call.args) == 1 and not call.keywords else None
    if name == "open":
        modes = [word.value for word in call.args if isinstance(word, ast.Constant) and isinstance(word.value, str)]
        return "opened" if any(set(mode) & set("wxa+") for mode in modes) else None
    return CHANGES.get(name)
