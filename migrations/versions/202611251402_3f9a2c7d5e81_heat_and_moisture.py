"""What is asked about heat and moisture beside what there was: a critical temperature factor, the year a house was built.

Both may be null, so code that does not know them goes on writing rows.
"""

import sqlalchemy as sa
from alembic import op

revision = "3f9a2c7d5e81"
down_revision = "a3f09c1e52d8"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("specifications") as table:
        table.add_column(sa.Column("critical_temperature_factor", sa.Float(), nullable=True))
        table.create_check_constraint(
            op.f("ck_specifications_critical_temperature_factor_allowed"), "critical_temperature_factor BETWEEN 0 AND 1"
        )
    with op.batch_alter_table("projects") as table:
        table.add_column(sa.Column("year_built", sa.Integer(), nullable=True))
        table.create_check_constraint(op.f("ck_projects_year_built_allowed"), "year_built BETWEEN 1000 AND 3000")


def downgrade() -> None:
    with op.batch_alter_table("projects") as table:
        table.drop_constraint(op.f("ck_projects_year_built_allowed"), type_="check")
        table.drop_column("year_built")
    with op.batch_alter_table("specifications") as table:
        table.drop_constraint(op.f("ck_specifications_critical_temperature_factor_allowed"), type_="check")
        table.drop_column("critical_temperature_factor")
