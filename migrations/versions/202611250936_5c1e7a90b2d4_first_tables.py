"""The first tables: accounts and keys, specifications, catalogues, projects with their surveys, takeoffs.

From the start every survey row has a version, the version that last wrote each of its fields, and room for a tombstone; every
project has the counter that the versions come from.
"""

import sqlalchemy as sa
from alembic import op

revision = "5c1e7a90b2d4"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "accounts",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_accounts_name_allowed")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_accounts")),
        sa.UniqueConstraint("name", name=op.f("uq_accounts_name")),
    )
    op.create_table(
        "api_keys",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("prefix", sa.String(length=32), nullable=False),
        sa.Column("secret_sha256", sa.String(length=64), nullable=False),
        sa.Column("scopes", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_used_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_api_keys_name_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_api_keys_account_id_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_api_keys")),
        sa.UniqueConstraint("prefix", name=op.f("uq_api_keys_prefix")),
    )
    op.create_index(op.f("ix_api_keys_account_id_created_at_id"), "api_keys", ["account_id", "created_at", "id"])

    op.create_table(
        "catalogues",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("currency", sa.String(length=32), nullable=False),
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("currency IN ('GBP', 'EUR', 'USD', 'CHF')", name=op.f("ck_catalogues_currency_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_catalogues_name_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_catalogues_account_id_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_catalogues")),
    )
    op.create_index(op.f("ix_catalogues_account_id_created_at_id"), "catalogues", ["account_id", "created_at", "id"])

    op.create_table(
        "results",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("digest", sa.String(length=80), nullable=False),
        sa.Column("engine_version", sa.String(length=40), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("summary", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_results_account_id_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_results")),
        sa.UniqueConstraint("account_id", "digest", name=op.f("uq_results_account_id_digest")),
    )
    op.create_table(
        "specifications",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("parameters", sa.JSON(), nullable=False),
        sa.Column("components", sa.JSON(), nullable=False),
        sa.Column("build_up", sa.JSON(), nullable=True),
        sa.Column("target_u_value_w_m2k", sa.Float(), nullable=True),
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_specifications_name_allowed")),
        sa.CheckConstraint(
            "target_u_value_w_m2k BETWEEN 0.01 AND 10", name=op.f("ck_specifications_target_u_value_w_m2k_allowed")
        ),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_specifications_account_id_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_specifications")),
    )
    op.create_index(op.f("ix_specifications_account_id_created_at_id"), "specifications", ["account_id", "created_at", "id"])

    op.create_table(
        "catalogue_items",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("catalogue_id", sa.Uuid(), nullable=False),
        sa.Column("sku", sa.String(length=100), nullable=False),
        sa.Column("component", sa.String(length=32), nullable=False),
        sa.Column("description", sa.String(length=500), nullable=True),
        sa.Column("length_mm", sa.Integer(), nullable=True),
        sa.Column("width_mm", sa.Integer(), nullable=True),
        sa.Column("thickness_mm", sa.Float(), nullable=True),
        sa.Column("pack_size", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.BigInteger(), nullable=True),
        sa.Column("price_currency", sa.String(length=32), nullable=True),
        sa.Column("mass_kg", sa.Float(), nullable=True),
        sa.Column("on_hand", sa.Integer(), nullable=True),
        sa.Column("yield_per_piece", sa.Float(), nullable=True),
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
            name=op.f("ck_catalogue_items_component_allowed"),
        ),
        sa.CheckConstraint(
            "price_currency IN ('GBP', 'EUR', 'USD', 'CHF')", name=op.f("ck_catalogue_items_price_currency_allowed")
        ),
        sa.CheckConstraint("(price_minor IS NULL) = (price_currency IS NULL)", name=op.f("ck_catalogue_items_price_whole")),
        sa.CheckConstraint("length(description) BETWEEN 1 AND 500", name=op.f("ck_catalogue_items_description_allowed")),
        sa.CheckConstraint("length(sku) BETWEEN 1 AND 100", name=op.f("ck_catalogue_items_sku_allowed")),
        sa.CheckConstraint("length_mm BETWEEN 1 AND 1000000", name=op.f("ck_catalogue_items_length_mm_allowed")),
        sa.CheckConstraint("mass_kg BETWEEN 0 AND 100000", name=op.f("ck_catalogue_items_mass_kg_allowed")),
        sa.CheckConstraint("on_hand BETWEEN 0 AND 100000000", name=op.f("ck_catalogue_items_on_hand_allowed")),
        sa.CheckConstraint("pack_size BETWEEN 1 AND 1000000", name=op.f("ck_catalogue_items_pack_size_allowed")),
        sa.CheckConstraint("price_minor BETWEEN 0 AND 100000000000000", name=op.f("ck_catalogue_items_price_minor_allowed")),
        sa.CheckConstraint("thickness_mm BETWEEN 0.01 AND 1000", name=op.f("ck_catalogue_items_thickness_mm_allowed")),
        sa.CheckConstraint("width_mm BETWEEN 1 AND 100000", name=op.f("ck_catalogue_items_width_mm_allowed")),
        sa.CheckConstraint("yield_per_piece BETWEEN 1e-06 AND 1000000", name=op.f("ck_catalogue_items_yield_per_piece_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_catalogue_items_account_id_accounts")),
        sa.ForeignKeyConstraint(["catalogue_id"], ["catalogues.id"], name=op.f("fk_catalogue_items_catalogue_id_catalogues")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_catalogue_items")),
    )
    op.create_index(
        op.f("ix_catalogue_items_catalogue_id_created_at_id"), "catalogue_items", ["catalogue_id", "created_at", "id"]
    )
    op.create_index(op.f("ix_catalogue_items_catalogue_id_version"), "catalogue_items", ["catalogue_id", "version"], unique=True)
    op.create_index(
        "uq_catalogue_items_sku",
        "catalogue_items",
        ["catalogue_id", "sku"],
        unique=True,
        sqlite_where=sa.text("deleted_at IS NULL"),
        postgresql_where=sa.text("deleted_at IS NULL"),
    )

    op.create_table(
        "projects",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("reference", sa.String(length=200), nullable=True),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("specification_id", sa.Uuid(), nullable=True),
        sa.Column("catalogue_id", sa.Uuid(), nullable=True),
        sa.Column("repeat", sa.Integer(), nullable=False),
        sa.Column("notes", sa.String(length=10000), nullable=True),
        sa.Column("climate", sa.JSON(), nullable=True),
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_projects_name_allowed")),
        sa.CheckConstraint("length(notes) BETWEEN 0 AND 10000", name=op.f("ck_projects_notes_allowed")),
        sa.CheckConstraint("length(reference) BETWEEN 1 AND 200", name=op.f("ck_projects_reference_allowed")),
        sa.CheckConstraint("repeat BETWEEN 1 AND 100000", name=op.f("ck_projects_repeat_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_projects_account_id_accounts")),
        sa.ForeignKeyConstraint(["catalogue_id"], ["catalogues.id"], name=op.f("fk_projects_catalogue_id_catalogues")),
        sa.ForeignKeyConstraint(
            ["specification_id"], ["specifications.id"], name=op.f("fk_projects_specification_id_specifications")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_projects")),
    )
    op.create_index(op.f("ix_projects_account_id_created_at_id"), "projects", ["account_id", "created_at", "id"])
    op.create_index(op.f("ix_projects_catalogue_id"), "projects", ["catalogue_id"])
    op.create_index(op.f("ix_projects_specification_id"), "projects", ["specification_id"])
    op.create_index(
        "uq_projects_reference",
        "projects",
        ["account_id", "reference"],
        unique=True,
        sqlite_where=sa.text("deleted_at IS NULL"),
        postgresql_where=sa.text("deleted_at IS NULL"),
    )

    op.create_table(
        "result_parts",
        sa.Column("result_id", sa.Uuid(), nullable=False),
        sa.Column("part", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["result_id"], ["results.id"], name=op.f("fk_result_parts_result_id_results"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("result_id", "part", "key", name=op.f("pk_result_parts")),
    )
    op.create_table(
        "rooms",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("storey", sa.String(length=100), nullable=True),
        sa.Column("ceiling_height_mm", sa.Integer(), nullable=False),
        sa.Column("closed", sa.Boolean(), nullable=False),
        sa.Column("floor", sa.String(length=32), nullable=False),
        sa.Column("ceiling", sa.String(length=32), nullable=False),
        sa.Column("position", sa.Float(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("ceiling IN ('timber', 'concrete')", name=op.f("ck_rooms_ceiling_allowed")),
        sa.CheckConstraint("floor IN ('timber', 'concrete')", name=op.f("ck_rooms_floor_allowed")),
        sa.CheckConstraint("ceiling_height_mm BETWEEN 1 AND 100000", name=op.f("ck_rooms_ceiling_height_mm_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_rooms_name_allowed")),
        sa.CheckConstraint("length(storey) BETWEEN 1 AND 100", name=op.f("ck_rooms_storey_allowed")),
        sa.CheckConstraint("position BETWEEN -1000000000000.0 AND 1000000000000.0", name=op.f("ck_rooms_position_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_rooms_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_rooms_project_id_projects")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rooms")),
    )
    op.create_index(op.f("ix_rooms_project_id_position_id"), "rooms", ["project_id", "position", "id"])
    op.create_index(op.f("ix_rooms_project_id_version"), "rooms", ["project_id", "version"], unique=True)

    op.create_table(
        "takeoffs",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=True),
        sa.Column("result_id", sa.Uuid(), nullable=False),
        sa.Column("digest", sa.String(length=80), nullable=False),
        sa.Column("inputs", sa.JSON(), nullable=False),
        sa.Column("options", sa.JSON(), nullable=False),
        sa.Column("id_map", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_takeoffs_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_takeoffs_project_id_projects")),
        sa.ForeignKeyConstraint(["result_id"], ["results.id"], name=op.f("fk_takeoffs_result_id_results")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_takeoffs")),
    )
    op.create_index(op.f("ix_takeoffs_account_id_created_at_id"), "takeoffs", ["account_id", "created_at", "id"])
    op.create_index(op.f("ix_takeoffs_project_id_created_at_id"), "takeoffs", ["project_id", "created_at", "id"])
    op.create_index(op.f("ix_takeoffs_result_id"), "takeoffs", ["result_id"])

    op.create_table(
        "walls",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("room_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("height_left_mm", sa.Integer(), nullable=True),
        sa.Column("height_right_mm", sa.Integer(), nullable=True),
        sa.Column("floor_left_mm", sa.Integer(), nullable=False),
        sa.Column("floor_right_mm", sa.Integer(), nullable=False),
        sa.Column("lined", sa.Boolean(), nullable=False),
        sa.Column("corner_deg", sa.Float(), nullable=False),
        sa.Column("substrate", sa.String(length=32), nullable=False),
        sa.Column("thickness_mm", sa.Float(), nullable=False),
        sa.Column("proud_mm", sa.Integer(), nullable=False),
        sa.Column("frame_offset_mm", sa.Integer(), nullable=True),
        sa.Column("position", sa.Float(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "substrate IN ('solid_brick', 'cavity_brick', 'stone', 'concrete_block', 'dense_concrete', 'timber_frame', 'other')",
            name=op.f("ck_walls_substrate_allowed"),
        ),
        sa.CheckConstraint("corner_deg BETWEEN 30 AND 330", name=op.f("ck_walls_corner_deg_allowed")),
        sa.CheckConstraint("floor_left_mm BETWEEN -100000 AND 100000", name=op.f("ck_walls_floor_left_mm_allowed")),
        sa.CheckConstraint("floor_right_mm BETWEEN -100000 AND 100000", name=op.f("ck_walls_floor_right_mm_allowed")),
        sa.CheckConstraint("frame_offset_mm BETWEEN 20 AND 1000", name=op.f("ck_walls_frame_offset_mm_allowed")),
        sa.CheckConstraint("height_left_mm BETWEEN 0 AND 100000", name=op.f("ck_walls_height_left_mm_allowed")),
        sa.CheckConstraint("height_right_mm BETWEEN 0 AND 100000", name=op.f("ck_walls_height_right_mm_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_walls_name_allowed")),
        sa.CheckConstraint("length_mm BETWEEN 1 AND 100000", name=op.f("ck_walls_length_mm_allowed")),
        sa.CheckConstraint("position BETWEEN -1000000000000.0 AND 1000000000000.0", name=op.f("ck_walls_position_allowed")),
        sa.CheckConstraint("proud_mm BETWEEN 0 AND 1000", name=op.f("ck_walls_proud_mm_allowed")),
        sa.CheckConstraint("thickness_mm BETWEEN 1 AND 10000", name=op.f("ck_walls_thickness_mm_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_walls_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_walls_project_id_projects")),
        sa.ForeignKeyConstraint(["room_id"], ["rooms.id"], name=op.f("fk_walls_room_id_rooms")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_walls")),
    )
    op.create_index(op.f("ix_walls_project_id_version"), "walls", ["project_id", "version"], unique=True)
    op.create_index(op.f("ix_walls_room_id_position_id"), "walls", ["room_id", "position", "id"])

    op.create_table(
        "features",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("wall_id", sa.Uuid(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("x_mm", sa.Integer(), nullable=False),
        sa.Column("y_mm", sa.Integer(), nullable=False),
        sa.Column("width_mm", sa.Integer(), nullable=True),
        sa.Column("height_mm", sa.Integer(), nullable=True),
        sa.Column("mass_kg", sa.Float(), nullable=True),
        sa.Column("position", sa.Float(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "kind IN ('socket', 'switch', 'pipe', 'radiator', 'heavy_item', 'vent')", name=op.f("ck_features_kind_allowed")
        ),
        sa.CheckConstraint("height_mm BETWEEN 1 AND 100000", name=op.f("ck_features_height_mm_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_features_name_allowed")),
        sa.CheckConstraint("mass_kg BETWEEN 0 AND 10000", name=op.f("ck_features_mass_kg_allowed")),
        sa.CheckConstraint("position BETWEEN -1000000000000.0 AND 1000000000000.0", name=op.f("ck_features_position_allowed")),
        sa.CheckConstraint("width_mm BETWEEN 1 AND 100000", name=op.f("ck_features_width_mm_allowed")),
        sa.CheckConstraint("x_mm BETWEEN 0 AND 100000", name=op.f("ck_features_x_mm_allowed")),
        sa.CheckConstraint("y_mm BETWEEN -100000 AND 100000", name=op.f("ck_features_y_mm_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_features_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_features_project_id_projects")),
        sa.ForeignKeyConstraint(["wall_id"], ["walls.id"], name=op.f("fk_features_wall_id_walls")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_features")),
    )
    op.create_index(op.f("ix_features_project_id_version"), "features", ["project_id", "version"], unique=True)
    op.create_index(op.f("ix_features_wall_id_position_id"), "features", ["wall_id", "position", "id"])

    op.create_table(
        "openings",
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.Column("account_id", sa.Uuid(), nullable=False),
        sa.Column("project_id", sa.Uuid(), nullable=False),
        sa.Column("wall_id", sa.Uuid(), nullable=False),
        sa.Column("kind", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=True),
        sa.Column("offset_mm", sa.Integer(), nullable=False),
        sa.Column("width_mm", sa.Integer(), nullable=False),
        sa.Column("sill_mm", sa.Integer(), nullable=False),
        sa.Column("height_mm", sa.Integer(), nullable=False),
        sa.Column("reveal_depth_mm", sa.Integer(), nullable=False),
        sa.Column("board_sill", sa.Boolean(), nullable=False),
        sa.Column("frame_margin_mm", sa.Integer(), nullable=True),
        sa.Column("position", sa.Float(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("field_versions", sa.JSON(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deleted_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("kind IN ('window', 'door', 'opening', 'hearth')", name=op.f("ck_openings_kind_allowed")),
        sa.CheckConstraint("frame_margin_mm BETWEEN 0 AND 1000", name=op.f("ck_openings_frame_margin_mm_allowed")),
        sa.CheckConstraint("height_mm BETWEEN 1 AND 100000", name=op.f("ck_openings_height_mm_allowed")),
        sa.CheckConstraint("length(name) BETWEEN 1 AND 200", name=op.f("ck_openings_name_allowed")),
        sa.CheckConstraint("offset_mm BETWEEN 0 AND 100000", name=op.f("ck_openings_offset_mm_allowed")),
        sa.CheckConstraint("position BETWEEN -1000000000000.0 AND 1000000000000.0", name=op.f("ck_openings_position_allowed")),
        sa.CheckConstraint("reveal_depth_mm BETWEEN 0 AND 100000", name=op.f("ck_openings_reveal_depth_mm_allowed")),
        sa.CheckConstraint("sill_mm BETWEEN -100000 AND 100000", name=op.f("ck_openings_sill_mm_allowed")),
        sa.CheckConstraint("width_mm BETWEEN 1 AND 100000", name=op.f("ck_openings_width_mm_allowed")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_openings_account_id_accounts")),
        sa.ForeignKeyConstraint(["project_id"], ["projects.id"], name=op.f("fk_openings_project_id_projects")),
        sa.ForeignKeyConstraint(["wall_id"], ["walls.id"], name=op.f("fk_openings_wall_id_walls")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_openings")),
    )
    op.create_index(op.f("ix_openings_project_id_version"), "openings", ["project_id", "version"], unique=True)
    op.create_index(op.f("ix_openings_wall_id_position_id"), "openings", ["wall_id", "position", "id"])


def downgrade() -> None:
    for table in (
        "openings",
        "features",
        "walls",
        "takeoffs",
        "rooms",
        "result_parts",
        "projects",
        "catalogue_items",
        "specifications",
        "results",
        "catalogues",
        "api_keys",
        "accounts",
    ):
        op.drop_table(table)
