"""Materials of an account, for the layers of its build-ups. Nothing that stands is touched."""

import sqlalchemy as sa
from alembic import op

revision = "7b1e4d9c3a56"
down_revision = "3f9a2c7d5e81"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "materials",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("conductivity_w_mk", sa.Float(), nullable=True),
        sa.Column("density_kg_m3", sa.Float(), nullable=True),
        sa.Column("specific_heat_j_kgk", sa.Float(), nullable=True),
        sa.Column("mu_dry", sa.Float(), nullable=True),
        sa.Column("mu_wet", sa.Float(), nullable=True),
        sa.Column("sd_m", sa.Float(), nullable=True),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("source", sa.String(length=500), nullable=True),
        sa.Column("certainty", sa.String(length=32), nullable=True),
        sa.Column("note", sa.String(length=1000), nullable=True),
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "certainty IN ('read', 'read_secondary', 'from_memory', 'calculated', 'common_practice')",
            name=op.f("ck_materials_certainty_allowed"),
        ),
        sa.CheckConstraint("conductivity_w_mk BETWEEN 1e-06 AND 1000", name=op.f("ck_materials_conductivity_w_mk_allowed")),
        sa.CheckConstraint("density_kg_m3 BETWEEN 1e-06 AND 100000", name=op.f("ck_materials_density_kg_m3_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_materials_name_allowed")),
        sa.CheckConstraint("length(note) BETWEEN 1 AND 1000", name=op.f("ck_materials_note_allowed")),
        sa.CheckConstraint("length(source) BETWEEN 1 AND 500", name=op.f("ck_materials_source_allowed")),
        sa.CheckConstraint("mu_dry BETWEEN 1e-06 AND 1000000000.0", name=op.f("ck_materials_mu_dry_allowed")),
        sa.CheckConstraint("mu_wet BETWEEN 1e-06 AND 1000000000.0", name=op.f("ck_materials_mu_wet_allowed")),
        sa.CheckConstraint("sd_m BETWEEN 1e-06 AND 1000000.0", name=op.f("ck_materials_sd_m_allowed")),
        sa.CheckConstraint("specific_heat_j_kgk BETWEEN 1e-06 AND 100000", name=op.f("ck_materials_specific_heat_j_kgk_allowed")),
        sa.CheckConstraint("thickness_mm BETWEEN 1e-06 AND 5000", name=op.f("ck_materials_thickness_mm_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_materials_account_id_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_materials")),
    )
    op.create_index(op.f("ix_materials_account_id_created_at_id"), "materials", ["account_id", "created_at", "id"])


def downgrade() -> None:
    op.drop_table("materials")
