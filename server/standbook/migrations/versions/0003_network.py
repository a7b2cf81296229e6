"""Devices that the shop trusts, PINs, one-time codes, who came in where, and customers apart from the book."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

ID = sa.String(64)
STAMP = sa.String(24)
SHA256 = sa.String(64)


def needed(name: str, kind: sa.types.TypeEngine[Any]) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False)


def spare(name: str, kind: sa.types.TypeEngine[Any]) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=True)


def to(table: str, column: str, target: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{target}.id"], name=f"fk_{table}_{column}")


def key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=f"pk_{table}")


def upgrade() -> None:
    people()
    devices()
    book()
    customers()


def people() -> None:
    op.create_table(
        "pins",
        needed("person", ID),
        needed("number", sa.Integer()),
        needed("salt", sa.String(64)),
        needed("hash", sa.String(64)),
        needed("iterations", sa.Integer()),
        needed("set_at", STAMP),
        needed("set_by", ID),
        needed("at_seq", sa.BigInteger()),
        to("pins", "person", "people"),
        key("pins", "person", "number"),
    )
    op.create_table(
        "one_time_codes",
        needed("code_sha256", SHA256),
        needed("shop", ID),
        needed("purpose", sa.String(20)),
        spare("person", ID),
        spare("made_by", ID),
        needed("made_at", STAMP),
        needed("expires_at", STAMP),
        spare("used_at", STAMP),
        to("one_time_codes", "shop", "shops"),
        to("one_time_codes", "person", "people"),
        key("one_time_codes", "code_sha256"),
    )
    op.create_table(
        "access_log",
        needed("id", ID),
        needed("shop", ID),
        needed("at", STAMP),
        needed("kind", sa.String(40)),
        spare("person", ID),
        spare("device", ID),
        needed("address", sa.String(64)),
        needed("detail", sa.Text()),
        to("access_log", "shop", "shops"),
        key("access_log", "id"),
    )
    op.create_index("ix_access_log_shop_at", "access_log", ["shop", "at"])


def devices() -> None:
    op.create_table(
        "joined_devices",
        needed("shop", ID),
        needed("device", ID),
        needed("name", sa.String(120)),
        needed("public_key", sa.String(200)),
        needed("joined_at", STAMP),
        needed("joined_by", ID),
        spare("cut_off_at", STAMP),
        spare("cut_off_by", ID),
        spare("cut_off_reason", sa.Text()),
        to("joined_devices", "shop", "shops"),
        key("joined_devices", "shop", "device"),
    )
    op.create_table(
        "device_sessions",
        needed("token_sha256", SHA256),
        needed("shop", ID),
        needed("device", ID),
        needed("created_at", STAMP),
        needed("expires_at", STAMP),
        to("device_sessions", "shop", "shops"),
        key("device_sessions", "token_sha256"),
    )
    op.create_index("ix_device_sessions_device", "device_sessions", ["device"])
    op.create_table(
        "challenges", needed("text_sha256", SHA256), needed("expires_at", STAMP), key("challenges", "text_sha256")
    )


def book() -> None:
    op.create_table(
        "batch_signatures",
        needed("shop", ID),
        needed("device", ID),
        needed("from_no", sa.BigInteger()),
        needed("to_no", sa.BigInteger()),
        needed("signer", ID),
        needed("signature", sa.String(120)),
        needed("received_at", STAMP),
        to("batch_signatures", "shop", "shops"),
        key("batch_signatures", "shop", "device", "from_no"),
    )
    op.create_table(
        "pin_proofs",
        needed("shop", ID),
        needed("entry", ID),
        needed("person", ID),
        needed("pin_number", sa.Integer()),
        needed("device", ID),
        needed("received_at", STAMP),
        to("pin_proofs", "shop", "shops"),
        key("pin_proofs", "shop", "entry"),
    )


def customers() -> None:
    op.create_table(
        "customers",
        needed("id", ID),
        needed("shop", ID),
        spare("name", sa.String(120)),
        spare("phone", sa.String(60)),
        spare("email", sa.String(200)),
        spare("address", sa.String(400)),
        spare("note", sa.Text()),
        needed("created_at", STAMP),
        spare("erased_at", STAMP),
        spare("erased_by", ID),
        to("customers", "shop", "shops"),
        key("customers", "id"),
    )
    op.create_table(
        "build_customers",
        needed("shop", ID),
        needed("build", ID),
        needed("customer", ID),
        needed("said_at", STAMP),
        needed("said_by", ID),
        to("build_customers", "shop", "shops"),
        to("build_customers", "customer", "customers"),
        key("build_customers", "shop", "build"),
    )


def downgrade() -> None:
    for table in (
        "build_customers",
        "customers",
        "pin_proofs",
        "batch_signatures",
        "challenges",
        "device_sessions",
        "joined_devices",
        "access_log",
        "one_time_codes",
        "pins",
    ):
        op.drop_table(table)
