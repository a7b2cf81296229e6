"""The whole shop as a Data Package (Frictionless, Data Package standard): tables as CSV with their schemas, photos and
texts as files, each engine's state as JSON, and `datapackage.json` that names them all with size and sha256.

Any program that reads the standard reads it, and so does `standbook import` (`unpacking.py`). No password is in it;
customers are.
"""

import base64
import csv
import io
import json
import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Column, Connection, Table, select

from standbook.keeping import rows
from standbook.keeping.archive import digest
from standbook.keeping.progress import Progress, told
from standbook.keeping.whole import file_fault
from standbook.ledger.blobs import BlobStore
from standbook.ledger.counter import read_counter, the_shop
from standbook.ledger.models import Blob, Photo

DESCRIPTOR = "datapackage.json"
KIND, VERSION = "standbook data package", 1
DESCRIPTION = (
    "The whole book with its photos, and the shop's people and customers: names, telephone numbers and addresses that "
    "are nobody else's to read. Erasing a customer in the shop does not reach this copy. Nothing to sign in with is "
    "in it."
)
#: Keys are not data: whoever takes the package in sets passwords anew.
SECRET = {("people", "password_hash")}
SECRET_TABLES = ("pins",)
#: Bytes are not text; an empty row of them is not a missing one.
BYTES = "base64:"
TYPES = {str: "string", int: "integer", bool: "boolean", dict: "object", bytes: "string"}


def tables() -> list[Table]:
    return [table for table in rows.tables() if table.name not in SECRET_TABLES]


def columns(table: Table) -> list[Column[Any]]:
    return [column for column in table.columns if (table.name, column.name) not in SECRET]


def cell(value: Any) -> str:
    """A value as it stands in a CSV; nothing for None."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, bytes):
        return BYTES + base64.b64encode(value).decode()
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def value_of(column: Column[Any], text: str) -> Any:
    """What a cell says. Raises ValueError. An empty cell is None where the column may be empty, else an empty text."""
    kind = rows.kind_of(column)
    if text == "" and column.nullable:
        return None
    if kind is str:
        return text
    if kind is bytes:
        return base64.b64decode(text.removeprefix(BYTES), validate=True)
    found = rows.read_json(text)
    if not rows.fits(column, found):
        raise ValueError(f"{column.name} cannot be {text[:40]}")
    return found


def schema(table: Table) -> dict[str, Any]:
    """The Table Schema of a table."""
    fields = [{"name": column.name, "type": TYPES[rows.kind_of(column)]} for column in columns(table)]
    keys = [
        {"fields": [key.parent.name], "reference": {"resource": key.column.table.name, "fields": [key.column.name]}}
        for key in sorted(table.foreign_keys, key=lambda key: str(key.parent.name))
    ]
    described = {"fields": fields, "primaryKey": [column.name for column in table.primary_key.columns]}
    return {**described, "foreignKeys": keys} if keys else described


class Packing:
    """A package on its way into an empty folder. Nothing is one before `finish` has written the descriptor."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.resources: list[dict[str, Any]] = []

    def add(self, name: str, path: str, pieces: Iterable[bytes], about: dict[str, Any]) -> None:
        target = self.folder / path
        target.parent.mkdir(mode=0o700, exist_ok=True)
        with open(target, "xb", opener=private) as file:
            file.writelines(pieces)
            file.flush()
            os.fsync(file.fileno())
        with target.open("rb") as file:
            said = {"bytes": target.stat().st_size, "hash": f"sha256:{digest(file)}"}
        self.resources.append({"name": name, "path": path, **about, **said})

    def finish(self, about: dict[str, Any]) -> None:
        said = {
            "profile": "data-package",
            "name": "standbook",
            "title": "The build book of an engine shop",
            "description": DESCRIPTION,
            "created": about["made_at"],
            "standbook": {"kind": KIND, "v": VERSION, **about},
            "resources": self.resources,
        }
        target = self.folder / DESCRIPTOR
        target.write_text(json.dumps(said, ensure_ascii=False, indent=1), encoding="utf-8")


def private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def write(
    connection: Connection,
    folder: Path,
    about: dict[str, Any],
    store: BlobStore,
    builds: list[dict[str, Any]],
    progress: Progress,
) -> dict[str, Any]:
    """Writes the package of one moment; gives what its descriptor says. `builds`: each engine as screens see it."""
    packing = Packing(folder)
    counter = read_counter(connection, the_shop(connection))
    counts = {table.name: add_table(packing, connection, table, progress) for table in tables()}
    addresses = list(connection.scalars(select(Blob.sha256).order_by(Blob.sha256)))
    photos = set(connection.scalars(select(Photo.stored_sha256)))
    kept = told(addresses, "files", len(addresses), progress)
    lacking = [address for address in kept if not add_file(packing, store, address, address in photos)]
    for number, build in enumerate(builds, 1):
        text = json.dumps(build, ensure_ascii=False, indent=1).encode()
        form = {"format": "json", "mediatype": "application/json", "encoding": "utf-8", "type": "file"}
        packing.add(f"build-{number}", f"builds/{number}.json", [text], form)
    book = {"shop": counter.shop, "last_seq": counter.last_seq, "head": counter.head}
    said = {**about, **book, "counts": counts, "lacking": lacking}
    packing.finish(said)
    return said


def add_table(packing: Packing, connection: Connection, table: Table, progress: Progress) -> int:
    count = rows.count(connection, table)
    lines = told(csv_lines(connection, table), table.name.replace("_", " "), count, progress)
    form = {
        "profile": "tabular-data-resource",
        "type": "table",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
    }
    packing.add(table.name, f"tables/{table.name}.csv", lines, {**form, "schema": schema(table)})
    return count


def csv_lines(connection: Connection, table: Table) -> Iterator[bytes]:
    """The head and the rows, as RFC 4180 has them."""
    names = [column.name for column in columns(table)]
    yield csv_line(names)
    for row in rows.mappings(connection, table):
        yield csv_line([cell(row[name]) for name in names])


def csv_line(cells: list[str]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerow(cells)
    return text.getvalue().encode()


def add_file(packing: Packing, store: BlobStore, address: str, is_photo: bool) -> bool:
    """A damaged or missing file is left out and said to be lacking."""
    if file_fault(store, address):
        return False
    ending, kind = (".jpg", "image/jpeg") if is_photo else ("", "application/octet-stream")
    about = {"type": "file", "mediatype": kind}
    packing.add(address, f"files/{address}{ending}", [store.path(address).read_bytes()], about)
    return True
