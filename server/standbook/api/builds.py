"""Builds as the server's own brain sees them; the very same views that a phone works out for itself."""

from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from flask import Response, jsonify, request
from sqlalchemy import Connection

from standbook.api import qr, schemas
from standbook.api.etags import marked, tag_of, unchanged
from standbook.api.guard import PREFIX
from standbook.api.routes import Decorator, Routes
from standbook.api.schemas import from_brain
from standbook.api.services import services
from standbook.ledger.brain import VERSION
from standbook.ledger.counter import read_counter, the_shop
from standbook.people.roster import authors

blueprint = Routes("builds", __name__, url_prefix=f"{PREFIX}/builds", description="Builds, their states and steps")


def described(what: str) -> Decorator:
    content = {"application/json": {"schema": from_brain(what)}}
    return blueprint.says(responses={"200": {"description": what, "content": content}})


@blueprint.on("GET", "")
@described("{builds: [State]}, last touched first; `trouble` is null unless a build could not be worked out")
def board() -> Response:
    """Every build: stages, steps, flags, last touch. With an ETag."""
    builds = services().builds
    return answered(lambda connection: {"builds": builds.board(connection)})


@blueprint.on("GET", "/<build>")
@described("State of the build, as the brain's call `state` gives it")
def show(build: str) -> Response:
    """One build at a glance. With an ETag."""
    return answered(lambda connection: services().builds.state(connection, build), build)


@blueprint.on("GET", "/<build>/steps/<step>")
@described("StepView of the step, as the brain's call `step` gives it")
def show_step(build: str, step: str) -> Response:
    """One work step of a build with all its places, values and verdicts. With an ETag."""
    return answered(lambda connection: services().builds.step(connection, build, step), build, step)


@blueprint.on("GET", "/<build>/holds/<hold>")
@described("HoldView of the hold point, as the brain's call `hold` gives it")
def show_hold(build: str, hold: str) -> Response:
    """One hold point of a build: what it rests on, who signs, which signatures count. With an ETag."""
    return answered(lambda connection: services().builds.hold(connection, build, hold), build, hold)


@blueprint.on("GET", "/<build>/label")
@blueprint.gives(200, schemas.Label)
def show_label(build: str) -> dict[str, Any]:
    """The address of the engine's page, for a label on the engine: a phone's camera reads it."""
    with services().ledger.reading() as connection:
        services().builds.state(connection, build)
    address = f"{origin()}/build/{quote(build, safe='')}"
    return {"address": address, "qr": qr.rows(address)}


def origin() -> str:
    """Where the phones find the app: the shop's origin on its network, else the address of this very request."""
    where = services().whereabouts
    return where.origin if where else request.host_url.rstrip("/")


def answered(work: Callable[[Connection], dict[str, Any]], *which: str) -> Response:
    """The view depends on the book so far, the people's names and the brain: one tag for the three."""
    with services().ledger.reading() as connection:
        shop = the_shop(connection)
        counter = read_counter(connection, shop)
        tag = tag_of(VERSION, which, counter.epoch, counter.last_seq, sorted(authors(connection, shop).values()))
        return unchanged(tag) or marked(jsonify(work(connection)), tag)
