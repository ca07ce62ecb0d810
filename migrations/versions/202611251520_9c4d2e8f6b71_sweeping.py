"""What is to be swept is found by its age; a swept id remembers its last version. Nothing has been swept before this revision."""

import sqlalchemy as sa
from alembic import op

revision = "9c4d2e8f6b71"
down_revision = "7b1e4d9c3a56"
branch_labels = None
depends_on = None

DELETED = sa.text("deleted_at IS NOT NULL")
TABLES = ("rooms", "walls", "openings", "features")


def make_swept_ids(key: list[str], *more: sa.Column) -> None:
    op.create_table(
        "swept_ids",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        *more,
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_swept_ids_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_swept_ids_project_id_projects")),
        sa.PrimaryKeyConstraint(*key, name=op.f("pk_swept_ids")),
    )
    op.create_index(op.f("ix_swept_ids_project_id"), "swept_ids", ["project_id"])


def upgrade() -> None:
    op.drop_index(op.f("ix_swept_ids_project_id"), table_name="swept_ids")
    op.drop_table("swept_ids")
    make_swept_ids(["id", "kind"], sa.Column("version", sa.Integer(), nullable=False))
    for table in TABLES:
        name = op.f(f"ix_{table}_deleted_at")
        op.create_index(name, table, ["deleted_at"], sqlite_where=DELETED, postgresql_where=DELETED)


def downgrade() -> None:
    for table in TABLES:
        op.drop_index(op.f(f"ix_{table}_deleted_at"), table_name=table)
    op.drop_index(op.f("ix_swept_ids_project_id"), table_name="swept_ids")
    op.drop_table("swept_ids")
    make_swept_ids(["id"])
