"""The client's types of the wire say what the server's OpenAPI document says."""

import re
from pathlib import Path
from typing import Any

import pytest

from standbook.api.document import openapi

WIRE = Path(__file__).parents[2] / "webclient" / "src" / "sync" / "wire.ts"
SCHEMAS: dict[str, Any] = openapi()["components"]["schemas"]
SCALARS = {"string": "string", "integer": "number", "number": "number", "boolean": "boolean", "null": "null"}
SYNCED = ["Push", "Replaced", "Proof", "DealtWith", "Pushed", "Answer", "Mine", "Pulled", "PulledEntry", "Columns"]
NAMES = [*SYNCED, "Person", "ShopPerson", "Pin", "Seal", "Session"]


def source() -> str:
    """The client's file without its comments."""
    return re.sub(r"/\*\*.*?\*/", "", WIRE.read_text("utf-8"), flags=re.DOTALL)


def client_fields(name: str) -> dict[str, str]:
    """An interface's fields and their types, aliases written out."""
    body = re.search(rf"export interface {name} \{{(.*?)\n\}}", source(), re.DOTALL)
    assert body, f"the client has no {name}"
    fields = re.findall(r"^\s+(\w+)\??: (.+)$", body[1], re.MULTILINE)
    return {field: union(aliases().get(kind, kind)) for field, kind in fields}


def aliases() -> dict[str, str]:
    return dict(re.findall(r"^export type (\w+) = (.+)$", source(), re.MULTILINE))


def union(kind: str) -> str:
    """A type with its alternatives in the order of the alphabet."""
    return " | ".join(sorted(kind.split(" | ")))


def server_fields(name: str) -> dict[str, str]:
    return {field: union(typescript(schema)) for field, schema in SCHEMAS[name]["properties"].items()}


def typescript(schema: dict[str, Any]) -> str:
    """A JSON schema as TypeScript writes it."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "anyOf" in schema:
        return " | ".join(typescript(one) for one in schema["anyOf"])
    if "enum" in schema:
        return " | ".join(f"'{value}'" for value in schema["enum"])
    if schema["type"] == "array":
        item = typescript(schema["items"])
        return f"({item})[]" if " | " in item and "(" not in item else f"{item}[]"
    return SCALARS[schema["type"]]


def without_null(fields: dict[str, str]) -> dict[str, str]:
    """`null` is how the client reads a field that need not be there."""
    return {field: kind.replace(" | null", "").replace("null | ", "") for field, kind in fields.items()}


@pytest.mark.parametrize("name", NAMES)
def test_the_client_knows_every_field_of_the_wire_by_its_type(name: str) -> None:
    assert without_null(client_fields(name)) == without_null(server_fields(name))


@pytest.mark.parametrize("name", NAMES)
def test_what_the_server_may_leave_empty_is_so_for_the_client_too(name: str) -> None:
    client, server = client_fields(name), server_fields(name)
    assert {field for field in server if "null" in server[field]} <= {
        field for field in client if "null" in client[field]
    }
