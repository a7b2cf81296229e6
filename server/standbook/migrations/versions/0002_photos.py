"""Photos, and what the shop knows of a device whose storage was lost or whose identity was copied."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

SHA256 = sa.String(64)


def upgrade() -> None:
    op.create_table(
        "photos",
        sa.Column("sha256", SHA256, nullable=False),
        sa.Column("stored_sha256", SHA256, nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("received_at", sa.String(24), nullable=False),
        sa.ForeignKeyConstraint(["stored_sha256"], ["blobs.sha256"], name="fk_photos_stored_sha256"),
        sa.PrimaryKeyConstraint("sha256", name="pk_photos"),
    )
    for name, kind in (("made", sa.BigInteger()), ("replaced_by", sa.String(64))):
        op.add_column("devices", sa.Column(name, kind, nullable=True))


def downgrade() -> None:
    for name in ("replaced_by", "made"):
        op.drop_column("devices", name)
    op.drop_table("photos")
