"""Instruments that the shop looks after itself: range and band of a wrench, calibrations, what was changed, retired."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

ID = sa.String(64)
STAMP = sa.String(24)
SPARE = (
    ("range_low", sa.JSON()),
    ("range_high", sa.JSON()),
    ("band", sa.String(10)),
    ("calibrated_on", sa.String(10)),
    ("retired_at", STAMP),
    ("retired_because", sa.Text()),
)


def upgrade() -> None:
    for name, kind in SPARE:
        op.add_column("instruments", sa.Column(name, kind, nullable=True))
    op.add_column("instruments", sa.Column("version", sa.Integer(), nullable=False, server_default="1"))
    op.create_table(
        "instrument_changes",
        sa.Column("shop", ID, nullable=False),
        sa.Column("instrument", ID, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", STAMP, nullable=False),
        sa.Column("person", ID, nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["instrument"], ["instruments.id"], name="fk_instrument_changes_instrument"),
        sa.ForeignKeyConstraint(["shop"], ["shops.id"], name="fk_instrument_changes_shop"),
        sa.PrimaryKeyConstraint("instrument", "version", name="pk_instrument_changes"),
    )


def downgrade() -> None:
    op.drop_table("instrument_changes")
    for name in ("version", *reversed([name for name, _ in SPARE])):
        op.drop_column("instruments", name)
