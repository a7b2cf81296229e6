"""Whose engine it is, for leads alone. Nothing of it goes to the stand, into a view of the book or into a log."""

from typing import Any

from flask import Response

from standbook.api import schemas
from standbook.api.etags import named_in
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.whence import whence
from standbook.api.who import require_lead
from standbook.keeping.erasing import erase as erase_customer
from standbook.people import customers

#: An answer with its head.
Marked = tuple[dict[str, Any], dict[str, str]]

blueprint = Routes("customers", __name__, url_prefix=PREFIX, description="Customers, apart from the book")


@blueprint.on("GET", "/customers")
@blueprint.gives(200, schemas.Customers)
def show() -> dict[str, Any]:
    """Every customer by name, and which builds are theirs. For a lead."""
    require_lead()
    ledger = services().ledger
    with ledger.reading() as connection:
        return {"customers": customers.customers(connection, ledger.shop())}


@blueprint.on("POST", "/customers")
@blueprint.takes(schemas.CustomerForm)
@blueprint.gives(201, schemas.Customer)
def add(form: dict[str, str]) -> Marked:
    """Adds a customer; the answer's ETag is the version. For a lead."""
    require_lead()
    shop = services().ledger.shop()
    with services().writer.writing() as connection:
        return one(customers.customer(connection, shop, customers.add(connection, shop, form)))


@blueprint.on("PUT", "/customers/<customer>")
@blueprint.heeds(schemas.IfMatch)
@blueprint.takes(schemas.CustomerForm)
@blueprint.gives(200, schemas.Customer)
def change(head: dict[str, str], form: dict[str, str], customer: str) -> Marked:
    """Writes a customer's data anew, where they still are as they were looked at (If-Match). For a lead."""
    require_lead()
    shop = services().ledger.shop()
    with services().writer.writing() as connection:
        customers.refuse_stale(customers.customer(connection, shop, customer), form, named_in(head))
        customers.change(connection, shop, customer, form)
        return one(customers.customer(connection, shop, customer))


def one(found: dict[str, Any]) -> Marked:
    return found, {"ETag": f'"{found["version"]}"'}


@blueprint.on("POST", "/customers/<customer>/erase")
@blueprint.takes(schemas.Dealt)
@blueprint.gives(200, schemas.Erased)
def erase(form: dict[str, str], customer: str) -> dict[str, Any]:
    """Empties a customer's data for good; the book stays as it is. Tells which older backups still hold them. For a
    lead."""
    lead, at = require_lead(), services()
    erased = erase_customer(at.settings, at.ledger, customer, lead.id, form["reason"], whence())
    copies = [{"name": copy.path.name, "made_at": copy.made_at, "sure": copy.sure} for copy in erased.copies]
    return {"erased_at": erased.at, "clean": erased.clean, "copies": copies}


@blueprint.on("PUT", "/builds/<build>/customer")
@blueprint.heeds(schemas.IfMatch)
@blueprint.takes(schemas.Whose)
@blueprint.gives(204)
def say_whose(head: dict[str, str], form: dict[str, str | None], build: str) -> Response:
    """Says whose engine a build is, or (null) nobody's yet. If-Match names whose it was: a customer's id, or `nobody`.
    For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        at.builds.refuse_unknown(connection, build)
        customers.refuse_stale_whose(connection, at.ledger.shop(), build, form["customer"], named_in(head))
        customers.say_whose(connection, at.ledger.shop(), build, form["customer"], lead.id)
    return Response(status=204)
