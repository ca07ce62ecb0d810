"""The past that offline devices need: values written over, results of mutations, swept ids, and how far each project was swept.

What was written over before this revision is not known; such fields count as changed for whoever last saw an earlier version.
"""

import sqlalchemy as sa
from alembic import op

revision = "4e9a1c7d5b60"
down_revision = "3b7c9e5f2d18"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "overwritten",
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("row_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("fields", sa.JSON(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_overwritten_project_id_projects")),
        sa.PrimaryKeyConstraint("project_id", "row_id", "number", name=op.f("pk_overwritten")),
    )
    op.create_index(op.f("ix_overwritten_written_at"), "overwritten", ["written_at"])
    op.create_table(
        "mutation_results",
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("mutation_id", sa.String(length=200), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=True),
        sa.Column("number_before", sa.Integer(), nullable=True),
        sa.Column("result", sa.LargeBinary(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_mutation_results_project_id_projects")),
        sa.PrimaryKeyConstraint("project_id", "mutation_id", name=op.f("pk_mutation_results")),
    )
    op.create_index(op.f("ix_mutation_results_made_at"), "mutation_results", ["made_at"])
    op.create_table(
        "swept_ids",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_swept_ids_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_swept_ids_project_id_projects")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_swept_ids")),
    )
    op.create_index(op.f("ix_swept_ids_project_id"), "swept_ids", ["project_id"])
    with op.batch_alter_table("projects") as projects:
        projects.add_column(sa.Column("swept_version", sa.Integer(), nullable=False, server_default="0"))
    with op.batch_alter_table("projects") as projects:
        projects.alter_column("swept_version", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("projects") as projects:
        projects.drop_column("swept_version")
    op.drop_index(op.f("ix_swept_ids_project_id"), table_name="swept_ids")
    op.drop_table("swept_ids")
    op.drop_index(op.f("ix_mutation_results_made_at"), table_name="mutation_results")
    op.drop_table("mutation_results")
    op.drop_index(op.f("ix_overwritten_written_at"), table_name="overwritten")
    op.drop_table("overwritten")
