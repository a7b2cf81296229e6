"""The ledger, the people, the blobs: the first tables of a book."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

ID = sa.String(64)
STAMP = sa.String(24)
SHA256 = sa.String(64)

# LG2: an entry is frozen once made. The database itself says no, whoever asks.
WORDS = "an entry of the book is never changed or deleted"
FROZEN = {
    "sqlite": tuple(
        f"CREATE TRIGGER entries_{what}_frozen BEFORE {what} ON entries BEGIN SELECT RAISE(ABORT, '{WORDS}'); END"
        for what in ("update", "delete")
    ),
    "postgresql": (
        "CREATE FUNCTION entries_frozen() RETURNS trigger AS "
        f"$$ BEGIN RAISE EXCEPTION '{WORDS}'; END $$ LANGUAGE plpgsql",
        "CREATE TRIGGER entries_frozen BEFORE UPDATE OR DELETE ON entries "
        "FOR EACH ROW EXECUTE FUNCTION entries_frozen()",
    ),
}


def upgrade() -> None:
    shop_tables()
    entries()
    asides()
    people()
    for statement in FROZEN[op.get_bind().dialect.name]:
        op.execute(statement)


def downgrade() -> None:
    tables = ("sign_in_misses", "sessions", "instruments", "people", "conflicts", "held_back", "entries", "devices")
    for table in (*tables, "shops", "blobs"):
        op.drop_table(table)


def shop_tables() -> None:
    op.create_table(
        "blobs",
        sa.Column("sha256", SHA256, nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("received_at", STAMP, nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_blobs"),
    )
    op.create_table(
        "shops",
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.String(120), nullable=False),
        sa.Column("epoch", ID, nullable=False),
        sa.Column("last_seq", sa.BigInteger(), nullable=False),
        sa.Column("head", SHA256, nullable=False),
        sa.Column("created_at", STAMP, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_shops"),
    )
    op.create_table(
        "devices",
        sa.Column("shop", ID, nullable=False),
        sa.Column("id", ID, nullable=False),
        sa.Column("name", sa.String(120), nullable=False),
        sa.Column("next_no", sa.BigInteger(), nullable=False),
        sa.Column("head", SHA256, nullable=True),
        sa.Column("app_version", ID, nullable=False),
        sa.Column("skew_ms", sa.BigInteger(), nullable=True),
        sa.Column("first_contact", STAMP, nullable=False),
        sa.Column("last_contact", STAMP, nullable=False),
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name="fk_devices_shop"),
        sa.PrimaryKeyConstraint("shop", "id", name="pk_devices"),
    )


def entries() -> None:
    op.create_table(
        "entries",
        sa.Column("shop", ID, nullable=False),
        sa.Column("seq", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("id", ID, nullable=False),
        sa.Column("build", ID, nullable=False),
        sa.Column("kind", ID, nullable=False),
        sa.Column("step", ID, nullable=True),
        sa.Column("place", ID, nullable=True),
        sa.Column("why", ID, nullable=True),
        sa.Column("person", ID, nullable=False),
        sa.Column("device", ID, nullable=False),
        sa.Column("device_no", sa.BigInteger(), nullable=False),
        sa.Column("made_at", ID, nullable=False),
        sa.Column("seen", sa.BigInteger(), nullable=False),
        sa.Column("trade_version", ID, nullable=False),
        sa.Column("received_at", STAMP, nullable=False),
        sa.Column("skew_ms", sa.BigInteger(), nullable=True),
        sa.Column("prev", SHA256, nullable=False),
        sa.Column("hash", SHA256, nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name="fk_entries_shop"),
        sa.PrimaryKeyConstraint("shop", "seq", name="pk_entries"),
        sa.UniqueConstraint("shop", "id", name="uq_entries_shop_id"),
        sa.UniqueConstraint("shop", "device", "device_no", name="uq_entries_shop_device_device_no"),
    )
    op.create_index("ix_entries_shop_build_seq", "entries", ["shop", "build", "seq"])


def asides() -> None:
    number = sa.UniqueConstraint("shop", "device", "device_no", name="uq_held_back_shop_device_device_no")
    bytes_of_number = sa.UniqueConstraint(
        "shop", "device", "device_no", "sha256", name="uq_conflicts_shop_device_device_no_sha256"
    )
    aside_table("held_back", number)
    aside_table("conflicts", sa.Column("used_number", sa.Boolean(), nullable=False), bytes_of_number)


def aside_table(name: str, *more: sa.schema.SchemaItem) -> None:
    op.create_table(
        name,
        sa.Column("id", ID, nullable=False),
        sa.Column("shop", ID, nullable=False),
        sa.Column("device", ID, nullable=False),
        sa.Column("device_no", sa.BigInteger(), nullable=False),
        sa.Column("entry", ID, nullable=True),
        sa.Column("build", ID, nullable=True),
        sa.Column("code", ID, nullable=False),
        sa.Column("message", sa.Text(), nullable=False),
        sa.Column("raw", sa.LargeBinary(), nullable=True),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("sha256", SHA256, nullable=False),
        sa.Column("received_at", STAMP, nullable=False),
        sa.Column("skew_ms", sa.BigInteger(), nullable=True),
        sa.Column("dealt_at", STAMP, nullable=True),
        sa.Column("dealt_by", ID, nullable=True),
        sa.Column("dealt_reason", sa.Text(), nullable=True),
        *more,
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name=f"fk_{name}_shop"),
        sa.PrimaryKeyConstraint("id", name=f"pk_{name}"),
    )
    op.create_index(f"ix_{name}_shop_entry", name, ["shop", "entry"])


def people() -> None:
    op.create_table(
        "people",
        sa.Column("id", ID, nullable=False),
        sa.Column("shop", ID, nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("password_hash", sa.String(200), nullable=True),
        sa.Column("created_at", STAMP, nullable=False),
        sa.Column("left_at", STAMP, nullable=True),
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name="fk_people_shop"),
        sa.PrimaryKeyConstraint("id", name="pk_people"),
    )
    op.create_table(
        "instruments",
        sa.Column("id", ID, nullable=False),
        sa.Column("shop", ID, nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("step", sa.JSON(), nullable=False),
        sa.Column("trust", sa.JSON(), nullable=False),
        sa.Column("dial", sa.Boolean(), nullable=False),
        sa.Column("calibration_due", sa.String(10), nullable=True),
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name="fk_instruments_shop"),
        sa.PrimaryKeyConstraint("id", name="pk_instruments"),
    )
    sign_in()


def sign_in() -> None:
    op.create_table(
        "sessions",
        sa.Column("token_sha256", SHA256, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("created_at", STAMP, nullable=False),
        sa.Column("expires_at", STAMP, nullable=False),
        sa.ForeignKeyConstraint(["person"], ["people.id"], name="fk_sessions_person"),
        sa.PrimaryKeyConstraint("token_sha256", name="pk_sessions"),
    )
    op.create_index("ix_sessions_person", "sessions", ["person"])
    op.create_table(
        "sign_in_misses",
        sa.Column("name_sha256", SHA256, nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("locked_until", STAMP, nullable=True),
        sa.Column("last_at", STAMP, nullable=False),
        sa.PrimaryKeyConstraint("name_sha256", name="pk_sign_in_misses"),
    )
