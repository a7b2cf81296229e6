"""The OpenAPI document says what the server does."""

import json
import re
from typing import Any

import pytest

from standbook.api.document import openapi
from tests.ledger.kit import Book


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    return openapi()


def test_it_is_served(book: Book, document: dict[str, Any]) -> None:
    assert book.app.test_client().get("/api/v1/openapi.json").json == json.loads(json.dumps(document))


def test_it_has_every_route_of_the_api(book: Book, document: dict[str, Any]) -> None:
    routes = {
        (re.sub(r"<(?:\w+:)?([^>]+)>", r"{\1}", rule.rule), method.lower())
        for rule in book.app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/") and not rule.rule.endswith("openapi.json")
    }
    documented = {(path, method) for path, methods in document["paths"].items() for method in methods}
    assert {(path, method) for path, method in documented if method != "parameters"} == routes


def test_every_reference_leads_somewhere(document: dict[str, Any]) -> None:
    text = json.dumps(document)
    for place, name in set(re.findall(r'"#/components/(\w+)/(\w+)"', text)):
        assert name in document["components"][place], f"{place}/{name}"


def test_every_error_has_the_one_shape(document: dict[str, Any]) -> None:
    assert document["components"]["schemas"]["ErrorBody"]["required"] == ["code", "details", "message"]
    errors = document["components"]["responses"]["DEFAULT_ERROR"]
    assert errors["content"]["application/json"]["schema"]["$ref"].endswith("/Error")


def test_the_forms_of_the_sync_routes_are_those_of_the_structs(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]
    assert schemas["Push"]["required"] == ["device", "from_no", "entries"]
    assert schemas["Push"]["properties"]["entries"]["items"]["type"] == "string"
    push = document["paths"]["/api/v1/sync/push"]["post"]
    assert push["requestBody"]["content"]["application/json"]["schema"]["$ref"].endswith("/Push")
