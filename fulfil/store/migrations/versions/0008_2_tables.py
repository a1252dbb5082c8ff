"""The schema of the first release, second part."""

import sqlalchemy as sa
from alembic import op

revision = "0008.2"
down_revision = "0008.1"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes the tables."""
    op.create_table(
        "return_notice",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("received_at", sa.DateTime(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('return', 'correction')", name=op.f("ck_return_notice_kind_word")),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_return_notice_amount_minor_range")
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_return_notice_pieces_range")),
        sa.PrimaryKeyConstraint("number", "line_no", name=op.f("pk_return_notice")),
    )
    op.create_index(op.f("ix_return_notice_part_number"), "return_notice", ["part_number"], unique=False)
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
        "scale_standing",
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("checked_at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("has_passed", sa.Boolean(), nullable=False),
        sa.Column("worst_share", sa.Float(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.CheckConstraint(
            "worst_share >= 0 AND worst_share < 1e18", name=op.f("ck_scale_standing_worst_share_not_negative")
        ),
        sa.PrimaryKeyConstraint("scale_code", name=op.f("pk_scale_standing")),
    )
    op.create_table(
        "sdr_rate",
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("as_of", sa.Date(), nullable=False),
        sa.Column("per_sdr", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("currency", "as_of", name=op.f("pk_sdr_rate")),
    )
    op.create_table(
        "service",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("countries", sa.String(), nullable=False),
        sa.Column("cut_off", sa.Time(), nullable=False),
        sa.Column("max_longest_mm", sa.Integer(), nullable=False),
        sa.Column("max_length_girth_mm", sa.Integer(), nullable=False),
        sa.Column("refuses", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("max_weight_g", sa.BigInteger(), nullable=False),
        sa.Column("size_preset", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.Column("collection_days", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.Column("divisor_cm3_per_kg", sa.Integer(), server_default=sa.text("'0'"), nullable=False),
        sa.Column("side_rounding", sa.String(length=20), server_default=sa.text("'none'"), nullable=False),
        sa.Column("side_step_mm", sa.Integer(), server_default=sa.text("'10'"), nullable=False),
        sa.Column("weight_step_g", sa.Integer(), server_default=sa.text("'1'"), nullable=False),
        sa.Column("least_charge_g", sa.Integer(), server_default=sa.text("'0'"), nullable=False),
        sa.CheckConstraint("kind IN ('parcel', 'postal')", name=op.f("ck_service_kind_word")),
        sa.CheckConstraint("side_rounding IN ('none', 'up', 'half-up')", name=op.f("ck_service_side_rounding_word")),
        sa.CheckConstraint(
            "divisor_cm3_per_kg >= 0 AND divisor_cm3_per_kg < 1e18",
            name=op.f("ck_service_divisor_cm3_per_kg_not_negative"),
        ),
        sa.CheckConstraint(
            "least_charge_g >= 0 AND least_charge_g < 1e18", name=op.f("ck_service_least_charge_g_not_negative")
        ),
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
        sa.CheckConstraint("side_step_mm > 0 AND side_step_mm < 1e18", name=op.f("ck_service_side_step_mm_above_zero")),
        sa.CheckConstraint(
            "weight_step_g > 0 AND weight_step_g < 1e18", name=op.f("ck_service_weight_step_g_above_zero")
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
        sa.Column("allocation_rule", sa.String(), server_default=sa.text("'first come'"), nullable=False),
        sa.Column("service_level", sa.Float(), server_default=sa.text("'0.95'"), nullable=False),
        sa.Column("make_days", sa.Integer(), server_default=sa.text("'1'"), nullable=False),
        sa.Column("buy_days", sa.Integer(), server_default=sa.text("'10'"), nullable=False),
        sa.Column("reach_seconds_by_level", sa.String(), server_default=sa.text("'2 1 2 4'"), nullable=False),
        sa.Column("search_seconds_per_line", sa.Float(), server_default=sa.text("'3.0'"), nullable=False),
        sa.Column("check_and_pack_minutes", sa.Integer(), server_default=sa.text("'30'"), nullable=False),
        sa.Column("terms_of_delivery", sa.String(), server_default=sa.text("'DAP'"), nullable=False),
        sa.Column("named_place", sa.String(), server_default=sa.text("''"), nullable=False),
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
        "settlement",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("difference", sa.String(), nullable=False),
        sa.Column("outcome", sa.String(length=20), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("outcome IN ('settled', 'carried over')", name=op.f("ck_settlement_outcome_word")),
        sa.PrimaryKeyConstraint("day", "difference", name=op.f("pk_settlement")),
    )
    op.create_index(op.f("ix_settlement_difference"), "settlement", ["difference"], unique=False)
    op.create_table(
        "surcharge",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("post_codes", sa.String(), nullable=False),
        sa.Column("basis_points", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("amount_minor BETWEEN 0 AND 999999999", name=op.f("ck_surcharge_amount_minor_range")),
        sa.CheckConstraint("basis_points BETWEEN 0 AND 99999", name=op.f("ck_surcharge_basis_points_range")),
        sa.PrimaryKeyConstraint(
            "service_code", "valid_from", "name", "country", "post_codes", name=op.f("pk_surcharge")
        ),
    )
    op.create_table(
        "walk",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("length_mm", sa.Integer(), nullable=False),
        sa.Column("orders", sa.Integer(), nullable=False),
        sa.Column("stops", sa.Integer(), nullable=False),
        sa.Column("released_at", sa.DateTime(), nullable=True),
        sa.Column("wave", sa.Integer(), server_default=sa.text("'1'"), nullable=False),
        sa.CheckConstraint("length_mm >= 0 AND length_mm < 1e18", name=op.f("ck_walk_length_mm_not_negative")),
        sa.CheckConstraint("orders > 0 AND orders < 1e18", name=op.f("ck_walk_orders_above_zero")),
        sa.CheckConstraint("stops > 0 AND stops < 1e18", name=op.f("ck_walk_stops_above_zero")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_walk")),
    )
    op.create_index(op.f("ix_walk_day"), "walk", ["day"], unique=False)
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
        sa.Column("part_number", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.Column("was_counted", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('bag', 'package', 'sample', 'check weight', 'bulk')", name=op.f("ck_weighing_kind_word")
        ),
        sa.CheckConstraint("verdict IN ('passed', 'recount', 'look', 'stop')", name=op.f("ck_weighing_verdict_word")),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_weighing_pieces_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weighing")),
    )
    op.create_index(op.f("ix_weighing_part_number"), "weighing", ["part_number"], unique=False)
    op.create_index(op.f("ix_weighing_subject_kind"), "weighing", ["subject", "kind"], unique=False)
    op.create_table(
        "zone",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("service_code", "country", name=op.f("pk_zone")),
    )
    op.create_table(
        "bill_line",
        sa.Column("bill_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("billed_g", sa.BigInteger(), nullable=True),
        sa.Column("charge_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint(
            "charge_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_bill_line_charge_minor_range")
        ),
        sa.CheckConstraint("line_no BETWEEN 1 AND 999999999", name=op.f("ck_bill_line_line_no_range")),
        sa.ForeignKeyConstraint(["bill_number"], ["carrier_bill.number"], name=op.f("fk_bill_line_bill_number")),
        sa.PrimaryKeyConstraint("bill_number", "line_no", name=op.f("pk_bill_line")),
    )
    op.create_index(op.f("ix_bill_line_package_number"), "bill_line", ["package_number"], unique=False)
    op.create_table(
        "billed_surcharge",
        sa.Column("bill_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_billed_surcharge_amount_minor_range")
        ),
        sa.CheckConstraint("line_no BETWEEN 1 AND 999999999", name=op.f("ck_billed_surcharge_line_no_range")),
        sa.ForeignKeyConstraint(["bill_number"], ["carrier_bill.number"], name=op.f("fk_billed_surcharge_bill_number")),
        sa.PrimaryKeyConstraint("bill_number", "line_no", "name", name=op.f("pk_billed_surcharge")),
    )
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
    op.create_index(op.f("ix_bin_part_number"), "bin", ["part_number"], unique=False)
    op.create_table(
        "claim",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("cause", sa.String(length=20), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.CheckConstraint(
            "cause IN ('short', 'over', 'wrong part', 'damaged', 'missing', 'other')", name=op.f("ck_claim_cause_word")
        ),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_claim_pieces_range")),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_claim_order_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_claim")),
    )
    op.create_index(op.f("ix_claim_order_number"), "claim", ["order_number"], unique=False)
    op.create_table(
        "job",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("supply", sa.String(length=20), nullable=False),
        sa.Column("supplier", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("booked_pieces", sa.Integer(), nullable=False),
        sa.Column("due", sa.DateTime(), nullable=True),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("is_closed", sa.Boolean(), nullable=False),
        sa.CheckConstraint("supply IN ('make', 'buy')", name=op.f("ck_job_supply_word")),
        sa.CheckConstraint("booked_pieces BETWEEN 0 AND 999999999", name=op.f("ck_job_booked_pieces_range")),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_job_pieces_range")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_job_part_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_job")),
    )
    op.create_index(op.f("ix_job_part_number"), "job", ["part_number"], unique=False)
