"""flask-smorest's blueprint with types and in our words."""

from collections.abc import Callable
from typing import Any, Protocol, TypeVar, cast

import msgspec
from flask import Request
from flask_smorest import Blueprint  # type: ignore[import-untyped]
from marshmallow import Schema
from webargs.flaskparser import FlaskParser

from standbook.errors import Problem

View = TypeVar("View", bound=Callable[..., Any])


class Decorator(Protocol):
    """Leaves a view as it is, to the type checker's eye."""

    def __call__(self, view: View, /) -> View: ...


class StrictParser(FlaskParser):
    """Reads bodies with msgspec, which takes no NaN, no half characters and no nesting without end."""

    def _raw_load_json(self, req: Request) -> Any:
        return read_json(req.get_data())


def read_json(body: bytes) -> Any:
    """Raises Problem bad_json."""
    try:
        return msgspec.json.decode(body)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise Problem("bad_json") from error


class Routes(Blueprint):  # type: ignore[misc]
    """Routes that document themselves: what they take, what they give."""

    ARGUMENTS_PARSER = StrictParser()

    def on(self, method: str, rule: str) -> Decorator:
        return cast(Decorator, self.route(rule, methods=[method]))

    def takes(self, schema: type[Schema]) -> Decorator:
        """The body, checked, becomes the view's first argument."""
        return cast(Decorator, self.arguments(schema))

    def asks(self, schema: type[Schema]) -> Decorator:
        """What stands behind the address's question mark, checked, becomes the view's first argument."""
        return cast(Decorator, self.arguments(schema, location="query"))

    def heeds(self, schema: type[Schema]) -> Decorator:
        """What stands in the request's head, checked, becomes the view's first argument."""
        return cast(Decorator, self.arguments(schema, location="headers"))

    def gives(self, status: int, schema: type[Schema] | None = None) -> Decorator:
        return cast(Decorator, self.response(status, schema))

    def says(self, **parts: Any) -> Decorator:
        """Adds to the operation's documentation what no schema can say."""
        return cast(Decorator, self.doc(**parts))
