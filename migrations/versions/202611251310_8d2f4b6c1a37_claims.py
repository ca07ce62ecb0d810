"""Requests that may be sent again, with who is at work on them and what they were answered.

Nothing that stands is touched: requests without an Idempotency-Key leave no row here.
"""

import sqlalchemy as sa
from alembic import op

revision = "8d2f4b6c1a37"
down_revision = "5c1e7a90b2d4"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "claims",
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("method", sa.String(length=8), nullable=False),
        sa.Column("path", sa.String(length=400), nullable=False),
        sa.Column("key", sa.String(length=255), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("lease", sa.Uuid(), nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("headers", sa.JSON(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_claims_account_id_accounts")),
        sa.PrimaryKeyConstraint("account_id", "method", "path", "key", name=op.f("pk_claims")),
    )
    op.create_index(op.f("ix_claims_kept_until"), "claims", ["kept_until"])


def downgrade() -> None:
    op.drop_index(op.f("ix_claims_kept_until"), table_name="claims")
    op.drop_table("claims")
