"""The tables of the working day, and triggers that keep what is recorded.

As long as the tables are: a migration is a frozen record, and splitting one would leave a shop halfway between.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes the tables, then the triggers."""
    op.create_table(
        "bag_type",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("width_mm", sa.Integer(), nullable=False),
        sa.Column("height_mm", sa.Integer(), nullable=False),
        sa.Column("usable_volume_mm3", sa.Integer(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("tare_sd_g", sa.Float(), nullable=False),
        sa.Column("max_load_g", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("height_mm > 0 AND height_mm < 1e18", name=op.f("ck_bag_type_height_mm_above_zero")),
        sa.CheckConstraint("max_load_g > 0 AND max_load_g < 1e18", name=op.f("ck_bag_type_max_load_g_above_zero")),
        sa.CheckConstraint("tare_g > 0 AND tare_g < 1e18", name=op.f("ck_bag_type_tare_g_above_zero")),
        sa.CheckConstraint("tare_sd_g >= 0 AND tare_sd_g < 1e18", name=op.f("ck_bag_type_tare_sd_g_not_negative")),
        sa.CheckConstraint(
            "usable_volume_mm3 > 0 AND usable_volume_mm3 < 1e18", name=op.f("ck_bag_type_usable_volume_mm3_above_zero")
        ),
        sa.CheckConstraint("width_mm > 0 AND width_mm < 1e18", name=op.f("ck_bag_type_width_mm_above_zero")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_bag_type")),
    )
    op.create_table(
        "box_type",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("width_mm", sa.Integer(), nullable=False),
        sa.Column("height_mm", sa.Integer(), nullable=False),
        sa.Column("wall_mm", sa.Integer(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("tare_sd_g", sa.Float(), nullable=False),
        sa.Column("max_load_g", sa.BigInteger(), nullable=False),
        sa.Column("fill_fraction", sa.Float(), nullable=False),
        sa.CheckConstraint("fill_fraction <= 1", name=op.f("ck_box_type_fill_fraction_at_most_1")),
        sa.CheckConstraint(
            "fill_fraction > 0 AND fill_fraction < 1e18", name=op.f("ck_box_type_fill_fraction_above_zero")
        ),
        sa.CheckConstraint("height_mm > 0 AND height_mm < 1e18", name=op.f("ck_box_type_height_mm_above_zero")),
        sa.CheckConstraint("length_mm > 0 AND length_mm < 1e18", name=op.f("ck_box_type_length_mm_above_zero")),
        sa.CheckConstraint("max_load_g > 0 AND max_load_g < 1e18", name=op.f("ck_box_type_max_load_g_above_zero")),
        sa.CheckConstraint("tare_g > 0 AND tare_g < 1e18", name=op.f("ck_box_type_tare_g_above_zero")),
        sa.CheckConstraint("tare_sd_g >= 0 AND tare_sd_g < 1e18", name=op.f("ck_box_type_tare_sd_g_not_negative")),
        sa.CheckConstraint("wall_mm >= 0 AND wall_mm < 1e18", name=op.f("ck_box_type_wall_mm_not_negative")),
        sa.CheckConstraint("width_mm > 0 AND width_mm < 1e18", name=op.f("ck_box_type_width_mm_above_zero")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_box_type")),
    )
    op.create_table(
        "counter",
        sa.Column("series", sa.String(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.CheckConstraint("last BETWEEN 1 AND 999999999", name=op.f("ck_counter_last_range")),
        sa.PrimaryKeyConstraint("series", name=op.f("pk_counter")),
    )
    op.create_table(
        "customer_order",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("received_at", sa.DateTime(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("company", sa.String(), nullable=False),
        sa.Column("street", sa.String(), nullable=False),
        sa.Column("city", sa.String(), nullable=False),
        sa.Column("post_code", sa.String(), nullable=False),
        sa.Column("region", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("ship_complete", sa.Boolean(), nullable=False),
        sa.Column("note_picker", sa.String(), nullable=False),
        sa.Column("note_packer", sa.String(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("held_reason", sa.String(), nullable=False),
        sa.Column("content_digest", sa.String(), server_default="", nullable=False),
        sa.CheckConstraint(
            "state IN ('received', 'allocated', 'released', 'picked', 'checked', 'packed',"
            " 'shipped', 'held', 'cancelled')",
            name=op.f("ck_customer_order_state_word"),
        ),
        sa.CheckConstraint("length(country) = 2", name=op.f("ck_customer_order_country_shape")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_customer_order")),
    )
    with op.batch_alter_table("customer_order", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_customer_order_state_received_at"), ["state", "received_at"], unique=False)

    op.create_table(
        "imported_file",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_imported_file_digest_length")),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_imported_file")),
    )
    with op.batch_alter_table("imported_file", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_imported_file_name_at"), ["name", "at"], unique=False)

    op.create_table(
        "journal_entry",
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("particulars", sa.String(), nullable=False),
        sa.Column("is_simulated", sa.Boolean(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal_entry")),
    )
    with op.batch_alter_table("journal_entry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_journal_entry_event_at"), ["event", "at"], unique=False)
        batch_op.create_index(batch_op.f("ix_journal_entry_subject"), ["subject"], unique=False)

    op.create_table(
        "manifest",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("closed_at", sa.DateTime(), nullable=True),
        sa.Column("closed_by", sa.String(), nullable=False),
        sa.Column("packages", sa.Integer(), nullable=False),
        sa.Column("weight_g", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("state = 'open' OR closed_at IS NOT NULL", name=op.f("ck_manifest_closed_has_time")),
        sa.CheckConstraint("state IN ('open', 'closed')", name=op.f("ck_manifest_state_word")),
        sa.CheckConstraint("packages BETWEEN 0 AND 999999999", name=op.f("ck_manifest_packages_range")),
        sa.CheckConstraint("weight_g >= 0 AND weight_g < 1e18", name=op.f("ck_manifest_weight_g_not_negative")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_manifest")),
    )
    with op.batch_alter_table("manifest", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_manifest_day_service_code"), ["day", "service_code"], unique=False)

    op.create_table(
        "part",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("description", sa.String(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("size", sa.String(), nullable=False),
        sa.Column("finish", sa.String(), nullable=False),
        sa.Column("bulk_volume_mm3", sa.Float(), nullable=False),
        sa.Column("longest_mm", sa.Integer(), nullable=False),
        sa.Column("supply", sa.String(length=20), nullable=False),
        sa.Column("supplier", sa.String(), nullable=False),
        sa.Column("hazards", sa.String(), nullable=False),
        sa.Column("customs_description", sa.String(), nullable=False),
        sa.Column("hs_code", sa.String(), nullable=False),
        sa.Column("origin", sa.String(), nullable=False),
        sa.Column("price_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("photo_path", sa.String(), nullable=False),
        sa.Column("is_retired", sa.Boolean(), nullable=False),
        sa.CheckConstraint("supply IN ('make', 'buy')", name=op.f("ck_part_supply_word")),
        sa.CheckConstraint(
            "bulk_volume_mm3 > 0 AND bulk_volume_mm3 < 1e18", name=op.f("ck_part_bulk_volume_mm3_above_zero")
        ),
        sa.CheckConstraint("longest_mm BETWEEN 1 AND 999999999", name=op.f("ck_part_longest_mm_range")),
        sa.CheckConstraint("price_minor BETWEEN 0 AND 999999999", name=op.f("ck_part_price_minor_range")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_part")),
    )
    op.create_table(
        "plan",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("wave", sa.Integer(), nullable=False),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("one_by_one_mm", sa.Integer(), nullable=False),
        sa.Column("bound_mm", sa.Integer(), nullable=True),
        sa.Column("bound_is_closed", sa.Boolean(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.CheckConstraint("bound_mm >= 0 AND bound_mm < 1e18", name=op.f("ck_plan_bound_mm_not_negative")),
        sa.CheckConstraint("length_mm >= 0 AND length_mm < 1e18", name=op.f("ck_plan_length_mm_not_negative")),
        sa.CheckConstraint(
            "one_by_one_mm >= 0 AND one_by_one_mm < 1e18", name=op.f("ck_plan_one_by_one_mm_not_negative")
        ),
        sa.CheckConstraint("wave BETWEEN 1 AND 9999", name=op.f("ck_plan_wave_range")),
        sa.PrimaryKeyConstraint("day", "wave", name=op.f("pk_plan")),
    )
    op.create_table(
        "room_element",
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("x_mm", sa.Integer(), nullable=False),
        sa.Column("y_mm", sa.Integer(), nullable=False),
        sa.Column("from_name", sa.String(), nullable=False),
        sa.Column("to_name", sa.String(), nullable=False),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("is_one_way", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('aisle', 'cross-aisle', 'bench', 'corner', 'passage')", name=op.f("ck_room_element_kind_word")
        ),
        sa.CheckConstraint("length_mm >= 0 AND length_mm < 1e18", name=op.f("ck_room_element_length_mm_not_negative")),
        sa.CheckConstraint("x_mm >= 0 AND x_mm < 1e18", name=op.f("ck_room_element_x_mm_not_negative")),
        sa.CheckConstraint("y_mm >= 0 AND y_mm < 1e18", name=op.f("ck_room_element_y_mm_not_negative")),
        sa.PrimaryKeyConstraint("kind", "name", name=op.f("pk_room_element")),
    )
    op.create_table(
        "scale",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("accuracy_class", sa.String(), nullable=False),
        sa.Column("e_g", sa.BigInteger(), nullable=False),
        sa.Column("d_g", sa.BigInteger(), nullable=False),
        sa.Column("max_g", sa.BigInteger(), nullable=False),
        sa.Column("min_g", sa.BigInteger(), nullable=False),
        sa.Column("repeatability_g", sa.Float(), nullable=False),
        sa.Column("use", sa.String(), nullable=False),
        sa.CheckConstraint("accuracy_class IN ('I', 'II', 'III', 'IIII')", name=op.f("ck_scale_class_word")),
        sa.CheckConstraint("d_g <= e_g", name=op.f("ck_scale_interval_order")),
        sa.CheckConstraint("d_g > 0 AND d_g < 1e18", name=op.f("ck_scale_d_g_above_zero")),
        sa.CheckConstraint("e_g > 0 AND e_g < 1e18", name=op.f("ck_scale_e_g_above_zero")),
        sa.CheckConstraint("max_g > 0 AND max_g < 1e18", name=op.f("ck_scale_max_g_above_zero")),
        sa.CheckConstraint("min_g < max_g", name=op.f("ck_scale_range_order")),
        sa.CheckConstraint("min_g >= 0 AND min_g < 1e18", name=op.f("ck_scale_min_g_not_negative")),
        sa.CheckConstraint(
            "repeatability_g >= 0 AND repeatability_g < 1e18", name=op.f("ck_scale_repeatability_g_not_negative")
        ),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_scale")),
    )
    op.create_table(
        "service",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("countries", sa.String(), nullable=False),
        sa.Column("cut_off", sa.Time(), nullable=False),
        sa.Column("max_weight_g", sa.BigInteger(), nullable=False),
        sa.Column("max_longest_mm", sa.Integer(), nullable=False),
        sa.Column("max_length_girth_mm", sa.Integer(), nullable=False),
        sa.Column("refuses", sa.String(), nullable=False),
        sa.CheckConstraint("kind IN ('parcel', 'postal')", name=op.f("ck_service_kind_word")),
        sa.CheckConstraint(
            "max_length_girth_mm >= 0 AND max_length_girth_mm < 1e18",
            name=op.f("ck_service_max_length_girth_mm_not_negative"),
        ),
        sa.CheckConstraint(
            "max_longest_mm >= 0 AND max_longest_mm < 1e18", name=op.f("ck_service_max_longest_mm_not_negative")
        ),
        sa.CheckConstraint(
            "max_weight_g >= 0 AND max_weight_g < 1e18", name=op.f("ck_service_max_weight_g_not_negative")
        ),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_service")),
    )
    op.create_table(
        "settings",
        sa.Column("shop_name", sa.String(), nullable=False),
        sa.Column("street", sa.String(), nullable=False),
        sa.Column("city", sa.String(), nullable=False),
        sa.Column("post_code", sa.String(), nullable=False),
        sa.Column("region", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("notice", sa.String(), nullable=False),
        sa.Column("time_zone", sa.String(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("printer_dpi", sa.Integer(), nullable=False),
        sa.Column("risk_pass", sa.Float(), nullable=False),
        sa.Column("risk_reject", sa.Float(), nullable=False),
        sa.Column("most_bags_per_line", sa.Integer(), nullable=False),
        sa.Column("cart_positions", sa.Integer(), nullable=False),
        sa.Column("cart_volume_mm3", sa.Integer(), nullable=False),
        sa.Column("paper", sa.String(length=20), nullable=False),
        sa.Column("cart_max_load_g", sa.BigInteger(), nullable=False),
        sa.Column("walk_m_per_s", sa.Float(), nullable=False),
        sa.Column("pick_seconds_per_line", sa.Float(), nullable=False),
        sa.Column("setup_seconds_per_walk", sa.Float(), nullable=False),
        sa.Column("lift_caution_g", sa.BigInteger(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.CheckConstraint("paper IN ('A4', 'Letter')", name=op.f("ck_settings_paper_word")),
        sa.CheckConstraint(
            "cart_max_load_g > 0 AND cart_max_load_g < 1e18", name=op.f("ck_settings_cart_max_load_g_above_zero")
        ),
        sa.CheckConstraint("id = 1", name=op.f("ck_settings_one_row")),
        sa.CheckConstraint(
            "lift_caution_g > 0 AND lift_caution_g < 1e18", name=op.f("ck_settings_lift_caution_g_above_zero")
        ),
        sa.CheckConstraint("risk_pass < 0.5 AND risk_reject < 0.5", name=op.f("ck_settings_risks_below_half")),
        sa.CheckConstraint("risk_pass > 0 AND risk_pass < 1e18", name=op.f("ck_settings_risk_pass_above_zero")),
        sa.CheckConstraint("risk_reject > 0 AND risk_reject < 1e18", name=op.f("ck_settings_risk_reject_above_zero")),
        sa.CheckConstraint(
            "walk_m_per_s > 0 AND walk_m_per_s < 1e18", name=op.f("ck_settings_walk_m_per_s_above_zero")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_settings")),
    )
    op.create_table(
        "walk",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("orders", sa.Integer(), nullable=False),
        sa.Column("stops", sa.Integer(), nullable=False),
        sa.Column("released_at", sa.DateTime(), nullable=True),
        sa.CheckConstraint("length_mm >= 0 AND length_mm < 1e18", name=op.f("ck_walk_length_mm_not_negative")),
        sa.CheckConstraint("orders > 0 AND orders < 1e18", name=op.f("ck_walk_orders_above_zero")),
        sa.CheckConstraint("stops > 0 AND stops < 1e18", name=op.f("ck_walk_stops_above_zero")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_walk")),
    )
    with op.batch_alter_table("walk", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_walk_day"), ["day"], unique=False)

    op.create_table(
        "weighing",
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("indication_g", sa.BigInteger(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("verdict", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("is_simulated", sa.Boolean(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('bag', 'package', 'sample', 'check weight')", name=op.f("ck_weighing_kind_word")),
        sa.CheckConstraint("verdict IN ('passed', 'recount', 'look', 'stop')", name=op.f("ck_weighing_verdict_word")),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_weighing_pieces_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weighing")),
    )
    with op.batch_alter_table("weighing", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_weighing_subject_kind"), ["subject", "kind"], unique=False)

    op.create_table(
        "bin",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("aisle", sa.String(), nullable=False),
        sa.Column("side", sa.String(length=20), nullable=False),
        sa.Column("section", sa.Integer(), nullable=False),
        sa.Column("level", sa.Integer(), nullable=False),
        sa.Column("y_mm", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("side IN ('left', 'right')", name=op.f("ck_bin_side_word")),
        sa.CheckConstraint("level >= 0 AND level < 1e18", name=op.f("ck_bin_level_not_negative")),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_bin_pieces_range")),
        sa.CheckConstraint("section >= 0 AND section < 1e18", name=op.f("ck_bin_section_not_negative")),
        sa.CheckConstraint("y_mm >= 0 AND y_mm < 1e18", name=op.f("ck_bin_y_mm_not_negative")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_bin_part_number")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_bin")),
    )
    with op.batch_alter_table("bin", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bin_part_number"), ["part_number"], unique=False)

    op.create_table(
        "order_line",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("unit_price_minor", sa.Integer(), nullable=False),
        sa.Column("short_pieces", sa.Integer(), nullable=False),
        sa.Column("cancelled_pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "cancelled_pieces BETWEEN 0 AND 999999999", name=op.f("ck_order_line_cancelled_pieces_range")
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999", name=op.f("ck_order_line_pieces_range")),
        sa.CheckConstraint(
            "short_pieces + cancelled_pieces <= pieces", name=op.f("ck_order_line_short_at_most_ordered")
        ),
        sa.CheckConstraint("short_pieces BETWEEN 0 AND 999999999", name=op.f("ck_order_line_short_pieces_range")),
        sa.CheckConstraint(
            "unit_price_minor BETWEEN 0 AND 999999999", name=op.f("ck_order_line_unit_price_minor_range")
        ),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_order_line_order_number")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_order_line_part_number")),
        sa.PrimaryKeyConstraint("order_number", "line_no", name=op.f("pk_order_line")),
    )
    with op.batch_alter_table("order_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_line_part_number"), ["part_number"], unique=False)

    op.create_table(
        "package",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("box_type", sa.String(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("expected_g", sa.BigInteger(), nullable=False),
        sa.Column("lower_g", sa.BigInteger(), nullable=False),
        sa.Column("upper_g", sa.BigInteger(), nullable=False),
        sa.Column("gross_g", sa.BigInteger(), nullable=True),
        sa.Column("visible_from_g", sa.BigInteger(), nullable=False),
        sa.Column("manifest_number", sa.String(), nullable=False),
        sa.Column("sealed_at", sa.DateTime(), nullable=True),
        sa.CheckConstraint("state IN ('planned', 'stop', 'sealed', 'shipped')", name=op.f("ck_package_state_word")),
        sa.CheckConstraint("expected_g > 0 AND expected_g < 1e18", name=op.f("ck_package_expected_g_above_zero")),
        sa.CheckConstraint("lower_g <= upper_g", name=op.f("ck_package_window_order")),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_package_order_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_package")),
    )
    with op.batch_alter_table("package", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_package_manifest_number"), ["manifest_number"], unique=False)
        batch_op.create_index(batch_op.f("ix_package_order_number"), ["order_number"], unique=False)

    op.create_table(
        "stock_entry",
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN -999999999 AND 999999999", name=op.f("ck_stock_entry_pieces_range")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_stock_entry_part_number")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_entry")),
    )
    with op.batch_alter_table("stock_entry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stock_entry_bin_code"), ["bin_code"], unique=False)
        batch_op.create_index(batch_op.f("ix_stock_entry_part_number"), ["part_number"], unique=False)

    op.create_table(
        "unit_weight",
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("mean_g", sa.Float(), nullable=False),
        sa.Column("u_g", sa.Float(), nullable=False),
        sa.Column("piece_sd_g", sa.Float(), nullable=False),
        sa.Column("sample_pieces", sa.Integer(), nullable=False),
        sa.Column("source", sa.String(length=20), nullable=False),
        sa.Column("as_of", sa.Date(), nullable=True),
        sa.CheckConstraint(
            "source IN ('sampled', 'geometry', 'handbook', 'supplier')", name=op.f("ck_unit_weight_source_word")
        ),
        sa.CheckConstraint("mean_g > 0 AND mean_g < 1e18", name=op.f("ck_unit_weight_mean_g_above_zero")),
        sa.CheckConstraint(
            "piece_sd_g >= 0 AND piece_sd_g < 1e18", name=op.f("ck_unit_weight_piece_sd_g_not_negative")
        ),
        sa.CheckConstraint("sample_pieces BETWEEN 0 AND 999999999", name=op.f("ck_unit_weight_sample_pieces_range")),
        sa.CheckConstraint("u_g >= 0 AND u_g < 1e18", name=op.f("ck_unit_weight_u_g_not_negative")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_unit_weight_part_number")),
        sa.PrimaryKeyConstraint("part_number", "lot", name=op.f("pk_unit_weight")),
    )
    op.create_table(
        "allocation",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_allocation_pieces_range")),
        sa.ForeignKeyConstraint(["bin_code"], ["bin.code"], name=op.f("fk_allocation_bin_code")),
        sa.ForeignKeyConstraint(
            ["order_number", "line_no"],
            ["order_line.order_number", "order_line.line_no"],
            name=op.f("fk_allocation_order_number_line_no"),
        ),
        sa.PrimaryKeyConstraint("order_number", "line_no", "bin_code", name=op.f("pk_allocation")),
    )
    with op.batch_alter_table("allocation", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_allocation_bin_code"), ["bin_code"], unique=False)

    op.create_table(
        "bag",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("bag_type", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("cart_position", sa.Integer(), nullable=False),
        sa.Column("stop_no", sa.Integer(), nullable=False),
        sa.Column("method", sa.String(length=20), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("target_g", sa.BigInteger(), nullable=True),
        sa.Column("lower_g", sa.BigInteger(), nullable=True),
        sa.Column("upper_g", sa.BigInteger(), nullable=True),
        sa.Column("p_reject", sa.Float(), nullable=True),
        sa.Column("p_pass_one_short", sa.Float(), nullable=True),
        sa.Column("p_pass_one_over", sa.Float(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("checks", sa.Integer(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.CheckConstraint("method IN ('weigh', 'count by hand')", name=op.f("ck_bag_method_word")),
        sa.CheckConstraint(
            "state IN ('planned', 'passed', 'recount', 'look', 'stop', 'packed')", name=op.f("ck_bag_state_word")
        ),
        sa.CheckConstraint("checks BETWEEN 0 AND 999999999", name=op.f("ck_bag_checks_range")),
        sa.CheckConstraint("lower_g <= upper_g", name=op.f("ck_bag_window_order")),
        sa.CheckConstraint(
            "p_reject <= 1 AND p_pass_one_short <= 1 AND p_pass_one_over <= 1",
            name=op.f("ck_bag_risks_are_probabilities"),
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_bag_pieces_range")),
        sa.CheckConstraint("tare_g > 0 AND tare_g < 1e18", name=op.f("ck_bag_tare_g_above_zero")),
        sa.ForeignKeyConstraint(
            ["order_number", "line_no"],
            ["order_line.order_number", "order_line.line_no"],
            name=op.f("fk_bag_order_number_line_no"),
        ),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_bag_part_number")),
        sa.ForeignKeyConstraint(["walk_number"], ["walk.number"], name=op.f("fk_bag_walk_number")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_bag")),
    )
    with op.batch_alter_table("bag", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bag_order_number_line_no"), ["order_number", "line_no"], unique=False)
        batch_op.create_index(batch_op.f("ix_bag_package_number"), ["package_number"], unique=False)
        batch_op.create_index(batch_op.f("ix_bag_walk_number"), ["walk_number"], unique=False)
    _keep_what_is_recorded()


def _keep_what_is_recorded() -> None:
    """Rows of the ledger, the journal, the weighings and closed manifests are never changed nor removed."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "CREATE FUNCTION recorded_rows_stay() RETURNS trigger AS $$"
            " BEGIN RAISE EXCEPTION 'recorded rows stay as they are' USING ERRCODE = 'integrity_constraint_violation';"
            " END $$ LANGUAGE plpgsql"
        )
    for table in ("stock_entry", "weighing", "journal_entry"):
        for event in ("UPDATE", "DELETE"):
            _refuse(table, event, "")
    for event in ("UPDATE", "DELETE"):
        _refuse("manifest", event, "OLD.state = 'closed'")
    shipped = "OLD.manifest_number IN (SELECT number FROM manifest WHERE state = 'closed')"
    if op.get_bind().dialect.name == "postgresql":
        return
    moved = "(NEW.manifest_number <> OLD.manifest_number OR NEW.gross_g IS NOT OLD.gross_g)"
    _refuse("package", "UPDATE", f"{shipped} AND {moved}")
    _refuse("package", "DELETE", shipped)


def _refuse(table: str, event: str, when: str) -> None:
    name = f"{table}_stays_{event.lower()}"
    condition = f" WHEN ({when})" if when else ""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
            " EXECUTE FUNCTION recorded_rows_stay()"
        )
    else:
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
            " BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
        )
