"""Offcuts, and the takeoffs that are confirmed with them."""

import sqlalchemy as sa
from alembic import op

revision = "a3f09c1e52d8"
down_revision = "4e9a1c7d5b60"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "confirmations",
        sa.Column("takeoff_id", sa.Uuid(), nullable=False),
        sa.Column("confirmed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["takeoff_id"], ["takeoffs.id"], name=op.f("fk_confirmations_takeoff_id_takeoffs")),
        sa.PrimaryKeyConstraint("takeoff_id", name=op.f("pk_confirmations")),
    )
    op.create_table(
        "offcuts",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("component", sa.String(length=32), nullable=False),
        sa.Column("sku", sa.String(length=100), nullable=True),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("width_mm", sa.Integer(), nullable=True),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("note", sa.String(length=1000), nullable=True),
        sa.Column("takeoff_id", sa.Uuid(), nullable=True),
        sa.Column("from_takeoff_id", sa.Uuid(), nullable=True),
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "component IN ('c_stud', 'u_channel', 'bracket', 'bracket_clip', 'insulation_roll', 'vcl_membrane', "
            "'lap_tape', 'double_sided_tape', 'sealant', 'plasterboard', 'insulated_laminate', 'board_adhesive', "
            "'board_screw', 'frame_screw', 'timber_fixing', 'masonry_fixing', 'joint_tape', 'joint_compound', "
            "'corner_bead', 'stop_bead')",
            name=op.f("ck_offcuts_component_allowed"),
        ),
        sa.CheckConstraint("length(note) BETWEEN 1 AND 1000", name=op.f("ck_offcuts_note_allowed")),
        sa.CheckConstraint("length(sku) BETWEEN 1 AND 100", name=op.f("ck_offcuts_sku_allowed")),
        sa.CheckConstraint("length_mm BETWEEN 1 AND 1000000", name=op.f("ck_offcuts_length_mm_allowed")),
        sa.CheckConstraint("thickness_mm BETWEEN 0.01 AND 1000", name=op.f("ck_offcuts_thickness_mm_allowed")),
        sa.CheckConstraint("width_mm BETWEEN 1 AND 100000", name=op.f("ck_offcuts_width_mm_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_offcuts_account_id_accounts")),
        sa.ForeignKeyConstraint(["from_takeoff_id"], ["takeoffs.id"], name=op.f("fk_offcuts_from_takeoff_id_takeoffs")),
        sa.ForeignKeyConstraint(["takeoff_id"], ["takeoffs.id"], name=op.f("fk_offcuts_takeoff_id_takeoffs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offcuts")),
    )
    op.create_index(op.f("ix_offcuts_account_id_created_at_id"), "offcuts", ["account_id", "created_at", "id"])
    op.create_index(op.f("ix_offcuts_from_takeoff_id"), "offcuts", ["from_takeoff_id"])
    op.create_index(op.f("ix_offcuts_takeoff_id"), "offcuts", ["takeoff_id"])


def downgrade() -> None:
    op.drop_table("offcuts")
    op.drop_table("confirmations")
