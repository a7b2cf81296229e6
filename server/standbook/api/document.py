"""The OpenAPI document: what flask-smorest finds, and the sync routes from their msgspec structs."""

import json
import threading
from typing import Any

import msgspec
from flask import Flask, Response
from flask_smorest import Api  # type: ignore[import-untyped]

from standbook.api import (
    access,
    blobs,
    builds,
    customers,
    devices,
    first_lead,
    held,
    instruments,
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

PARTS = (
    sync,
    shop,
    session,
    first_lead,
    builds,
    held,
    devices,
    joining,
    access,
    customers,
    people,
    instruments,
    blobs,
    photos,
)
REFS = "#/components/schemas/{name}"
CONFIG = {
    "API_TITLE": "Standbook",
    "API_VERSION": "v1",
    "OPENAPI_VERSION": "3.1.0",
    "OPENAPI_URL_PREFIX": PREFIX,
    "OPENAPI_JSON_PATH": "openapi.json",
}


class DocumentedApi(Api):  # type: ignore[misc]
    """flask-smorest without its own error form: ours is the same on every route (`api/problems.py`). The document is
    written when it is first asked for: most servers start and stop without anybody reading it."""

    ERROR_SCHEMA = schemas.Error

    def __init__(self, app: Flask) -> None:
        self._unwritten: list[Any] = []
        self._writing = threading.Lock()
        super().__init__(app)

    def _register_error_handlers(self) -> None:
        """Ours are registered for the whole application."""

    def _register_responses(self) -> None:
        """Written with the document, and of the application's start more than the rest of it."""

    def register_blueprint(self, blp: Any) -> None:
        self._app.extensions["flask-smorest"]["blp_name_to_api"][blp.name] = self
        self._app.register_blueprint(blp)
        self._unwritten.append(blp)

    def document(self) -> dict[str, Any]:
        with self._writing:
            if self._unwritten:
                super()._register_responses()
                add_sync_schemas(self.spec)
            for blp in self._unwritten:
                blp.register_views_in_doc(self, self._app, self.spec, name=blp.name, parameters=None)
                self.spec.tag({"name": blp.name, "description": blp.description})
            self._unwritten.clear()
            written: dict[str, Any] = self.spec.to_dict()
        return written

    def _openapi_json(self) -> Response:
        return Response(json.dumps(self.document(), indent=2), mimetype="application/json")


def register(app: Flask) -> DocumentedApi:
    app.config.update(CONFIG)
    api = DocumentedApi(app)
    for module in PARTS:
        api.register_blueprint(module.blueprint)
    return api


def openapi() -> dict[str, Any]:
    """The document without a database behind it."""
    return register(Flask("standbook", static_folder=None)).document()


def add_sync_schemas(spec: Any) -> None:
    _, components = msgspec.json.schema_components([Push, Pushed, Pulled], ref_template=REFS)
    for name, component in components.items():
        spec.components.schema(name, entries_as_texts(component) if name == "Push" else component)


def entries_as_texts(component: dict[str, Any]) -> dict[str, Any]:
    """Raw takes anything, so that each entry can be judged apart; what is wanted is the entry's text."""
    entries = component["properties"]["entries"]
    entries["items"] = {"type": "string", "description": "An entry as its device wrote it: JSON text, at most 32 KB"}
    return component
