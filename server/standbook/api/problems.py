"""Every error that can leave a route, in the one shape (`errors.py`)."""

import logging
from typing import Any

from flask import Flask, Response, jsonify, request
from sqlalchemy.exc import DBAPIError
from werkzeug.exceptions import (
    BadRequest,
    HTTPException,
    MethodNotAllowed,
    RequestEntityTooLarge,
    SecurityError,
    UnprocessableEntity,
)
from werkzeug.routing import RequestRedirect

from standbook.config import MAX_BODY
from standbook.errors import Problem, shape
from standbook.trade.plain import Refusal
from standbook.writing import problem_of

log = logging.getLogger(__name__)
BY_STATUS = {404: "not_found", 406: "not_acceptable", 415: "unsupported_media"}


def register(app: Flask) -> None:
    app.register_error_handler(Problem, answer)
    app.register_error_handler(HTTPException, answer_http)
    app.register_error_handler(Refusal, answer_refusal)
    app.register_error_handler(DBAPIError, answer_database)
    app.register_error_handler(Exception, answer_fault)


def answer(problem: Problem) -> Response:
    response = jsonify(shape(problem.code, problem.message, problem.details))
    response.status_code = problem.status
    if "seconds" in problem.details:
        response.headers["Retry-After"] = str(problem.details["seconds"])
    return response


def answer_http(error: HTTPException) -> Any:
    """What Flask and its extensions raise. Headers that belong to the error (Allow, Location) stay."""
    if isinstance(error, RequestRedirect) or error.response is not None:
        return error
    response = answer(problem_behind(error))
    response.status_code = error.code or response.status_code
    if isinstance(error, MethodNotAllowed):
        response.headers["Allow"] = ", ".join(sorted(error.valid_methods or ()))
    return response


def problem_behind(error: HTTPException) -> Problem:
    if isinstance(error, SecurityError):
        return Problem("unknown_host")
    if isinstance(error, MethodNotAllowed):
        return Problem("method_not_allowed", method=request.method)
    if isinstance(error, RequestEntityTooLarge):
        return Problem("too_large", limit=request.max_content_length or MAX_BODY)
    if isinstance(error, UnprocessableEntity):
        return invalid(error)
    if isinstance(error, BadRequest) and hasattr(error, "data"):
        return Problem("bad_json")
    usual = "bad_request" if (error.code or 500) < 500 else "internal"
    return Problem(BY_STATUS.get(error.code or 500, usual))


def invalid(error: UnprocessableEntity) -> Problem:
    """Validation errors by place: {"json": {"reason": ["Missing data …"]}} becomes {"reason": ["Missing data …"]}."""
    found: dict[str, Any] = {}
    for place in getattr(error, "data", {}).get("messages", {}).values():
        found.update(place if isinstance(place, dict) else {"body": place})
    return Problem("invalid", fields=", ".join(sorted(map(str, found))), problems=found)


def answer_refusal(refusal: Refusal) -> Response:
    response = jsonify(shape(refusal.code, refusal.message, refusal.details))
    response.status_code = 422
    return response


def answer_database(error: DBAPIError) -> Response:
    problem = problem_of(error)
    return answer(problem) if problem else answer_fault(error)


def answer_fault(error: Exception) -> Response:
    """A fault of ours: the log gets everything, the client nothing that it could not act on."""
    # As Python writes it: a line break in an address would begin a line of the log.
    log.error("fault at %s %r", request.method, request.path[:200], exc_info=error)
    return answer(Problem("internal"))
