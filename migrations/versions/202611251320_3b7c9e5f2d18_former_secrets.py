"""What keys were before they were rotated.

Nothing that stands is touched: no key has been rotated yet.
"""

import sqlalchemy as sa
from alembic import op

revision = "3b7c9e5f2d18"
down_revision = "8d2f4b6c1a37"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "former_secrets",
        sa.Column("prefix", sa.String(length=32), nullable=False),
        sa.Column("key_id", sa.Uuid(), nullable=False),
        sa.Column("secret_sha256", sa.String(length=64), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["key_id"], ["api_keys.id"], name=op.f("fk_former_secrets_key_id_api_keys")),
        sa.PrimaryKeyConstraint("prefix", name=op.f("pk_former_secrets")),
    )
    op.create_index(op.f("ix_former_secrets_key_id"), "former_secrets", ["key_id"])


def downgrade() -> None:
    op.drop_index(op.f("ix_former_secrets_key_id"), table_name="former_secrets")
    op.drop_table("former_secrets")
