"""The OpenAPI document: what flask-smorest finds, and the sync routes from their msgspec structs."""

from typing import Any

import msgspec
from flask import Flask
from flask_smorest import Api  # type: ignore[import-untyped]

from standbook.api import (
    access,
    blobs,
    builds,
    customers,
    devices,
    first_lead,
    held,
    joining,
    people,
    photos,
    schemas,
    session,
    shop,
    sync,
)
from standbook.api.guard import PREFIX
from standbook.ledger.wire import Pulled, Push, Pushed

KEY = "standbook_openapi"
PARTS = (sync, shop, session, first_lead, builds, held, devices, joining, access, customers, people, blobs, photos)
REFS = "#/components/schemas/{name}"
CONFIG = {
    "API_TITLE": "Standbook",
    "API_VERSION": "v1",
    "OPENAPI_VERSION": "3.1.0",
    "OPENAPI_URL_PREFIX": PREFIX,
    "OPENAPI_JSON_PATH": "openapi.json",
}


class DocumentedApi(Api):  # type: ignore[misc]
    """flask-smorest without its own error form: ours is the same on every route (`api/problems.py`)."""

    ERROR_SCHEMA = schemas.Error

    def _register_error_handlers(self) -> None:
        """Ours are registered for the whole application."""


def register(app: Flask) -> None:
    app.config.update(CONFIG)
    api = DocumentedApi(app)
    add_sync_schemas(api.spec)
    for module in PARTS:
        api.register_blueprint(module.blueprint)
    app.extensions[KEY] = api.spec


def openapi() -> dict[str, Any]:
    """The document without a database behind it."""
    app = Flask("standbook", static_folder=None)
    register(app)
    document: dict[str, Any] = app.extensions[KEY].to_dict()
    return document


def add_sync_schemas(spec: Any) -> None:
    _, components = msgspec.json.schema_components([Push, Pushed, Pulled], ref_template=REFS)
    for name, component in components.items():
        spec.components.schema(name, entries_as_texts(component) if name == "Push" else component)


def entries_as_texts(component: dict[str, Any]) -> dict[str, Any]:
    """Raw takes anything, so that each entry can be judged apart; what is wanted is the entry's text."""
    entries = component["properties"]["entries"]
    entries["items"] = {"type": "string", "description": "An entry as its device wrote it: JSON text, at most 32 KB"}
    return component
