"""Whose engine it is, for leads alone. Nothing of it goes to the stand, into a view of the book or into a log."""

from typing import Any

from flask import Response

from standbook.api import schemas
from standbook.api.guard import PREFIX
from standbook.api.routes import Routes
from standbook.api.services import services
from standbook.api.whence import whence
from standbook.api.who import require_lead
from standbook.keeping.erasing import erase as erase_customer
from standbook.people import customers

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
def add(form: dict[str, str]) -> dict[str, Any]:
    """Adds a customer. For a lead."""
    require_lead()
    shop = services().ledger.shop()
    with services().writer.writing() as connection:
        return customers.customer(connection, shop, customers.add(connection, shop, form))


@blueprint.on("PUT", "/customers/<customer>")
@blueprint.takes(schemas.CustomerForm)
@blueprint.gives(200, schemas.Customer)
def change(form: dict[str, str], customer: str) -> dict[str, Any]:
    """Writes a customer's data anew. For a lead."""
    require_lead()
    shop = services().ledger.shop()
    with services().writer.writing() as connection:
        customers.change(connection, shop, customer, form)
        return customers.customer(connection, shop, customer)


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
@blueprint.takes(schemas.Whose)
@blueprint.gives(204)
def say_whose(form: dict[str, str | None], build: str) -> Response:
    """Says whose engine a build is, or (null) nobody's yet. For a lead."""
    lead, at = require_lead(), services()
    with at.writer.writing() as connection:
        at.builds.refuse_unknown(connection, build)
        customers.say_whose(connection, at.ledger.shop(), build, form["customer"], lead.id)
    return Response(status=204)
