"""The schema of the first release, first part: tables that others point to."""

import sqlalchemy as sa
from alembic import op

revision = "0008.1"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Makes the tables."""
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
        "bench_place",
        sa.Column("bench", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("last_bag_code", sa.String(), nullable=False),
        sa.Column("clear_run", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('check', 'pack')", name=op.f("ck_bench_place_kind_word")),
        sa.CheckConstraint("clear_run BETWEEN 0 AND 999999999", name=op.f("ck_bench_place_clear_run_range")),
        sa.PrimaryKeyConstraint("bench", name=op.f("pk_bench_place")),
    )
    op.create_index(
        op.f("ix_bench_place_order_in_hand"),
        "bench_place",
        ["kind", "order_number"],
        unique=True,
        sqlite_where=sa.text("order_number <> ''"),
        postgresql_where=sa.text("order_number <> ''"),
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
        sa.Column("cushioning_g", sa.BigInteger(), server_default=sa.text("'0'"), nullable=False),
        sa.Column("cushioning_sd_g", sa.Float(), server_default=sa.text("'0'"), nullable=False),
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
        "carrier_bill",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("file_name", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_carrier_bill")),
        sa.UniqueConstraint("digest", name=op.f("uq_carrier_bill_digest")),
    )
    op.create_table(
        "closed_day",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("ordered", sa.Integer(), nullable=False),
        sa.Column("shipped", sa.Integer(), nullable=False),
        sa.Column("packages", sa.Integer(), nullable=False),
        sa.Column("settled", sa.Integer(), nullable=False),
        sa.Column("carried_over", sa.Integer(), nullable=False),
        sa.CheckConstraint("carried_over BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_carried_over_range")),
        sa.CheckConstraint("ordered BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_ordered_range")),
        sa.CheckConstraint("packages BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_packages_range")),
        sa.CheckConstraint("settled BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_settled_range")),
        sa.CheckConstraint("shipped BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_shipped_range")),
        sa.PrimaryKeyConstraint("day", name=op.f("pk_closed_day")),
    )
    op.create_table(
        "counter",
        sa.Column("series", sa.String(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.CheckConstraint("last BETWEEN 1 AND 999999999", name=op.f("ck_counter_last_range")),
        sa.PrimaryKeyConstraint("series", name=op.f("pk_counter")),
    )
    op.create_table(
        "country_name",
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("length(country) = 2", name=op.f("ck_country_name_country_shape")),
        sa.PrimaryKeyConstraint("said", name=op.f("pk_country_name")),
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
        sa.Column("content_digest", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.CheckConstraint(
            "state IN ('received', 'allocated', 'released', 'picked', 'checked', 'packed', 'shipped', 'held',"
            " 'cancelled')",
            name=op.f("ck_customer_order_state_word"),
        ),
        sa.CheckConstraint("length(country) = 2", name=op.f("ck_customer_order_country_shape")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_customer_order")),
    )
    op.create_index(
        op.f("ix_customer_order_state_received_at"), "customer_order", ["state", "received_at"], unique=False
    )
    op.create_table(
        "identifier_range",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("prefix", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("first", sa.Integer(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.Column("given_on", sa.Date(), nullable=False),
        sa.CheckConstraint("kind IN ('sscc', 's10')", name=op.f("ck_identifier_range_kind_word")),
        sa.CheckConstraint("first <= last", name=op.f("ck_identifier_range_range_order")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_identifier_range")),
    )
    op.create_table(
        "imported_file",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_imported_file_digest_length")),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_imported_file")),
    )
    op.create_index(op.f("ix_imported_file_name_at"), "imported_file", ["name", "at"], unique=False)
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
    op.create_index(op.f("ix_journal_entry_event_at"), "journal_entry", ["event", "at"], unique=False)
    op.create_index(op.f("ix_journal_entry_subject"), "journal_entry", ["subject"], unique=False)
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
    op.create_index(op.f("ix_manifest_day_service_code"), "manifest", ["day", "service_code"], unique=False)
    op.create_table(
        "order_charge",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("charge_no", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_order_charge_amount_minor_range")
        ),
        sa.CheckConstraint("pieces BETWEEN -999999999 AND 999999999", name=op.f("ck_order_charge_pieces_range")),
        sa.PrimaryKeyConstraint("order_number", "charge_no", name=op.f("pk_order_charge")),
    )
    op.create_table(
        "order_mapping",
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("mapping_json", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("source", name=op.f("pk_order_mapping")),
    )
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
        "price",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("up_to_g", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("price_minor BETWEEN 0 AND 999999999", name=op.f("ck_price_price_minor_range")),
        sa.CheckConstraint("up_to_g BETWEEN 1 AND 999999999", name=op.f("ck_price_up_to_g_range")),
        sa.PrimaryKeyConstraint("service_code", "valid_from", "zone", "up_to_g", name=op.f("pk_price")),
    )
    op.create_table(
        "pulled_bag",
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("cart_position", sa.Integer(), nullable=False),
        sa.Column("was", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("put_back_at", sa.DateTime(), nullable=True),
        sa.Column("put_back_pieces", sa.Integer(), nullable=True),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_pulled_bag_pieces_range")),
        sa.CheckConstraint("put_back_pieces BETWEEN 0 AND 999999999", name=op.f("ck_pulled_bag_put_back_pieces_range")),
        sa.PrimaryKeyConstraint("bag_code", name=op.f("pk_pulled_bag")),
    )
    op.create_index(op.f("ix_pulled_bag_order_number"), "pulled_bag", ["order_number"], unique=False)
    op.create_table(
        "recount",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("sent_back_for", sa.String(length=20), nullable=False),
        sa.Column("which", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("causes_json", sa.String(), nullable=False),
        sa.Column("likely_cause", sa.String(), nullable=False),
        sa.Column("other_part", sa.String(), nullable=False),
        sa.Column("pieces_off", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("is_simulated", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "sent_back_for IN ('weight', 'count', 'look', 'damage')", name=op.f("ck_recount_sent_back_for_word")
        ),
        sa.CheckConstraint("state IN ('open', 'done', 'undone')", name=op.f("ck_recount_state_word")),
        sa.CheckConstraint("pieces_off BETWEEN -999999999 AND 999999999", name=op.f("ck_recount_pieces_off_range")),
        sa.CheckConstraint("which BETWEEN 1 AND 999999999", name=op.f("ck_recount_which_range")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_recount")),
    )
    op.create_index(op.f("ix_recount_bag_code"), "recount", ["bag_code"], unique=False)
    op.create_index(op.f("ix_recount_bin_code"), "recount", ["bin_code"], unique=False)
    op.create_index(op.f("ix_recount_part_number"), "recount", ["part_number"], unique=False)
    op.create_index(op.f("ix_recount_state"), "recount", ["state"], unique=False)
